package page

import (
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/pumps/works"
)

// hoseStep is one pump on one hose, as JSON shows it.
type hoseStep struct {
	Pump      string      `json:"pump"`
	Hose      string      `json:"hose"` // "" for the hose that is there
	Bore      float64     `json:"bore_mm"`
	Clean     *waterState `json:"clean"`
	CleanWhy  string      `json:"clean_why,omitempty"`
	Dirty     *waterState `json:"dirty"`
	DirtyWhy  string      `json:"dirty_why,omitempty"`
	Power     *float64    `json:"power_w"`
	PowerWhy  string      `json:"power_w_why,omitempty"`
	GainFlow  float64     `json:"gain_flow_m3_per_h"`
	GainPower *float64    `json:"gain_power_w"`
	GainWhy   string      `json:"gain_power_w_why,omitempty"`
}

func (p *waterPage) newHoses() []hoseStep {
	list := []hoseStep{}
	for _, s := range p.water.Hoses {
		clean, dirty := newWaterState(s.Clean), newWaterState(s.Dirty)
		for _, state := range []*waterState{clean, dirty} {
			if state != nil {
				state.CostWhy = "reckoned for the hose that is there, under pumps"
			}
		}
		list = append(list, hoseStep{Pump: p.pumps[s.Pump].Name, Hose: s.Hose, Bore: s.Bore.In(units.Millimetre),
			Clean: clean, CleanWhy: s.Clean.Why, Dirty: dirty, DirtyWhy: s.Dirty.Why, Power: known(s.Power, 1), PowerWhy: s.Power.Why,
			GainFlow: s.GainFlow.In(units.CubicMetrePerHour), GainPower: known(s.GainPower, 1), GainWhy: s.GainPower.Why})
	}
	return list
}

// hoseInstead says where a smaller pump on a wider hose would do; nothing where
// none would.
func (p *waterPage) hoseInstead() document.Prose {
	c := p.water.Choice
	if best, ok := p.water.BestStep(); ok && best.Hose != "" && best.Pump != c.Index {
		s := document.Sentence("on %v, %v meets the goal for %v", hoseIn(best), p.pumps[best.Pump].Name, document.Power.Of(float64(best.Power.Value)))
		better := document.Sentence("a wider hose")
		if best.Smooth {
			better = document.Sentence("a hose without ribs")
		}
		if c.Index < 0 {
			return document.Sentence("%v: %v will do.", s, better)
		}
		if p.pumps[c.Index].Power != nil {
			s = document.Sentence("%v instead of %v", s, document.Power.Of(*p.pumps[c.Index].Power))
		}
		return document.Sentence("%v: %v does more than a bigger pump.", s, better)
	}
	return document.Prose{}
}

// hoseAnswer says whether a wider hose does more than a bigger pump.
func (p *waterPage) hoseAnswer() document.Prose {
	if s := p.hoseInstead(); !s.IsZero() {
		return s
	}
	c := p.water.Choice
	if c.Nearest < 0 {
		return document.Prose{}
	}
	var wider *hoseStep
	var step works.HoseStep
	for i, s := range p.water.Hoses {
		if s.Pump == c.Nearest && s.Hose != "" && wider == nil {
			wider, step = &p.hoses[i], s
		}
	}
	var s document.Prose
	if wider != nil && wider.GainPower != nil {
		s = p.hoseGain(wider, hoseIn(step))
		if n := len(step.Dries); n > 0 && !s.IsZero() {
			s = document.Sentence("%v, but then %v %v NO WATER", s, listed(step.Dries), map[bool]string{true: "GETS", false: "GET"}[n == 1])
		}
	}
	if up := c.Larger; up >= 0 && p.pumps[up].Dirty != nil && p.pumps[c.Nearest].Dirty != nil && p.pumps[up].Power != nil && p.pumps[c.Nearest].Power != nil {
		next := document.Sentence("the next pump, %v, %v more for %v", p.pumps[up].Name,
			document.Flow.Of(p.pumps[up].Dirty.Flow-p.pumps[c.Nearest].Dirty.Flow), document.Power.Of(*p.pumps[up].Power-*p.pumps[c.Nearest].Power))
		if s.IsZero() {
			s = next
		} else {
			s = document.Sentence("%v; %v", s, next)
		}
	}
	if s.IsZero() {
		return s
	}
	return document.Sentence("%v.", s)
}

// hoseIn names the hose of a step, and where it lies in a line with branches.
func hoseIn(s works.HoseStep) document.Prose {
	where := document.Sentence("the branch to %v", listed(s.Branches))
	if len(s.Branches) > 1 {
		where = document.Sentence("the branches to %v", listed(s.Branches))
	}
	if len(s.Branches) > 0 && strings.HasPrefix(s.Branches[0], "branch") { // nobody named it
		where = document.Plain(listed(s.Branches))
	}
	switch {
	case s.Main && len(s.Branches) > 0:
		return document.Sentence("%v in the main and %v", s.Hose, where)
	case s.Main:
		return document.Sentence("%v in the main", s.Hose)
	case len(s.Branches) > 0:
		return document.Sentence("%v in %v", s.Hose, where)
	}
	return document.Plain(s.Hose)
}

// hoseGain says what a wider hose, named, brings to the nearest pump.
func (p *waterPage) hoseGain(wider *hoseStep, name document.Prose) document.Prose {
	const material = 0.005 // of the flow: less is lost in the figures
	if wider.GainFlow <= 0 && p.pumps[p.water.Choice.Nearest].Dirty == nil {
		return document.Prose{} // no hose helps a pump that does not lift
	}
	if d := p.pumps[p.water.Choice.Nearest].Dirty; d != nil && wider.GainFlow < material*d.Flow {
		return document.Sentence("%v would bring next to nothing", map[bool]string{true: "a smooth one", false: "a wider one"}[wider.Hose == works.SameBoreSmooth])
	}
	if *wider.GainPower <= 0.05 {
		return document.Sentence("%v would bring %v more for no more power", name, document.Flow.Of(wider.GainFlow))
	}
	return document.Sentence("%v would bring %v more for %v", name, document.Flow.Of(wider.GainFlow), document.Power.Of(*wider.GainPower))
}

// hoseTable lists each pump on each hose.
func (p *waterPage) hoseTable() document.Table {
	t := document.Table{Key: "hoses", Columns: []document.Column{
		{Key: "pump", Heading: "pump", Unit: document.Word},
		{Key: "hose", Heading: "hose", Unit: document.Word},
		{Key: "dirty_flow_m3_per_h", Heading: "flow dirty", Unit: document.Flow},
		{Key: "dirty_turnover_h", Heading: "turnover dirty", Unit: document.Hours},
		{Key: "power_w", Heading: "power", Unit: document.Power},
		{Key: "gain_flow_m3_per_h", Heading: "more flow", Unit: document.Flow},
		{Key: "gain_power_w", Heading: "more power", Unit: document.Power},
		{Key: "goal_met", Heading: "goal met", Unit: document.Word},
	}}
	for _, s := range p.hoses {
		hose := s.Hose
		if hose == "" {
			hose = "as it is"
		}
		row := []document.Cell{document.Text(s.Pump), document.Text(hose), document.Unknown(nothingFlows), document.Unknown(""),
			document.NumberOr(s.Power, noPowerWhy), document.Number(s.GainFlow), document.NumberOr(s.GainPower, noPowerWhy), document.Text("no")}
		if d := s.Dirty; d != nil {
			row[2], row[3], row[7] = document.Number(d.Flow), document.NumberOr(d.Turnover, d.TurnoverWhy), goalCell(d)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

const nothingFlows = "nothing flows when dirty"

// goalCell says whether a state meets the goal.
func goalCell(s *waterState) document.Cell {
	if s.GoalMet == nil {
		return document.Unknown(s.GoalMetWhy)
	}
	return document.YesNo(*s.GoalMet)
}
