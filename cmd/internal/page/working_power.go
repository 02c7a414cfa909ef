package page

import (
	"fmt"
	"math"

	"sunrill/cmd/internal/document"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/battery"
	"sunrill/pumps"
	"sunrill/solar"
	"sunrill/solar/sky"
)

// work returns the working of a whole plan.
func (p *PlanPage) work() []document.Step {
	f := p.waterFigures(p.object())
	f.set("mains", "alone", p.In.Plan.Air.Power == nil)
	if s := p.Result.Solar; s.Known {
		if d := s.Value.DayAndNight; d.Known {
			p.dayAndNight(f, d.Value, &s.Value)
		}
	}
	for k, s := range p.Result.Tradeoff {
		p.slowed(f, fmt.Sprintf("tradeoff.%d", k+1), s)
	}
	if i := p.Result.Base; i >= 0 {
		lift, curve := p.water.Works.Line.Restart(), p.water.Works.Pumps[i].Curve(1)
		head, ok := curve.ShutOff()
		if s, can := curve.LeastSpeed(lift); ok && can && lift > 0 {
			f.set("lift", "lift_m", lift, "no_flow_m", head, "least_speed_fraction", s)
		}
	}
	return f.work()
}

// dayAndNight adds what load, battery and money of the nights are worked from.
func (p *PlanPage) dayAndNight(f *figures, d energy.DayAndNight, s *energy.SolarBudget) {
	const at = "solar.day_and_night"
	draw, n := d.Draw, p.Result.Base
	if draw.Voltage > 0 && draw.Current > 0 {
		f.set(at, "pump_w", draw.Duty.Power, "pump_v", draw.Voltage, "cable_ohm", float64(draw.CableDrop)/float64(draw.Current),
			"inverter_w", draw.Conversion, "controller_w", draw.Controller)
	}
	load, _ := f.at[at+".load_w"].(float64)
	day, _ := f.at[at+".load_kwh_per_day"].(float64)
	f.set(at, "steady", math.Abs(load*24/1000-day) < 1e-9)
	f.store(at, at, d.Storage.Battery, d.Front.Chosen, &p.In.Plan, p.In.Plan.Pumps[n].Supply == "AC")
	f.handbook(at+".handbook", d.Handbook, d.Storage.Battery, d.Front.Chosen, d.Made, d.Asked, &s.Months.POA)
}

// slowed adds what a slowed row of the trade-off is worked from, by the affinity laws.
func (p *PlanPage) slowed(f *figures, at string, s energy.Strategy) {
	pump := p.water.Works.Pumps[s.Pump]
	if s.Kind != energy.Slower || s.Speed <= 0 || s.Speed >= 1 || pump.Spec().Count > 1 {
		return
	}
	clean, ok := pump.Duty(s.Speed, p.water.Works.Line)
	dirty, ok2 := pump.Duty(s.Speed, p.water.Works.Line.WithDirt(p.water.Works.Dirt))
	if ok != pumps.Meets || ok2 != pumps.Meets {
		return
	}
	f.set(at, "speed_fraction", s.Speed)
	more := clean
	if dirty.Power > clean.Power {
		more = dirty
	}
	if pump.Spec().Fixed == 0 {
		f.set(at, "full_speed_w", float64(pump.Power(more.Flow/units.Flow(s.Speed), 1)), "fixed_fraction", energy.SlowedFixed)
	}
	if p.In.Plan.Air.Power == nil {
		f.set(at, "pack_fraction", f.at[fmt.Sprintf("pumps.%d.supply_efficiency_fraction", s.Pump+1)])
	}
}

// figures returns what the working of a balance is made of beside object.
func (v *BalanceView) figures(object any) *figures {
	f := newFigures(object, &v.In.Plan)
	s := v.Storage
	f.battery("battery", s.Battery, s.NominalWh.Value)
	f.sums("sum", v.Balance)
	return f
}

// figures returns what the working of a size is made of beside object.
func (v *SizeView) figures(object any) *figures {
	f := newFigures(object, &v.In.Plan)
	if v.Size.Nothing != nil {
		return f
	}
	s, c := v.Storage, v.Size.Front.Chosen
	f.store("chosen", "chosen.with_cut_off", s.Battery, c, &v.In.Plan, s.Pump != nil && s.Pump.OnInverter)
	made, asked := s.Record.PerDay(c.PanelW)
	f.handbook("handbook", v.Size.Handbook, s.Battery, c, made, asked, s.SunOnPanel())
	return f
}

// battery adds a battery, bought at a nominal size.
func (f *figures) battery(at string, b battery.Battery, nominal float64) {
	f.set(at, "bought_wh", nominal)
	f.set("battery", "usable_fraction", b.UsableShare, "left_in_the_cold_fraction", b.ColdShare, "left_at_end_of_life_fraction",
		b.EndOfLifeShare)
}

// store adds a panel with its battery: the choice at one path, its balance at another.
func (f *figures) store(at, balance string, b battery.Battery, c battery.Choice, p *plan.Plan, inverter bool) {
	f.battery(at, b, c.BoughtWh)
	f.set(at, "need_wh", usableWh(b, c.BatteryWh))
	f.sums(balance+".sum", c.Connected)
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

// sums adds the totals of a balance.
func (f *figures) sums(at string, b battery.Balance) {
	f.set(at, "record_h", b.Hours, "load_wh", b.LoadWh, "panel_wh", b.PanelWh, "unmet_wh", b.UnmetWh, "spilled_wh", b.SpilledWh,
		"missed_m3", b.WaterMissed, "asked_m3", b.WaterAsked, "stop_h", b.Stops.Hours, "nights", b.Stops.Nights)
}

// handbook adds what the rules of thumb beside a size are worked from.
func (f *figures) handbook(at string, h battery.Handbook, b battery.Battery, c battery.Choice, made, asked [12]float64, poa *[12]float64) {
	f.set(at, "usable_wh", usableWh(b, c.BoughtWh), "day_wh", c.Connected.PerYear(c.Connected.LoadWh)/solar.DaysPerYear,
		"ratio_made_wh", made[h.RatioMonth], "ratio_asked_wh", asked[h.RatioMonth], "label_w", c.PanelW, "array_asked_wh",
		asked[h.ArrayMonth])
	if poa != nil {
		f.set(at, "array_kwh_per_m2_day", poa[h.ArrayMonth])
	}
}

// figures returns what the working of the sun is made of beside object.
func (v *sunView) figures(object any) *figures {
	f := newFigures(object, &plan.Plan{})
	f.sunMonth("worst_month", v.sky, v.worst())
	return f
}

// sunMonth adds the sums of the hours of a month.
func (f *figures) sunMonth(at string, s *sky.Sky, month int) {
	var ghi, poa, yield, hours float64
	onPlane, perWatt := s.OnPlane(s.Weather), s.PerWatt(s.Weather)
	for i := range onPlane {
		if solar.MonthOf((s.Weather.Start+i)%solar.HoursPerYear/24) == month {
			ghi, poa, yield, hours = ghi+s.Weather.GHI[i], poa+onPlane[i], yield+perWatt[i], hours+1
		}
	}
	if hours > 0 {
		f.set(at+".sum", "hours_h", hours, "ghi_wh_per_m2", ghi, "poa_wh_per_m2", poa, "yield_wh_per_w", yield)
	}
}
