package energy

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"sunrill/data"
	"sunrill/data/clock"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/supply"
	"sunrill/pumps"
	"sunrill/pumps/works"
	"sunrill/solar/sky"
)

// PumpLoad is a pump as the load of a battery.
type PumpLoad struct {
	Name  string
	Use   clock.MonthlyHours // at the battery's terminals: hour by hour the larger of clean and dirty, air pump included
	Water []float64          // m³ in each hour of the year, dirty
	Clean supply.YearLoad
	Dirty supply.YearLoad

	OffGrid OffGridWater
	Full    supply.Draw // the largest in the cable to the pump if that lost nothing

	OnInverter bool // an AC pump off the grid
}

// NoPump says why the load of a plan's pump cannot be told: none will do.
type NoPump struct{ Why units.Text }

// Error returns the reason.
func (e *NoPump) Error() string { return e.Why.String() }

// pump returns the load of the plan's pump on its battery.
func (s *Storage) pump(p *plan.Plan, files StorageFiles, sky *sky.Sky) (*PumpLoad, error) {
	if faults := p.Missing(plan.NeedLoad); len(p.Pumps) == 0 && len(faults) > 0 {
		return nil, faults[0]
	}
	if faults := p.Missing(plan.NeedDuty); len(faults) > 0 {
		all := make([]error, len(faults))
		for i, f := range faults {
			all[i] = f
		}
		return nil, errors.Join(all...)
	}
	j := newJob(context.Background(), Inputs{Plan: p, Curves: files.Curves, Logged: files.Logged}, Sun)
	j.light = sky
	if err := j.pour(surroundingsOf(sky.Climate)); err != nil {
		return nil, err
	}
	i, err := s.choosePump(j)
	if err != nil {
		return nil, err
	}
	rest, err := j.restOf(i)
	if err != nil {
		return nil, err
	}
	s.limits, s.plan = j.bearable(rest), fitting(p, i)
	return s.loadOf(j.water, i, j.air)
}

// choosePump returns the pump whose load it is: the one for sun and battery, or where no
// goal is known the present pump, else the only one.
func (s *Storage) choosePump(j *job) (int, error) {
	w, c := j.water, j.water.Choice
	name := func() units.Text { return units.Text(w.Pumps[c.Nearest].Spec.Name) }
	switch {
	case c.Index >= 0:
		i := j.sunPump()
		if c.NoneMeets && !c.Given {
			s.Assumed = append(s.Assumed, figure.Assumed{Key: "choice.pump", Text: units.Say("%s", w.Pumps[i].Name),
				Why: "no pump meets the goal; it is the surest"})
		}
		return i, nil
	case w.Pumps[c.Nearest].Spec.Present:
		s.Assumed = append(s.Assumed, figure.Assumed{Key: "choice.pump", Text: name(),
			Why: "the present pump; no goal is known (" + c.Why + ")"})
		return c.Nearest, nil
	case len(w.Pumps) == 1:
		s.Assumed = append(s.Assumed, figure.Assumed{Key: "choice.pump", Text: name(),
			Why: "the only pump; no goal is known (" + c.Why + ")"})
		return 0, nil
	}
	return 0, &NoPump{c.Why + ", and there are several pumps; choice.pump names one"}
}

// pumpLoad returns what pump i of w draws from the battery of p, air beside it, and
// the doubts about the chain between them.
func pumpLoad(p *plan.Plan, w *works.WaterResult, i int, air supply.Air) (*PumpLoad, []data.Warning, error) {
	out := &PumpLoad{Name: p.Pumps[i].Name, OnInverter: onInverter(p, i)}
	var doubts []data.Warning // the same clean and dirty
	years := []*supply.YearLoad{&out.Clean, &out.Dirty}
	for k, line := range []*pumps.System{w.Works.Line, w.Works.Dirty()} {
		chain, err := batteryChain(p, i, w.Works.Pumps[i], line, air)
		if err != nil {
			return nil, nil, works.Placed(p, err)
		}
		if *years[k], err = chain.Year(w.Schedule); err != nil {
			return nil, nil, works.Placed(p, err)
		}
		doubts = slices.Concat(chain.Warnings, years[k].Warnings)
	}
	for m := range out.Use {
		for h := range out.Use[m] {
			out.Use[m][h] = max(out.Clean.Use[m][h], out.Dirty.Use[m][h])
		}
	}
	out.Water, out.OffGrid = out.Dirty.WaterByHour(), offGridOf(w, out.Dirty)
	return out, doubts, nil
}

// loadOf returns what pump i of w draws from the battery, with what is assumed of
// the way between them and doubted about it.
func (s *Storage) loadOf(w *works.WaterResult, i int, air supply.Air) (*PumpLoad, error) {
	p := s.plan
	out, doubts, err := pumpLoad(p, w, i, air)
	if err != nil {
		return nil, err
	}
	out.Full = fullDraw(p, w, i)
	s.Warnings = append(s.Warnings, doubts...)
	s.cableDoubt(p, i, out)
	s.Assumed = append(s.Assumed, w.Assumed...)
	s.Assumed = append(s.Assumed, assumedAir(p)...)
	s.Warnings = append(s.Warnings, w.Works.Warnings...)
	s.Sources = append(s.Sources, w.Works.Sources...)
	s.assumeChain(p, i, out)
	return out, nil
}

// onInverter reports whether pump i of a plan runs through the inverter off the
// grid.
func onInverter(p *plan.Plan, i int) bool { return p.Pumps[i].Supply == "AC" && inverterOf(p) != nil }

// cableOf returns the plan's cable, nil where it gives no run, and the doubts
// about it.
func cableOf(p *plan.Plan, spec supply.ChainSpec) (*supply.Cable, []data.Warning, error) {
	run := p.Cable.Run
	if run == nil || *run == 0 {
		return nil, nil, nil
	}
	if p.Cable.Area != nil {
		c, doubts, err := supply.ConductorOf(supply.Conductors(), *p.Cable.Area)
		return &supply.Cable{Run: *run, Conductor: c}, doubts, err
	}
	v := spec.Feed()
	full := units.Current(float64(spec.Water(spec.Motor.Lossless(1, v)).Power) / float64(v))
	c, err := supply.LeastConductor(supply.FixedWiring(), full, *run, v)
	if err != nil {
		return nil, nil, &data.Error{Key: "cable.run", Message: err.Error(),
			Allowed: "a shorter run, thicker copper (cable.area) or a higher voltage"}
	}
	return &supply.Cable{Run: *run, Conductor: c}, nil, nil
}

// controllerDraw returns what a charge controller takes day and night
// (data/keys.csv, controller.own_draw).
func controllerDraw(c plan.Controller) units.Power {
	switch {
	case c.OwnDraw != nil:
		return *c.OwnDraw
	case c.Kind == "none":
		return 0
	}
	return 0.5 * units.Watt
}

// controllerWhy says when the controller's own draw is counted.
func controllerWhy(off plan.MonthSet) units.Text {
	why := units.Text("by kind of controller, day and night")
	if off != 0 {
		why += ", also in the months off: the battery carries it, and the panel is not judged by those months"
	}
	return why
}

// assumeChain lists what nobody said about the way from battery to pump i.
func (s *Storage) assumeChain(p *plan.Plan, i int, out *PumpLoad) {
	list := func(key string, kind units.Kind, value float64, why units.Text) {
		if !p.Given(key) {
			k, _ := plan.KeyNamed(key)
			s.Assumed = append(s.Assumed, figure.Assumed{Key: key, Kind: kind, Value: value, Why: why, Source: k.Source})
		}
	}
	list("controller.own_draw", units.KindPower, float64(controllerDraw(p.Controller)), controllerWhy(out.Clean.Standby))
	if volts := sky.BatteryVoltages(p); len(volts) == 1 {
		list("battery.voltage", units.KindVoltage, float64(volts[0]), "whole batteries nearest the pump's voltage, else nearest 12 V")
	}
	if p.Regulator.Fitted && p.Pumps[i].Supply != "AC" {
		list("regulator.efficiency", units.KindShare, p.Regulator.Efficiency, "a regulator without a data sheet")
	}
	if p.Pumps[i].Supply == "AC" {
		list(fmt.Sprintf("pump.%d.voltage", i+1), units.KindVoltage, float64(usualACVoltage), "the pump names none; at 100 to 127 V, as "+
			"some countries have, its cable carries twice the current")
		list("inverter.efficiency", units.KindShare, p.Inverter.Efficiency, "an inverter without a data sheet")
		list("inverter.idle", units.KindPower, float64(p.Inverter.Idle), "an inverter without a data sheet")
	}
	if p.Air.Power != nil && p.Pumps[i].Supply != "AC" {
		s.warn("air.power", "the air pump is taken to run on the battery's %.3g V as the water pump does; one for the mains "+
			"needs an inverter, with its loss and idle draw", float64(sky.BatteryVoltage(p)))
	}
	if p.Cable.Run == nil {
		s.Assumed = append(s.Assumed, figure.Assumed{Key: "cable.run", Text: "no loss", Why: "no cable given between battery and pump"})
	}
}

// need returns the energy of the mean day of each month [Wh] by which a panel is
// laid: nothing in the months off.
func (l *PumpLoad) need() [12]float64 {
	wh := l.Use.DaysByMonth()
	for m := range wh {
		if l.Clean.Standby>>m&1 == 1 {
			wh[m] = 0
		}
	}
	return wh
}
