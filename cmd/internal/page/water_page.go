package page

import (
	"slices"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/money"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// waterObject is what JSON shows of a plan's water and of what it costs.
type waterObject struct {
	Demo     bool                            `json:"demo"`
	Pond     pondObject                      `json:"pond"`
	Pumps    []pumpObject                    `json:"pumps"`
	Chosen   figure.Maybe[string]            `json:"chosen"`
	Hoses    []works.HoseStep                `json:"hoses"`
	Filter   figure.Maybe[works.FilterWater] `json:"filter"`
	Goal     figure.Maybe[goalObject]        `json:"goal"`
	RunnerUp figure.Maybe[string]            `json:"runner_up"`
	Keep     figure.Maybe[energy.Keep]       `json:"keep"`
	Smallest figure.Maybe[works.Least]       `json:"smallest"`
	Wider    figure.Maybe[works.Least]       `json:"smallest_on_hose"`
	Settle   figure.Maybe[works.Settle]      `json:"settle"`
	Remedies []works.Remedy                  `json:"remedies"`
	Currency string                          `json:"currency"`
	Stop     planStop                        `json:"stop"`
	Limits   figure.Maybe[[]units.Duration]  `json:"stop_limits_h"`
}

// goalObject is the goal with the practice of its row.
type goalObject struct {
	Turnover units.Duration               `json:"turnover_h"`
	Given    bool                         `json:"given"`
	Low      figure.Maybe[units.Duration] `json:"practice_low_h"`
	High     figure.Maybe[units.Duration] `json:"practice_high_h"`
}

type pondObject struct {
	Water figure.Maybe[works.PondWater] `json:",inline"`
}

// pumpObject is a pump with its cost, whose states are unknown where nothing flows.
type pumpObject struct {
	works.WaterPump
	Clean figure.Maybe[stateObject] `json:"clean"`
	Dirty figure.Maybe[stateObject] `json:"dirty"`
	// Mean is that of clean and dirty, as the cost is.
	Mean figure.Maybe[units.EnergyPerYear] `json:"mean_kwh_per_year"`
	energy.PumpCost
}

type stateObject struct {
	works.WaterState
	Cost figure.Maybe[money.Money] `json:"cost_per_year"`
}

// newPlanPage returns the page of what a plan comes to.
func newPlanPage(in *Input, r *energy.Outcome) *PlanPage {
	p, costs := &PlanPage{In: in, Result: r, water: r.Water, money: in.money()}, r.Costs
	for i, pump := range r.Water.Pumps {
		costing := func(cost figure.Maybe[money.Money]) func(works.WaterState) stateObject {
			return func(s works.WaterState) stateObject { return stateObject{s, cost} }
		}
		p.pumps = append(p.pumps, pumpObject{pump, figure.Then(pump.Clean.Flowing(), costing(costs[i].Clean)),
			figure.Then(pump.Dirty.Flowing(), costing(costs[i].Dirty)), figure.Mean(pump.Clean.EnergyYear, pump.Dirty.EnergyYear),
			costs[i]})
	}
	return p
}

func (p *PlanPage) waterObject() waterObject {
	w := p.water
	goal := figure.Unknown[goalObject](w.Pond.Why)
	if pond := w.Pond.Value; w.Pond.Known {
		low := figure.Then(pond.Rule, func(r data.TurnoverGoal) units.Duration { return r.Quickest })
		high := figure.Then(pond.Rule, func(r data.TurnoverGoal) units.Duration { return r.Slowest })
		goal = figure.Then(pond.Goal, func(t units.Duration) goalObject { return goalObject{t, pond.GivenGoal, low, high} })
	}
	next := figure.Unknown[string]("no other pump of the plan comes near")
	if i := w.Choice.RunnerUp; i >= 0 {
		next = figure.Known(w.Pumps[i].Name)
	}
	return waterObject{p.In.Demo, pondObject{w.Pond}, p.pumps, p.chosen(), w.Hoses, w.Filter, goal, next, p.Result.Keep,
		w.Least, w.Wider, w.Settle, w.Remedies, p.In.Plan.Mains.Currency, planStop{w.Rest, p.Result.Rest}, p.limits()}
}

// chosen returns the name of the pump to use and why it, or none, is chosen.
func (p *PlanPage) chosen() figure.Maybe[string] {
	if i := p.water.Choice.Index; i >= 0 {
		return figure.Maybe[string]{Value: p.water.Pumps[i].Name, Known: true, Why: p.why()}
	}
	return figure.Unknown[string](p.why())
}

// nearest returns the pump that the page is about: the choice, else the one with the
// most water.
func (p *PlanPage) nearest() works.WaterPump { return p.water.Pumps[p.water.Choice.Nearest] }

// CompareDocument returns the page about water alone, with every pump on every hose.
func (p *PlanPage) CompareDocument() *document.Document {
	doc := p.document(p.In.titled("pumps compared"), p.waterObject())
	doc.Answer, doc.Sections = p.short(false), append(p.waterSections(), p.hoseSection())
	doc.Assumed = append(doc.Assumed, scope()...)
	doc.Work = func() []document.Step { return p.waterFigures(doc.Object).work() }
	return doc
}

// tankSources are the methods behind filter and return.
var tankSources = []string{
	"Return: critical depth at the mouth and drawdown in the pipe, V. T. Chow, Open-Channel Hydraulics (1959), chapters 4 and 10",
	"Bed: S. Ergun, Chem. Eng. Progress 48 (1952) 89",
}

// why returns the reason of the choice, or of its lack, and what speaks against
// it all the same.
func (p *PlanPage) why() units.Text {
	why, i := p.because(), p.water.Choice.Index
	if i >= 0 && p.water.Pumps[i].Unsound() != "" {
		return why + units.Say("; but with %s %s", p.water.Pumps[i].Name, p.water.Pumps[i].Unsound())
	}
	return why
}

func (p *PlanPage) because() units.Text {
	switch c := p.water.Choice; {
	case c.Index < 0:
		return c.Why + ", so nothing decides between the pumps"
	case c.Given && p.water.Pumps[c.Index].Surely.Value.Chance < works.ChanceTooClose && p.water.Pumps[c.Index].Surely.Known:
		return "the plan names it, but it misses the goal just before cleaning"
	case c.Given || !c.NoneMeets:
		return p.water.Pumps[c.Index].Reason
	case c.Faster.Known:
		f := c.Faster.Value
		return units.Say("no pump meets the goal just before cleaning in the hours and at the speeds of the plan; %s does at %.0f %% "+
			"speed, day and night", p.water.Pumps[f.Pump].Name, 100*f.Speed)
	case p.inPractice(c.Index):
		return units.Say("no pump meets the assumed goal just before cleaning; %s is inside practice", p.water.Pumps[c.Index].Name)
	}
	return "no pump meets the goal just before cleaning"
}

// doubtLines are the slips in the plan that turn the whole answer: they come
// first.
func doubtLines(works *works.Waterworks) shortAnswer {
	var lines shortAnswer
	for _, d := range works.Doubts {
		lines.say("Check", document.Sentence("%v: %v", d.Key, d.Message))
	}
	return lines
}

// warnings returns the doubts about the plan, each once; of the runs, those about the pump
// that the page is about.
func (p *PlanPage) warnings() []data.Warning {
	all := slices.Concat(p.In.Warnings, p.water.Warnings)
	pump := p.nearest()
	const slight = 0.01 // of a line's head: less is next to nothing; our own choice
	for _, w := range pump.Clean.Run.Warnings {
		if w.Key != "filter" || p.water.Filter.Value.Head.Value >= slight*pump.Clean.Head {
			all = append(all, w)
		}
	}
	if pump.Clean.Run.Status == pumps.BeyondCurve {
		all = append(all, data.Warning{Key: pump.Name, Message: pump.Clean.Why})
	}
	all = append(all, p.Result.Warnings...)
	if s := p.Result.Solar; s.Known {
		all = append(all, ShortRecord(s.Value.Sky)...)
	}
	seen := map[string]bool{}
	return slices.DeleteFunc(all, func(w data.Warning) bool {
		had := seen[w.Key+string(w.Message)]
		seen[w.Key+string(w.Message)] = true
		return had
	})
}
