package cli

import (
	"sunrill/cmd/internal/report"
	"sunrill/data/units"
	"sunrill/pumps"
)

// working shows how the figures of the short answer come about.
func (p *planPage) working() []report.Step {
	steps := p.waterSteps()
	steps = append(steps, p.mainsSteps()...)
	return append(steps, p.sunSteps()...)
}

// waterSteps are those of the pump that the page is about, before cleaning.
func (p *planPage) waterSteps() []report.Step {
	i := p.water.Choice.Nearest
	if i < 0 || p.pumps[i].Dirty == nil || p.pumps[i].Dirty.AtLeast {
		return nil
	}
	d, w := p.pumps[i].Dirty, p.water
	q := units.Flow(d.Flow) * units.CubicMetrePerHour
	lift := float64(w.Works.Line.Lift())
	loss := float64(w.Works.Line.HeadAt(q)) - lift
	dirt := float64(pumps.Soil(w.Works.Line, w.Works.Dirt).HeadAt(q)) - lift - loss
	steps := []report.Step{{Key: "pumps.dirty.head_m", Formula: "lift + losses of the line at the flow + k Q²",
		Inputs: []report.Input{{Symbol: "lift", Value: lift, Unit: report.Head}, {Symbol: "losses", Value: loss, Unit: report.Head},
			{Symbol: "k Q²", Value: dirt, Unit: report.Head}, {Symbol: "Q", Value: d.Flow, Unit: report.Flow}},
		Result: d.Head, Unit: report.Head, Source: "Darcy-Weisbach with Churchill 1977; the flow is where this equals the pump's head"}}
	if p.pond.Volume != nil && d.Turnover != nil && d.WaterPerDay > 0 {
		steps = append(steps, report.Step{Key: "pumps.dirty.turnover_h", Formula: "24 V / water of a day",
			Inputs: []report.Input{{Symbol: "V", Value: *p.pond.Volume, Unit: report.Volume}, {Symbol: "water of a day", Value: d.WaterPerDay, Unit: report.FlowPerDay}},
			Result: *d.Turnover, Unit: report.Hours, Source: "by its meaning"})
	}
	return steps
}

// mainsSteps are those of energy and cost.
func (p *planPage) mainsSteps() []report.Step {
	m := p.mains
	if m == nil || m.Power == nil {
		return nil
	}
	i, _ := p.result.Chosen()
	pump := p.pumps[i]
	steps := []report.Step{{Key: "mains.kwh_per_year", Formula: "365 x the larger of clean and dirty, at the socket, + air pump",
		Inputs: []report.Input{{Symbol: "pump", Value: *pump.PerDay, Unit: report.KWhPerDay}, {Symbol: "air pump", Value: m.AirPerYear, Unit: report.KWhPerYear},
			{Symbol: "watts at the pump", Value: *m.Power, Unit: report.Power}, {Symbol: "power pack", Value: m.Pack, Unit: report.Fraction}},
		Result: m.PerYear, Unit: report.KWhPerYear, Source: "by its meaning"}}
	if m.Cost != nil && pump.Clean != nil && pump.Dirty != nil && pump.Clean.Cost != nil && pump.Dirty.Cost != nil && m.AirPerYear == 0 {
		steps = append(steps, report.Step{Key: "mains.cost_per_year", Formula: "(clean + dirty) / 2, each month's bill with the pump less that without",
			Inputs: []report.Input{{Symbol: "clean", Value: *pump.Clean.Cost, Unit: p.money}, {Symbol: "dirty", Value: *pump.Dirty.Cost, Unit: p.money}},
			Result: *m.Cost, Unit: p.money, Source: "the plan's tariff"})
	}
	return steps
}

// sunSteps are those of panel and battery.
func (p *planPage) sunSteps() []report.Step {
	d := p.solar.DayAndNight
	if d == nil {
		return nil
	}
	b := p.result.Solar.Value.DayAndNight.Value.Battery
	c := p.result.Solar.Value.DayAndNight.Value.Front.Chosen
	need := b.Usable(units.Energy(c.BatteryWh) * units.WattHour).In(units.WattHour)
	steps := []report.Step{{Key: "solar.day_and_night.battery_wh", Formula: "usable need / (usable x cold x end of life), then up the sizes on sale",
		Inputs: []report.Input{{Symbol: "usable need", Value: need, Unit: report.WattHours}, {Symbol: "usable", Value: b.UsableShare, Unit: report.Fraction},
			{Symbol: "cold", Value: b.ColdShare, Unit: report.Fraction}, {Symbol: "end of life", Value: b.EndOfLifeShare, Unit: report.Fraction},
			{Symbol: "least size", Value: c.BatteryWh, Unit: report.WattHours}},
		Result: d.Battery, Unit: report.WattHours, Source: "running deficit over every hour of the years, read twice"}}
	if d.WorstMonth == nil || d.WorstRatio == nil {
		return steps
	}
	made := p.solar.Months[*d.WorstMonth-1]
	return append(steps, report.Step{Key: "solar.day_and_night.worst_month_energy_ratio", Formula: "P y / E",
		Inputs: []report.Input{{Symbol: "P", Value: d.Panel, Unit: report.Power}, {Symbol: "y", Value: made.Yield, Unit: report.WhPerWattDay},
			{Symbol: "E", Value: d.Panel * made.Yield / *d.WorstRatio / 1000, Unit: report.KWhPerDay}},
		Result: *d.WorstRatio, Unit: report.None, Source: "after losses, before charging; IEEE 1562 asks for 1.3 to 1.4 where it matters, from memory"})
}
