package page

import (
	"math"

	"sunrill/cmd/internal/document"
	"sunrill/data/plan"
	"sunrill/energy"
	"sunrill/energy/battery"
)

// work returns the working of a whole plan.
func (p *PlanPage) work() []document.Step {
	f := p.waterFigures(p.object())
	f.set("mains", "alone", p.In.Plan.Air.Power == nil)
	if s := p.Result.Solar; s.Known {
		if d := s.Value.DayAndNight; d.Known {
			p.dayAndNight(f, d.Value)
		}
	}
	return f.work()
}

// dayAndNight adds what load, battery and money of the nights are worked from.
func (p *PlanPage) dayAndNight(f *figures, d energy.DayAndNight) {
	const at = "solar.day_and_night"
	draw, n := d.Draw, p.Result.Base
	if draw.Voltage > 0 && draw.Current > 0 {
		f.set(at, "pump_w", draw.Duty.Power, "pump_v", draw.Voltage, "cable_ohm", float64(draw.CableDrop)/float64(draw.Current),
			"inverter_w", draw.Conversion, "controller_w", draw.Controller)
	}
	load, _ := f.at[at+".load_w"].(float64)
	day, _ := f.at[at+".load_kwh_per_day"].(float64)
	f.set(at, "steady", math.Abs(load*24/1000-day) < 1e-9)
	f.store(at, d.Storage.Battery, d.Front.Chosen, &p.In.Plan, p.In.Plan.Pumps[n].Supply == "AC")
}

// figures returns what the working of a balance is made of beside object.
func (v *BalanceView) figures(object any) *figures {
	f := newFigures(object, &v.In.Plan)
	s := v.Storage
	f.battery("battery", s.Battery, s.NominalWh.Value)
	return f
}

// figures returns what the working of a size is made of beside object.
func (v *SizeView) figures(object any) *figures {
	f := newFigures(object, &v.In.Plan)
	if v.Size.Nothing != nil {
		return f
	}
	s, c := v.Storage, v.Size.Front.Chosen
	f.store("chosen", s.Battery, c, &v.In.Plan, s.Pump != nil && s.Pump.OnInverter)
	return f
}

// battery adds a battery, bought at a nominal size.
func (f *figures) battery(at string, b battery.Battery, nominal float64) {
	f.set(at, "bought_wh", nominal)
	f.set("battery", "usable_fraction", b.UsableShare, "left_in_the_cold_fraction", b.ColdShare, "left_at_end_of_life_fraction",
		b.EndOfLifeShare)
}

// store adds a panel with its battery.
func (f *figures) store(at string, b battery.Battery, c battery.Choice, p *plan.Plan, inverter bool) {
	f.battery(at, b, c.BoughtWh)
	f.set(at, "need_wh", usableWh(b, c.BatteryWh))
	if c := p.Inverter.Price; c != nil && inverter {
		f.set(at, "inverter_price", float64(*c))
	}
	if b.FullCycles > 0 && c.Life.CyclesPerYear > 0 {
		f.set(at, "full_cycles", b.FullCycles, "cycles_yearly", c.Life.CyclesPerYear)
	}
	if !math.IsInf(c.Life.ByAge, 0) {
		f.set(at, "standing_years", c.Life.ByAge)
	}
	if life := math.Max(c.Life.Years(), 0.5); !math.IsInf(life, 0) {
		f.set(at, "bought_again_years", life)
	}
}
