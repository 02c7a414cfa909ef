package page

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"sunrill/cmd/internal/document"
	"sunrill/data/clock"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/battery"
	"sunrill/energy/money"
	"sunrill/pumps"
	"sunrill/pumps/works"
	"sunrill/solar"
)

// waterFigures returns what the working of a page about water is made of beside object.
func (p *PlanPage) waterFigures(object any) *figures {
	f := newFigures(object, &p.In.Plan)
	tariff := money.TariffOf(p.In.Plan.Mains)
	if hours, on := p.atOneSpeed(p.water.Schedule.Hours()); on {
		f.set("run", "hours_per_year", hours, "steady", hours == solar.HoursPerYear)
	}
	owned, terms := p.Result.Owned()
	for i, pump := range p.water.Pumps {
		at := fmt.Sprintf("pumps.%d", i+1)
		f.owned(at, p.In.Plan.Pumps[i], min(owned[i].Due, float64(terms.Years)))
		for k, s := range []works.WaterState{pump.Clean, pump.Dirty} {
			at := at + []string{".clean", ".dirty"}[k]
			if hours, on := p.dayHours(s.Month); on {
				f.set(at, "running_h", hours)
			}
			used := make([]float64, len(tariff.Prices()))
			for m := range s.Use {
				for k, kwh := range tariff.Used(time.Month(m+1), s.Use[m]) {
					used[k] += kwh
				}
			}
			for k, price := range tariff.Prices() {
				f.set(fmt.Sprintf("%s.used_%d", at, k+1), "kwh_per_year", used[k], "price", price)
			}
		}
	}
	w, i := p.water.Works, p.water.Choice.Nearest
	f.chosen = strconv.Itoa(i + 1)
	f.dirtFit(w)
	run, at := p.water.Runs()[i], "pumps."+f.chosen
	f.point(at+".clean", w, i, run.Clean, run.Clean.Duty, 0)
	f.point(at+".dirty", w, i, run.Dirty, run.Dirty.Duty, w.Dirt.Resistance)
	return f
}

// owned adds what a pump is bought for, in how many years, and how long it lasts.
func (f *figures) owned(at string, p plan.Pump, due float64) {
	if p.Price != nil {
		f.set(at, "paid_price", *p.Price*plan.Money(max(1, p.Count)), "life_years", p.Life, "due_years", due)
		f.set("money", "counted", true)
	}
}

// dayHours returns the running hours of a day of a month, and whether they are all at the
// plan's speed.
func (p *PlanPage) dayHours(m time.Month) (float64, bool) {
	var day []clock.SpeedHours
	for h := 0; h < 24 && m > 0; h++ {
		for _, s := range p.water.Schedule.Spells(m, h) {
			day = append(day, clock.SpeedHours{Speed: s.Speed, Hours: s.Part})
		}
	}
	return p.atOneSpeed(day)
}

func (p *PlanPage) atOneSpeed(hours []clock.SpeedHours) (sum float64, all bool) {
	for _, h := range hours {
		switch {
		case h.Speed == 0 || h.Hours == 0:
		case h.Speed != p.water.Works.Speed:
			return 0, false
		default:
			sum += h.Hours
		}
	}
	return sum, sum > 0
}

// dutyWorking works the clean and the dirty point of every pump, beside object.
func (p *PlanPage) dutyWorking(object any) []document.Step {
	f, w := newFigures(object, &p.In.Plan), p.water.Works
	f.dirtFit(w)
	for i, r := range p.water.Runs() {
		at := fmt.Sprintf("pumps.%d", i+1)
		for k, d := range r.Clean.Crossings {
			if d.Stable {
				f.point(fmt.Sprintf("%s.duty.%d", at, k+1), w, i, r.Clean, d, 0)
			}
		}
		f.point(at+".dirty", w, i, r.Dirty, r.Dirty.Duty, w.Dirt.Resistance)
	}
	return f.work()
}

// dirtFit adds the point at which the dirt was fitted.
func (f *figures) dirtFit(w *works.Waterworks) {
	for _, pump := range w.Pumps {
		full, status := pump.Duty(1, w.Line)
		q := full.Flow * units.Flow(1-w.DirtLoss)
		h, err := pump.Curve(1).Head(q)
		if pump.Name() == w.DirtOn && w.Dirt.Resistance > 0 && status == pumps.Meets && err == nil {
			f.set("dirt", "clean_flow_m3_per_h", full.Flow, "flow_loss_fraction", w.DirtLoss,
				"pump_head_m", h, "line_head_m", w.Line.HeadAt(q), "resistance_s2_per_m5", w.Dirt.Resistance)
		}
	}
}

// point adds what d, a duty point of pump i on run r, is worked from: the pieces of the line,
// what the curve gives there, and the added resistance of dirt [s²/m⁵].
func (f *figures) point(at string, w *works.Waterworks, i int, r pumps.Run, d pumps.Duty, dirt float64) {
	if d.Flow <= 0 || r.Bracket {
		return
	}
	q := d.Flow
	line := w.Line
	for k, b := range line.Split(q) {
		f.set(fmt.Sprintf("%s.branch_%d", at, k+1), "flow_m3_per_h", b.Flow, "name", b.Name)
	}
	if line.Branched() {
		return
	}
	water, narrow := line.Water(), line.Feeds()[0].Bore
	for k, feed := range line.Feeds() {
		at, loss := fmt.Sprintf("%s.feed_%d", at, k+1), line.FeedHeads(q)[k].Loss
		f.set(at, "bore_mm", feed.Bore, "length_m", feed.Length, "roughness_mm", feed.Roughness, "viscosity_m2_per_s", water.Kinematic())
		if feed.Pitch > 0 {
			f.set(at, "pitch_mm", feed.Pitch)
		}
		if loss.K1 != 0 || loss.KInf != 0 {
			f.set(at, "plain_coefficient", loss.K, "laminar_coefficient", loss.K1, "turbulent_coefficient", loss.KInf)
		} else {
			f.set(at, "loss_coefficient", loss.K)
		}
		narrow = min(narrow, feed.Bore)
	}
	f.set(at, "lift_m", line.Lift(), "narrowest_bore_mm", narrow, "flow_m3_per_h", q)
	if dirt > 0 {
		f.set(at, "dirt_s2_per_m5", dirt)
	}
	if b := line.Spec().Bed; b.Present() {
		f.set(at, "bed_depth_m", b.Depth, "bed_water_kg_per_m3", water.Density, "bed_viscosity_pa_s", water.Viscosity,
			"bed_voids_fraction", b.Voids, "bed_velocity_m_per_s", b.RiseRate(q), "bed_grain_m", b.Grain)
	}
	pump := w.Pumps[i]
	curve, spec := pump.Curve(w.Speed), pump.Spec()
	if h, err := curve.Head(q); err == nil {
		f.set(at, "curve_head_m", h)
	}
	switch source := pump.PowerSource(); {
	case d.Power <= 0 || spec.Fixed > 0 || curve.HasPower() && (source != pumps.CurvePower || spec.Count > 1):
	case curve.HasPower():
		f.set(at, "power_w", d.Power, "curve_power_w", d.Power)
	case source == pumps.LabelPower:
		f.set(at, "full_power_w", spec.Label.Power, "speed_fraction", w.Speed, "pumps", max(1, spec.Count))
	default:
		f.set(at, "full_power_w", spec.Metered, "speed_fraction", w.Speed, "pumps", max(1, spec.Count))
	}
}

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
