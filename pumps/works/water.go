package works

import (
	"slices"

	"sunrill/data"
	"sunrill/data/clock"
	"sunrill/data/cores"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// WaterResult is everything a plan says about its water: how each pump does clean and
// dirty, which of them to use, what the filter and the return make of it and
// what happens when something stops.
type WaterResult struct {
	Works    *Waterworks
	Schedule clock.Schedule
	Pond     figure.Maybe[PondWater]
	Pumps    []WaterPump // in the plan's order
	Choice   WaterChoice
	Settle   figure.Maybe[Settle] // the bucket that would settle the verdict of the chosen pump
	Least    figure.Maybe[Least]  // the smallest pump that would do
	Wider    figure.Maybe[Least]  // on a wider hose
	Hoses    []HoseStep           // "next hose up or next pump up"
	Remedies []Remedy             // the cheapest first
	Filter   figure.Maybe[FilterWater]
	Rest     StandStill // of the chosen pump, or of the first
	Notes

	drawn *luck                    // what is uncertain
	spill figure.Maybe[units.Flow] // at which the tank spills
}

// WaterPump is how one pump of the plan does.
type WaterPump struct {
	Name    string `json:"name"`
	Present bool   `json:"present"`
	Spec    plan.Pump
	Pump    pumps.Pump
	Pack    float64           `json:"supply_efficiency_fraction"` // of what feeds it from the socket; 1 for AC and without mains
	Source  pumps.PowerSource `json:"power_source"`
	Clean   WaterState
	Dirty   WaterState
	// Power, PerDay and PerYear are the larger of clean and dirty, which is what
	// a budget has to carry.
	Power      figure.Maybe[units.Power]         `json:"power_w"`
	PerDay     figure.Maybe[units.EnergyPerDay]  `json:"kwh_per_day"`
	PerYear    figure.Maybe[units.EnergyPerYear] `json:"kwh_per_year"`
	Efficiency figure.Maybe[float64]             `json:"wire_to_water_fraction"` // when clean
	Return     figure.Maybe[ReturnWater]         `json:"return"`
	Alone      figure.Maybe[units.Flow]          `json:"one_alone_flow_m3_per_h"` // of several, dirty
	Surely     figure.Maybe[Surely]              `json:"verdict"`
	Yearly     figure.Maybe[float64]             `json:"equivalent_cost_per_year"` // power, price and replacements
	Reason     units.Text                        `json:"reason"`                   // why it was chosen, or was not
	fixed      bool                              // its hours ask for speeds that it cannot be set to
}

// NewWater returns the water of plan p: every pump against every goal, the
// choice, and what the filter, the return and a stop do. It reads no file and no
// clock. curves holds the curve of each pump, without rows for one that has only
// a label. The error joins every fault.
func NewWater(p *plan.Plan, curves []data.CurveRows, place Surroundings) (*WaterResult, error) {
	w, err := Chosen(p, curves, place)
	if err != nil {
		return nil, err
	}
	if !place.Flows {
		w.faster(p)
		near := &w.Pumps[w.Choice.Nearest]
		w.Settle = w.settle(near, w.drawn)
		var least figure.Maybe[Least]
		cores.Each(2, func(i int) {
			if i == 0 {
				least = w.least(near, w.drawn, false)
			} else {
				err = w.hoses(p, place)
			}
		})
		if w.Least = least; err != nil {
			return nil, err
		}
		w.Wider = w.leastOnHose()
		w.remedies(place)
	}
	w.Filter = w.filter(p)
	if !place.Flows {
		w.Rest = w.rest(p, place)
	}
	w.gather(p)
	return w, nil
}

// Chosen is NewWater no further than which pump to use.
func Chosen(p *plan.Plan, curves []data.CurveRows, place Surroundings) (*WaterResult, error) {
	works, err := NewWaterworks(p, curves, place)
	if err != nil {
		return nil, err
	}
	w := &WaterResult{Works: works, Pond: works.Pond, Schedule: clock.ScheduleOf(p.Run)}
	w.spill, w.Pumps = spillOf(p), make([]WaterPump, len(works.Pumps))
	cores.Each(len(w.Pumps), func(i int) { w.Pumps[i] = w.pump(p, i) })
	w.choose(p, place)
	return w, nil
}

// Run is how one pump runs: clean, with its range, and dirty.
type Run struct {
	Name         string
	Clean, Dirty pumps.Run
}

// Runs returns how every pump runs at the plan's speed.
func (w *WaterResult) Runs() []Run {
	var runs []Run
	for _, p := range w.Pumps {
		runs = append(runs, Run{p.Name, p.Clean.Run, p.Dirty.Run})
	}
	return runs
}

// gather collects what was assumed and doubted on the way.
func (w *WaterResult) gather(p *plan.Plan) {
	w.assume(slices.Concat(w.Works.Assumed, w.Pond.Value.standing.Assumed, w.Rest.Assumed)...)
	w.Sources = slices.Concat(w.Works.Sources, w.Rest.Sources)
	packs := false
	for _, pump := range w.Pumps {
		packs = packs || pump.Spec.Supply == "DC" && p.Site.Mains
		if pump.fixed {
			w.warn("pump.speed_control", "%s cannot be slowed as it stands: its figures at other speeds are what a pump of this curve "+
				"would do",
				pump.Name)
		}
	}
	if packs && !p.Given("mains.supply_efficiency") {
		w.assume(figure.Assumed{Key: "mains.supply_efficiency", Kind: units.KindShare, Value: p.Mains.SupplyEfficiency,
			Why: "a DC pump on mains runs through a power pack, whose loss is counted at the socket", Source: commonPractice})
	}
	w.Warnings = append(w.Warnings, w.Works.Warnings...)
	w.doubtBed()
	w.doubtTank(p)
}

func (w *WaterResult) pump(p *plan.Plan, i int) WaterPump {
	pump := w.Works.Pumps[i]
	out := WaterPump{Name: p.Pumps[i].Name, Present: p.Pumps[i].Present, Spec: p.Pumps[i], Pump: pump, Pack: 1, Source: pump.PowerSource()}
	if out.Spec.Supply == "DC" && p.Site.Mains && p.Mains.SupplyEfficiency > 0 {
		out.Pack = p.Mains.SupplyEfficiency
	}
	w.Run(&out)
	out.Clean.Run.Warnings = pump.Doubts(out.Clean.Run, w.Works.Speed, w.Works.Line)
	switch s := out.Clean; {
	case s.AtLeast:
		out.Efficiency = figure.Unknown[float64](offCurve)
	case s.Flow <= 0:
		out.Efficiency = figure.Unknown[float64](s.Why)
	default:
		out.Efficiency = figure.Then(s.Power, func(drawn units.Power) float64 {
			return float64(pumps.HydraulicPower(s.Flow, s.Head, w.Works.Line.Water()) / drawn)
		})
	}
	out.Alone = figure.Unknown[units.Flow]("there is one pump")
	if out.Number() > 1 {
		d, status := out.Pump.Times(1).Duty(w.Works.Speed, w.Works.Dirty())
		out.Alone = figure.Given(status == pumps.Meets, d.Flow, "one alone has no duty point")
	}
	out.Return = w.returnOf(p, out.Clean)
	return out
}

const offCurve = "the pump runs off the end of its curve: throttle it or choose a smaller one"

// Number returns how many such pumps run.
func (p *WaterPump) Number() int { return max(1, p.Spec.Count) }

// Slows reports whether the pump's speed can be set.
func (p *WaterPump) Slows() bool {
	if p.Spec.SpeedControl == "" {
		return p.Spec.Supply == "DC" && p.Spec.VoltageBehaviour != "regulated"
	}
	return p.Spec.SpeedControl != "none"
}

// Run fills in how pump p does on the line, clean and dirty.
func (w *WaterResult) Run(p *WaterPump) {
	p.Clean, p.Dirty = w.state(p.Pump, w.Works.Line, p.Pack), w.state(p.Pump, w.Works.Dirty(), p.Pack)
	p.Clean.Dry, p.Dirty.Dry = dryAt(w.Works.Line, p.Clean.Flow), dryAt(w.Works.Line, p.Dirty.Flow)
	slowed := func(h clock.SpeedHours) bool { return h.Speed > 0 && h.Speed != 1 }
	p.fixed = !p.Slows() && slices.ContainsFunc(w.Schedule.Hours(), slowed)
	p.Power = figure.Larger(p.Clean.Power, p.Dirty.Power)
	p.PerDay = figure.Larger(p.Clean.EnergyDay, p.Dirty.EnergyDay)
	p.PerYear = figure.Larger(p.Clean.EnergyYear, p.Dirty.EnergyYear)
}

// With returns the water of pump i under plan p, a variant of w's own. Pumps and dirt
// stay as they were fitted. line, unless nil, does to the line what no key says.
func (w *WaterResult) With(p *plan.Plan, place Surroundings, i int, line func(*Waterworks)) (*WaterResult, error) {
	alt, err := w.variant(p, place)
	if err != nil {
		return nil, err
	}
	if line != nil {
		line(alt.Works)
	}
	alt.Run(&alt.Pumps[i])
	return alt, nil
}

// variant returns w under plan p, before any pump is run.
func (w *WaterResult) variant(p *plan.Plan, place Surroundings) (*WaterResult, error) {
	alt := w.at(p.Run)
	alt.Pumps = slices.Clone(w.Pumps)
	var err error
	if alt.Works.Line, err = alt.Works.line(p, place); err == nil {
		alt.Works.Line = alt.Works.Line.WithDirt(w.Works.beside)
	}
	return alt, err
}

// at returns w under other hours, before any pump is run in them.
func (w *WaterResult) at(run plan.Run) *WaterResult {
	alt, works := *w, *w.Works
	works.Speed, works.Assumed, works.Warnings, works.Sources = run.Speed, nil, nil, nil
	alt.Works = &works
	alt.Schedule = clock.ScheduleOf(run)
	return &alt
}
