package page

import (
	"fmt"
	"math"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/pumps"
	"sunrill/solar"
	"sunrill/solar/sky"
)

// planWorking works every figure of the whole job.
func (p *PlanPage) planWorking() []document.Step {
	w := working{}
	w.take(p.waterWorking())
	p.workMains(&w)
	if s := p.Result.Solar; s.Known {
		sky := s.Value.Sky
		if d := s.Value.DayAndNight; d.Known {
			p.workDayNight(&w, d.Value, s.Value.Months.POA)
		}
		if d := s.Value.Daylight; d.Known {
			p.workDaylight(&w, sky, d.Value)
		}
		w.sunMonth(sky, fmt.Sprintf("solar.months.%d", s.Value.Months.Worst()+1), s.Value.Months.Worst(), s.Value.Months)
		w.sunHour(sky, s.Value.Months.Worst())
	}
	w.take(p.tradeoffWorking())
	return w.steps
}

// take appends steps that stand for themselves.
func (w *working) take(steps []document.Step) {
	for _, s := range steps {
		w.add(s.Key, s.What, s.Formula, s.Result, s.Unit, s.Source, s.Inputs...)
	}
}

// workMains works the chosen pump on the mains.
func (p *PlanPage) workMains(w *working) {
	m := p.mains
	i := p.water.Choice.Index
	if m == nil || i < 0 || p.pumps[i].PerYear == nil {
		return
	}
	year := put("E", m.PerYear, document.KWhPerYear, "energy of a year at the socket")
	w.add("mains.kwh_per_year", "energy of a year at the socket", "E = Ep + Ea", m.PerYear, document.KWhPerYear, "sum of the parts",
		put("Ep", *p.pumps[i].PerYear, document.KWhPerYear, "pump, the larger of clean and dirty"), put("Ea", m.AirPerYear, document.KWhPerYear, "air pump"))
	w.add("mains.kwh_per_day", "energy of the mean day", "e = E / 365", m.PerDay, document.KWhPerDay, byDefinition, year)
	clean, dirty := p.pumps[i].Clean, p.pumps[i].Dirty
	if m.Cost != nil && m.AirPerYear == 0 && clean != nil && dirty != nil && clean.Cost != nil && dirty.Cost != nil {
		w.add("mains.cost_per_year", "cost of a year", "C = (Cc + Cd) / 2", *m.Cost, p.money, "the line is clean and dirty in turn", put("Cc", *clean.Cost, p.money, "clean"), put("Cd", *dirty.Cost, p.money, "dirty"))
		if m.PerKWh != nil && clean.PerYear != nil && dirty.PerYear != nil {
			w.add("mains.cost_per_kwh", "what a kWh comes to", "p = 2 * C / (Ec + Ed)", *m.PerKWh, p.money, byDefinition, put("C", *m.Cost, p.money, "cost of a year"),
				put("Ec", *clean.PerYear, document.KWhPerYear, "clean"), put("Ed", *dirty.PerYear, document.KWhPerYear, "dirty"))
		}
	}
	if price := p.In.Plan.Pumps[i].Price; m.Cost != nil && m.Owned != nil && price != nil {
		p.workOwned(w, "mains.ownership", p.pumps[i].Name, float64(*price)*float64(max(1, p.In.Plan.Pumps[i].Count)), p.In.Plan.Pumps[i].Life.In(units.Year), *m.Cost, *m.Owned, *m.OwnedYearly)
	}
	if c := p.In.Plan.Mains.CarbonPerKWh; m.Carbon != nil && c != nil {
		w.add("mains.carbon_kg_per_year", "carbon dioxide of a year", "m = E * c", *m.Carbon, document.Mass, "the plan's mains.carbon_per_kwh", year, put("c", float64(*c), document.Mass, "a kWh"))
	}
}

// workDayNight works load, battery and money of running through the night.
func (p *PlanPage) workDayNight(w *working, d energy.DayAndNight, poa [12]float64) {
	const key = "solar.day_and_night."
	o, c, draw := p.solar.DayAndNight, d.Front.Chosen, d.Draw
	if draw.Voltage > 0 && draw.Current > 0 {
		loop := float64(draw.CableDrop) / float64(draw.Current)
		power, current := put("P", float64(draw.Duty.Power), document.Power, "pump at its leads"), put("I", float64(draw.Current), document.Amps, "in the cable")
		w.add(key+"current_a", "current in the pump's cable", "I = P / U", float64(draw.Current), document.Amps, byDefinition, power, put("U", float64(draw.Voltage), document.Volts, "at the pump"))
		w.add(key+"cable_drop_fraction", "share of the voltage lost in the cable", "d = I * R / (U + I * R)", o.Drop, document.Fraction, "IEC 60228; copper at its working temperature", current, put("R", loop, document.Named("ohm"), "out and back"), put("U", float64(draw.Voltage), document.Volts, "at the pump"))
		w.add(key+"cable_w", "lost in the cable, both ways", "Pc = I^2 * R", float64(draw.CableLoss), document.Power, "IEC 60228; copper at its working temperature", current, put("R", loop, document.Named("ohm"), "out and back"))
		w.add(key+"load_w", "load at the battery while the pump runs", "L = P + Pc + Pv + Po", o.Load, document.Power, "sum of the parts", power, put("Pc", float64(draw.CableLoss), document.Power, "cable"),
			put("Pv", float64(draw.Conversion), document.Power, "inverter"), put("Po", float64(draw.Controller), document.Power, "controller's own"))
	}
	if p.steady() && math.Abs(o.Load*24/1000-o.LoadPerDay) < 1e-9 {
		w.add(key+"load_kwh_per_day", "load of the mean day", "e = 24 * L / 1000", o.LoadPerDay, document.KWhPerDay, byDefinition, put("L", o.Load, document.Power, "load"))
	}
	p.workOffGrid(w, key, o)
	w.least(key+"least_battery_wh", d.Battery, c.BatteryWh)
	w.usable(key+"usable_wh", d.Battery, c.BoughtWh)
	if o.Charge != nil {
		w.add(key+"battery_ah", "charge of the battery", "Q = E / U", *o.Charge, document.AmpHours, byDefinition, put("E", o.Battery, document.WattHours, "nominal, on sale"), put("U", *o.Volts, document.Volts, "nominal"))
	}
	w.balance(key, c.Connected)
	if o.Price != nil && o.PerYear != nil {
		w.storePrice(key, &p.In.Plan, p.In.Plan.Pumps[p.water.Choice.Nearest].Supply == "AC", c.PanelW, c.BoughtWh, c.Life.Years(), *o.Price, *o.PerYear)
	}
	w.batteryLife(key, d.Battery, c)
	w.handbook(key+"handbook.", d.Handbook, d.Battery, c, d.Made, d.Asked, &poa)
}

// workOffGrid works what the water on the battery makes of the goal, and the
// currents that an installer is given.
func (p *PlanPage) workOffGrid(w *working, key string, o *planDayNight) {
	if p.pond.Volume != nil && o.Turnover != nil {
		volume, water := put("V", *p.pond.Volume, document.Volume, "water in the pond"), put("W", o.offGrid.PerDay, document.FlowPerDay, "water of a day on the battery")
		w.add(key+"turnover_h", "one turnover on the battery", "T = 24 * V / W", *o.Turnover, document.Hours, byDefinition, volume, water)
		if o.Missed != nil && *o.Missed > 0 && p.pond.Goal != nil {
			w.add(key+"missed_by_h", "misses the goal on the battery by", "m = T - Tg", *o.Missed, document.Hours, byDefinition, put("T", *o.Turnover, document.Hours, "one turnover"), put("Tg", *p.pond.Goal, document.Hours, "goal"))
		}
	}
	const spare = "1.25 between a continuous current and what protects it, common practice"
	s := p.sheet.Value
	if s.ControllerCurrent.Known && o.Volts != nil && p.Result.Solar.Value.Sky.Charger.Kind == "MPPT" {
		panel, volts := put("P", o.Panel, document.Power, "panel"), put("U", *o.Volts, document.Volts, "battery, nominal")
		if !limitText(s).IsZero() && o.Charge != nil {
			rate := put("c", p.Result.Solar.Value.DayAndNight.Value.Battery.ChargeLimit, document.None, "of its size an hour")
			size := put("Q", *o.Charge, document.AmpHours, "battery")
			w.add("installer.charge_limit_a", "charging limit of the battery", "I = c * Q", float64(s.ChargeLimit.Value), document.Amps, "the row of the battery's kind, or the plan", rate, size)
			w.add("installer.controller_a", "current of the controller, held to what battery and pump take", "I = min(1.25 * P / U, Ib + L / U)", float64(s.ControllerCurrent.Value), document.Amps, "the balance charges with no more",
				panel, volts, put("Ib", float64(s.ChargeLimit.Value), document.Amps, "charging limit"), put("L", o.Load, document.Power, "pump at the battery"))
		} else {
			w.add("installer.controller_a", "charge current of the controller", "I = 1.25 * P / U", float64(s.ControllerCurrent.Value), document.Amps, spare, panel, volts)
		}
	}
	if n := p.In.Plan.Inverter; s.InverterSurge.Known && s.BatteryCurrent.Known && o.Volts != nil && n.Rated != nil {
		w.add("installer.battery_a", "direct current of the inverter at its rating, the battery low", "I = P / (eta * 0.875 * U)", float64(s.BatteryCurrent.Value), document.Amps, "power over voltage; 10.5 V of 12 V, from memory",
			put("P", float64(*n.Rated), document.Power, "rated"), put("eta", n.Efficiency, document.Fraction, "efficiency"), put("U", *o.Volts, document.Volts, "battery, nominal"))
	}
}

// workDaylight works the pump on the sun alone: the speed and the power at which
// water starts, what the panel gives then, and the water of the months.
func (p *PlanPage) workDaylight(w *working, sky *sky.Sky, d energy.DaylightBudget) {
	const key = "solar.daylight_only."
	o := p.solar.Daylight
	i := p.water.Choice.Nearest
	curve, lift := p.water.Works.Pumps[i].Curve(1), p.water.Works.Line.Lift()
	head, _ := curve.ShutOff()
	if s, ok := curve.LeastSpeed(lift); ok && math.Abs(s-o.LeastSpeed) < 1e-9 {
		w.add(key+"least_speed_fraction", "share of full speed below which nothing flows", "s = sqrt(Hs / H0)", o.LeastSpeed, document.Fraction, "affinity laws, any textbook of pumps",
			put("Hs", float64(lift), document.Head, "lift"), put("H0", float64(head), document.Head, "head at no flow"))
		if p0, err := curve.Power(0); err == nil && p0 > 0 && p.water.Works.Pumps[i].Spec().Fixed == 0 {
			w.add(key+"start_power_w", "what the pump takes there", "P = P0 * s^3", float64(p0)*s*s*s, document.Power, "affinity laws: an idealisation for small motors", put("P0", float64(p0), document.Power, "at no flow and full speed"), put("s", s, document.Fraction, "speed"))
		}
	}
	if o.Start != nil {
		p.workStart(w, sky, key, *o.Start, o.Panel)
	}
	volume := put("V", *p.pond.Volume, document.Volume, "water in the pond")
	var in []document.Input
	var terms []string
	for m, month := range o.Months {
		w.add(fmt.Sprintf("%smonths.%d.turnovers_per_day", key, m+1), "turnovers of a mean day in "+monthName(m), "n = W / V", month.Turnovers, document.TurnoversPerDay, "sum of the hours of the month, over its days",
			put("W", month.PerDay, document.FlowPerDay, "water of a mean day"), volume)
		in = append(in, put(numbered("w", m), month.PerDay, document.FlowPerDay, plan.MonthNames[m]))
		terms = append(terms, fmt.Sprintf("%d * %s", data.MonthDays[m], numbered("w", m)))
	}
	w.add(key+"water_m3_per_year", "water of a year", "W = "+strings.Join(terms, " + "), o.PerYear, document.Volume, "each month by its days", in...)
}

// workStart works what the panel gives at the sun in which water starts.
func (p *PlanPage) workStart(w *working, sky *sky.Sky, key string, sun, panelW float64) {
	air := 0.0
	for _, t := range sky.Climate.TempC {
		air += t / 12
	}
	cell := solar.CellTemperature(air, sun, sky.Panel.NOCT)
	keep := 1 - solar.LossProduct(sky.Panel.Losses)
	if sky.Charger.ByCurrent {
		return
	}
	g := put("G", sun, watts2, "sun on the panel")
	own := 0.0
	if d := p.In.Plan.Controller.OwnDraw; d != nil {
		own = float64(*d)
	}
	w.add(key+"cell_at_start_c", "cells in that sun", "Tc = Ta + (NOCT - 20) * G / 800", cell, document.Temperature, fromRoss, put("Ta", air, document.Temperature, "air, mean of the year"), put("NOCT", sky.Panel.NOCT, document.Temperature, "operating cell temperature"), g)
	w.add(key+"panel_at_start_w", "what the panel gives the pump in that sun: as much as water needs to start", "P = W * G / 1000 * (1 + gamma * (Tc - 25)) * k * eta - Po",
		panelW*keep*solar.PowerRatio(sun, cell, sky.Panel.Gamma)*sky.Charger.Share-own, document.Power, fromDobos,
		put("W", panelW, document.Power, "panel"), g, put("gamma", sky.Panel.Gamma, perK, "temperature coefficient"), put("Tc", cell, document.Temperature, "cells"),
		put("k", keep, document.Fraction, "named losses leave"), put("eta", sky.Charger.Share, document.Fraction, "controller leaves"), put("Po", own, document.Power, "controller's own"))
}

// tradeoffWorking works the rows of the trade-off and what a stop does.
func (p *PlanPage) tradeoffWorking() []document.Step {
	var w working
	p.waterPage.workPond(&w)
	for i := range p.pumps {
		p.workState(&w, i, "dirty", p.pumps[i].Dirty, p.water.Pumps[i].Dirty)
	}
	for i := range p.Rows {
		p.workRow(&w, i)
	}
	p.workShares(&w)
	p.workLift(&w)
	p.workRest(&w)
	return w.steps
}

// workRow works a row of the trade-off.
func (p *PlanPage) workRow(w *working, i int) {
	r, s := p.Rows[i], p.Result.Tradeoff[i]
	if !r.Possible || r.PerDay == nil {
		return
	}
	key := fmt.Sprintf("tradeoff.%d.", i+1)
	water := put("W", *r.PerDay, document.FlowPerDay, "water of a day")
	if p.pond.Volume != nil && r.Turnovers != nil {
		volume := put("V", *p.pond.Volume, document.Volume, "water in the pond")
		w.add(key+"turnovers_per_day", "turnovers a day, "+r.Strategy, "n = W / V", *r.Turnovers, document.TurnoversPerDay, byDefinition, water, volume)
		if r.Turnover != nil {
			w.add(key+"turnover_h", "one turnover, "+r.Strategy, "T = 24 * V / W", *r.Turnover, document.Hours, byDefinition, volume, water)
		}
	}
	if r.Missed != nil && r.Turnover != nil && p.pond.Goal != nil {
		w.add(key+"missed_by_h", "misses the goal by, "+r.Strategy, "m = T - Tg", *r.Missed, document.Hours, byDefinition, put("T", *r.Turnover, document.Hours, "one turnover"), put("Tg", *p.pond.Goal, document.Hours, "goal"))
	}
	if r.WhPerM3 != nil && r.Energy != nil && s.PerYear.Known {
		w.add(key+"wh_per_m3", "energy of each cubic metre, "+r.Strategy, "x = 365 * 1000 * e / Y", *r.WhPerM3, document.WhPerVolume, byDefinition, put("e", *r.Energy, document.KWhPerDay, "energy of the year's mean day"), put("Y", float64(s.PerYear.Value), document.Volume, "water of the year"))
	}
	if s.Kind == energy.Slower && s.Speed > 0 && s.Speed < 1 {
		p.workSlow(w, key, r, s)
	}
}

// workSlow works a slowed pump by the affinity laws.
func (p *PlanPage) workSlow(w *working, key string, r planRow, s energy.Strategy) {
	pump := p.water.Works.Pumps[s.Pump]
	clean, ok := pump.Duty(s.Speed, p.water.Works.Line)
	dirty, ok2 := pump.Duty(s.Speed, pumps.Soil(p.water.Works.Line, p.water.Works.Dirt))
	if ok != pumps.Meets || ok2 != pumps.Meets || pump.Spec().Count > 1 {
		return
	}
	speed := put("s", s.Speed, document.Fraction, "speed")
	full := dirty.Flow / units.Flow(s.Speed)
	head, err := pump.Curve(1).Head(full)
	if err != nil {
		return
	}
	perHour := units.CubicMetrePerHour
	w.add(key+"full_speed_flow_m3_per_h", "flow on the full-speed curve that stands for it, "+r.Strategy, "Q1 = Q / s", full.In(perHour), document.Flow, "affinity laws, any textbook of pumps", put("Q", dirty.Flow.In(perHour), document.Flow, "dirty flow, where slowed pump and line agree"), speed)
	w.add(key+"head_m", "head of the slowed pump, "+r.Strategy, "H = s^2 * H1", float64(dirty.Head), document.Head, "affinity laws, any textbook of pumps", speed, put("H1", float64(head), document.Head, "at Q1 and full speed"))
	if r.Power == nil || pump.Spec().Fixed > 0 {
		return
	}
	more := clean
	if dirty.Power > clean.Power {
		more = dirty
	}
	at := more.Flow / units.Flow(s.Speed)
	w.add(key+"power_w", "power of the slowed pump, the larger of clean and dirty, "+r.Strategy, "P = s^3 * P1", *r.Power, document.Power, "affinity laws: an idealisation for small motors, which lose efficiency when slowed",
		speed, put("P1", float64(pump.Power(at, 1)), document.Power, units.Sprintf("at full speed and %.4g m3/h", at.In(perHour))))
	if r.HighPower != nil {
		w.add(key+"high_power_w", "the same where a part of full power does not fall with speed, "+r.Strategy, "Ph = (f + (1 - f) * s^3) * P1", *r.HighPower, document.Power, "common practice, no source",
			put("f", energy.SlowedFixed, document.Fraction, "part that does not fall"), speed, put("P1", float64(pump.Power(at, 1)), document.Power, "at full speed"))
	}
	if p.steady() && r.Energy != nil && p.In.Plan.Air.Power == nil {
		w.add(key+"kwh_per_day", "energy of a day at the socket, "+r.Strategy, "e = P * 24 / 1000 / eta", *r.Energy, document.KWhPerDay, byDefinition, put("P", *r.Power, document.Power, "drawn by the pump"),
			put("eta", p.pumps[s.Pump].PackShare, document.Fraction, "efficiency of the power pack; 1 without one"))
	}
}

// workShares works the shares that the short answer names, of the row at full
// speed.
func (p *PlanPage) workShares(w *working) {
	full := p.row(energy.FullSpeed)
	if full == nil || full.PerDay == nil {
		return
	}
	for i, r := range p.Rows {
		if !r.Possible || r.Strategy == full.Strategy || r.PerDay == nil {
			continue
		}
		key := fmt.Sprintf("tradeoff.%d.", i+1)
		w.add(key+"water_over_full_fraction", "water over that at full speed, "+r.Strategy, "x = W / W0", fractionOf(*r.PerDay, *full.PerDay), document.Fraction, byDefinition, put("W", *r.PerDay, document.FlowPerDay, "water of a day"), put("W0", *full.PerDay, document.FlowPerDay, "at full speed"))
		if r.Energy != nil && full.Energy != nil {
			w.add(key+"energy_over_full_fraction", "energy over that at full speed, "+r.Strategy, "x = e / e0", fractionOf(*r.Energy, *full.Energy), document.Fraction, byDefinition, put("e", *r.Energy, document.KWhPerDay, "energy of a day"), put("e0", *full.Energy, document.KWhPerDay, "at full speed"))
		}
		if r.Power != nil && full.Power != nil {
			w.add(key+"power_over_full_fraction", "power over that at full speed, "+r.Strategy, "x = P / P0", fractionOf(*r.Power, *full.Power), document.Fraction, byDefinition, put("P", *r.Power, document.Power, "drawn"), put("P0", *full.Power, document.Power, "at full speed"))
		}
	}
}

// workLift works how far the pump can be slowed at all.
func (p *PlanPage) workLift(w *working) {
	i := p.water.Choice.Nearest
	if i < 0 {
		return
	}
	curve, lift := p.water.Works.Pumps[i].Curve(1), p.water.Works.Line.Restart()
	head, ok := curve.ShutOff()
	s, ok2 := curve.LeastSpeed(lift)
	if !ok || !ok2 || lift <= 0 {
		return
	}
	hs, h0 := put("Hs", float64(lift), document.Head, "lift"), put("H0", float64(head), document.Head, "head at no flow")
	w.add("lift.of_shut_off_fraction", "lift over the pump's head at no flow", "x = Hs / H0", float64(lift/head), document.Fraction, byDefinition, hs, h0)
	w.add("lift.least_speed_fraction", "speed below which nothing flows", "s = sqrt(Hs / H0)", s, document.Fraction, "affinity laws, any textbook of pumps", hs, h0)
}
