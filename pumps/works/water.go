package works

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"sunrill/data"
	"sunrill/data/clock"
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
	Hoses    []HoseStep // "next hose up or next pump up"
	Filter   figure.Maybe[FilterWater]
	Rest     StandStill // of the chosen pump, or of the first
	Assumed  []figure.Assumed
	Warnings []data.Warning

	spill   figure.Maybe[units.Flow] // at which the tank spills, once it is known
	doubted *[2]dirtFit              // the ends of what an assumed loss may stand for; nil: it is stated
}

// WaterPump is how one pump of the plan does.
type WaterPump struct {
	Spec  plan.Pump
	Pump  pumps.Pump
	Pack  float64 // efficiency of what feeds it from the socket; 1 for AC
	Clean WaterState
	Dirty WaterState
	Doubt figure.Maybe[DirtDoubt] // where the loss is assumed; Dirty's range then holds it
	// Power, PerDay and PerYear are the larger of clean and dirty, which is what
	// a budget has to carry.
	Power   figure.Maybe[units.Power]
	PerDay  figure.Maybe[units.EnergyPerDay]
	PerYear figure.Maybe[units.EnergyPerYear]
	// Efficiency is wire to water when clean, Yardstick what the EU's reference
	// circulator reaches at that hydraulic power.
	Efficiency, Yardstick figure.Maybe[float64]
	Return                figure.Maybe[ReturnWater]
	Unfilled              figure.Maybe[WaterState] // the dirty line, where the goal rests on its siphon
	Warnings              []data.Warning
}

// WaterState is how a pump does with the line in one state, under the plan's
// schedule.
type WaterState struct {
	Run   pumps.Run // at the plan's speed outside the hour bands
	Flow  units.Flow
	Head  units.Length
	Power figure.Maybe[units.Power] // at the pump's own leads, at the plan's speed
	// AtLeast is set where the pump runs off the end of its curve: Flow is that
	// of its last point, and more flows than that.
	AtLeast bool
	Why     string // why nothing flows, "" where it does

	Month   time.Month   // the running month with the least water
	PerDay  units.Volume // water in that month's mean day
	PerYear units.Volume // water of a year, months off left out
	Verdict              // of that day

	Use        clock.MonthlyHours // at the socket
	EnergyDay  figure.Maybe[units.EnergyPerDay]
	EnergyYear figure.Maybe[units.EnergyPerYear]

	mayNotFill bool // at one of its speeds the siphon that is counted on may not fill
}

// NewWater returns the water of plan p: every pump against every goal, the
// choice, and what the filter, the return and a stop do. It reads no file and no
// clock. curves holds the curve of each pump, without rows for one that has only
// a label. The error joins every fault.
func NewWater(p *plan.Plan, curves []data.CurveRows, place Surroundings) (*WaterResult, error) {
	works, err := NewWaterworks(p, curves, place)
	if err != nil {
		return nil, err
	}
	w := &WaterResult{Works: works, Pond: works.pondWater}
	if w.Schedule, err = ScheduleOf(p.Run); err != nil {
		return nil, Placed(p, err)
	}
	if w.doubted, err = works.doubtedDirts(); err != nil {
		return nil, err
	}
	var faults []error
	for i := range works.Pumps {
		pump, err := w.pump(p, i)
		if err != nil {
			faults = append(faults, Placed(p, err))
		}
		w.Pumps = append(w.Pumps, pump)
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	w.choose(p)
	if err := w.faster(p); err != nil {
		return nil, Placed(p, err)
	}
	if w.Hoses, err = w.hoses(); err != nil {
		return nil, err
	}
	w.Filter = w.filter(p)
	if w.Rest, err = w.rest(p, place); err != nil {
		return nil, Placed(p, err)
	}
	w.gather(p)
	return w, nil
}

// Runs returns how every pump runs at the plan's speed.
func (w *WaterResult) Runs() []Run {
	var runs []Run
	for _, p := range w.Pumps {
		runs = append(runs, Run{Name: p.Spec.Name, Clean: p.Clean.Run, Dirty: p.Dirty.Run})
	}
	return runs
}

// gather collects what was assumed and doubted on the way.
func (w *WaterResult) gather(p *plan.Plan) {
	w.Assumed = append(w.Assumed, w.Works.Assumed...)
	if w.Pond.Known {
		w.Assumed = append(w.Assumed, w.Pond.Value.standing...)
	}
	w.Assumed = append(w.Assumed, w.Rest.evaporationAssumed()...)
	for _, pump := range w.Pumps {
		w.Warnings = append(w.Warnings, pump.Warnings...)
	}
	for _, pump := range w.Pumps {
		if pump.Spec.Supply == "DC" && !p.Given("mains.supply_efficiency") {
			w.Assumed = append(w.Assumed, figure.Assumed{Key: "mains.supply_efficiency", Kind: units.KindShare, Value: p.Mains.SupplyEfficiency,
				Why: "a DC pump on mains runs through a power pack, whose loss is counted at the socket", Source: "common practice, no source"})
			break
		}
	}
	w.Assumed = append(w.Assumed, w.returnAssumed(p)...)
	w.Warnings = append(w.Warnings, w.Works.Warnings...)
	w.Warnings = append(w.Warnings, slices.Concat(w.coldWarning(), w.ribWarning(), w.bedWarning(), w.tankWarnings(p))...)
}

// ScheduleOf returns the schedule of a plan's hour bands and months off.
func ScheduleOf(r plan.Run) (clock.Schedule, error) {
	var bands []clock.RunBand
	for i, b := range r.Bands {
		if b.Months.Count() == 0 {
			continue
		}
		for _, h := range clock.HourBands(fmt.Sprintf("run.band.%d", i+1), b.Hours, b.Months, clock.EveryDay) {
			bands = append(bands, clock.RunBand{Speed: b.Speed, HourBand: h})
		}
	}
	return clock.NewSchedule(bands, r.Speed, clock.MonthsOf(r.MonthsOff))
}

// pump returns how pump i of the plan does.
func (w *WaterResult) pump(p *plan.Plan, i int) (WaterPump, error) {
	out := WaterPump{Spec: p.Pumps[i], Pump: w.Works.Pumps[i], Pack: 1}
	if out.Spec.Supply == "DC" && p.Mains.SupplyEfficiency > 0 {
		out.Pack = p.Mains.SupplyEfficiency
	}
	err := w.Run(&out)
	if err != nil {
		return out, err
	}
	out.efficiency(w.Works.Line)
	out.Return, err = w.returnOf(p, out.Clean)
	out.warn(w.Schedule)
	return out, err
}

// efficiency fills in wire to water and its yardstick.
func (p *WaterPump) efficiency(c pumps.Circuit) {
	s := p.Clean
	p.Efficiency, p.Yardstick = figure.Unknown[float64](s.Why), figure.Unknown[float64](s.Why)
	if s.Flow <= 0 || s.AtLeast {
		if s.AtLeast {
			p.Efficiency, p.Yardstick = figure.Unknown[float64](offCurve), figure.Unknown[float64](offCurve)
		}
		return
	}
	hydraulic := pumps.HydraulicPower(s.Flow, s.Head, WaterIn(c))
	if ref, ok := pumps.ReferencePower(hydraulic / units.Power(p.Number())); ok {
		p.Yardstick = figure.Known(float64(hydraulic) / float64(p.Number()) / float64(ref))
	} else {
		p.Yardstick = figure.Unknown[float64]("the reference holds for 1 to 2500 W given to the water")
	}
	if p.Efficiency = figure.Unknown[float64](s.Power.Why); s.Power.Known {
		p.Efficiency = figure.Known(pumps.WireToWater(hydraulic, s.Power.Value))
	}
}

// offCurve is the reason where a pump runs off the end of its curve.
const offCurve = "the pump runs off the end of its curve: throttle it or choose a smaller one"

// Number returns how many such pumps run.
func (p *WaterPump) Number() int { return max(1, p.Spec.Count) }

// WaterIn returns the water that flows in c.
func WaterIn(c pumps.Circuit) pumps.Water {
	switch c := c.(type) {
	case *pumps.System:
		return c.Water()
	case *pumps.Network:
		return c.Water()
	}
	panic("works: a circuit of another kind")
}

// warn notes what makes this pump's figures doubtful.
func (p *WaterPump) warn(s clock.Schedule) {
	for _, h := range s.Hours() {
		if h.Speed > 0 && h.Speed != 1 && h.Hours > 0 && !p.Slows() {
			p.Warnings = append(p.Warnings, data.Warning{Key: "pump.speed_control", Message: p.Spec.Name + " cannot be slowed as it stands: its figures at other speeds are what a pump of this curve would do"})
			break
		}
	}
}

// Slows reports whether the pump's speed can be set.
func (p *WaterPump) Slows() bool {
	switch p.Spec.SpeedControl {
	case "":
		return p.Spec.Supply == "DC" && p.Spec.VoltageBehaviour != "regulated"
	case "none":
		return false
	}
	return true
}
