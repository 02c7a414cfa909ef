package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/plan"
	"sunrill/energy"
	"sunrill/energy/still"
)

// sections are the parts of the page after the short answer: water, mains, sun,
// trade-off, safety.
func (p *PlanPage) sections() []document.Section {
	all := p.waterSections()
	all = append(all, p.mainsSection())
	all = append(all, p.sunSections()...)
	all = append(all, p.tradeoffSections()...)
	all = append(all, p.restSection()...)
	all = append(all, p.weightSection()...)
	return append(all, p.installerSection()...)
}

// waterSections are those about water that the plan shows.
func (p *PlanPage) waterSections() []document.Section {
	all := p.waterPage.sections(false)
	last := &all[len(all)-1]
	last.Notes = append(last.Notes, document.Sentence("Every pump on every hose, the bed and the rule behind the goal: sunrill compare. Where the head goes: sunrill duty."))
	return all
}

// one returns a table of one row, which holds the figures of an object under
// their own keys.
func one(key string, columns []document.Column, cells ...document.Cell) document.Table {
	return document.Table{Key: key, Columns: columns, Rows: [][]document.Cell{cells}}
}

func (p *PlanPage) mainsSection() document.Section {
	s := document.Section{Heading: "On the mains"}
	m := p.mains
	if m == nil {
		s.Prose = []document.Prose{document.Sentence("Not known: %v.", document.Told(p.mainsWhy))}
		return s
	}
	s.Tables = []document.Table{one("mains", []document.Column{
		{Key: "pump", Heading: "pump", Unit: document.Word},
		{Key: "kwh_per_day", Heading: "energy", Unit: document.KWhPerDay},
		{Key: "kwh_per_year", Heading: "energy", Unit: document.KWhPerYear},
		{Key: "cost_per_year", Heading: "cost a year", Unit: p.money},
		{Key: "cost_per_kwh", Heading: "of a kWh", Unit: p.money},
		{Key: "ownership_present_value", Heading: "all, over the years", Unit: p.money},
		{Key: "ownership_per_year", Heading: "all, a year", Unit: p.money},
		{Key: "carbon_kg_per_year", Heading: "CO2 a year", Unit: document.Mass},
	}, document.Text(m.Pump), document.Number(m.PerDay), document.Number(m.PerYear), document.NumberOr(m.Cost, m.CostWhy), document.NumberOr(m.PerKWh, ""),
		document.NumberOr(m.Owned, m.OwnedWhy), document.NumberOr(m.OwnedYearly, ""), document.NumberOr(m.Carbon, m.CarbonWhy))}
	note := document.Sentence("Energy is the larger of clean and dirty; cost is that of the mean of both, %v.", document.KWhPerYear.Of(m.MeanPerYear))
	if m.Pack < 1 {
		note = document.Sentence("%v The power pack of the pump loses %v on the way.", note, round(document.Fraction, 1-m.Pack))
	}
	if m.AirPerYear > 0 {
		note = document.Sentence("%v The air pump takes %v of it.", note, document.KWhPerYear.Of(m.AirPerYear))
	}
	s.Notes = []document.Prose{note}
	return s
}

// sunSections are the parts about panel and battery, and about running on the
// sun alone.
func (p *PlanPage) sunSections() []document.Section {
	if p.solar.Site == nil {
		return []document.Section{{Heading: "On the sun", Prose: []document.Prose{document.Sentence("Not known: %v.", document.Told(p.solar.DayAndNightWhy))}}}
	}
	return append([]document.Section{p.dayNightSection()}, p.daylightSection())
}

func (p *PlanPage) dayNightSection() document.Section {
	s := document.Section{Heading: "Day and night on panel and battery"}
	d := p.solar.DayAndNight
	if d == nil {
		s.Prose = []document.Prose{document.Sentence("Not known: %v.", document.Told(p.solar.DayAndNightWhy))}
		return s
	}
	s.Prose = append(s.Prose, document.Sentence("The pump takes %v at the battery's terminals, cable and controller included, %v. The panel lies at %v, facing %v from north.",
		document.Power.Of(d.Load), document.KWhPerDay.Of(d.LoadPerDay), document.Degrees.Of(d.Tilt), document.Degrees.Of(d.Azimuth)))
	if d.WorstMonth.Known {
		s.Prose = append(s.Prose, document.Sentence("Worst month: %v, when the panel makes %v times what the pump takes; over the year %v times.",
			plan.MonthNames[d.WorstMonth.Value-1], document.None.Of(d.WorstRatio.Value), document.None.Of(d.MeanRatio)))
	}
	s.Prose = append(s.Prose, p.targetLine(d), p.stopsLine(d))
	if d.Darkest != nil {
		s.Prose = append(s.Prose, darkestText(*d.Darkest))
	}
	s.Prose = append(s.Prose, p.handbookLine(d))
	t := document.Table{Key: "front", Columns: []document.Column{
		{Key: "panel_w", Heading: "panel", Unit: document.Power},
		{Key: "battery_wh", Heading: "least battery", Unit: document.WattHours},
		{Key: "battery_on_sale_wh", Heading: "on sale", Unit: document.WattHours},
		{Key: "unmet_fraction", Heading: "missing", Unit: document.Fraction},
		{Key: "longest_stop_h", Heading: "longest stop", Unit: document.Hours},
		{Key: "price", Heading: "price", Unit: p.money},
		{Key: "cost_per_year", Heading: "a year", Unit: p.money},
	}}
	for _, f := range d.Front {
		t.Rows = append(t.Rows, []document.Cell{document.Number(f.Panel), document.Number(f.Battery), document.NumberOr(f.OnSale, f.SaleWhy),
			document.Number(f.Unmet), document.Number(f.Stop), document.NumberOr(f.Price, f.Why), document.NumberOr(f.PerYear, f.YearWhy)})
	}
	s.Tables = append(s.Tables, t)
	v := p.Result.Solar.Value
	found := v.DayAndNight.Value
	s.Pictures = append([]document.Picture{frontPicture(found.Front)},
		storagePictures(found.Made, found.Asked, found.Darkest.Value, found.Darkest.Known, v.Sky.Weather.Hours())...)
	s.Notes = append(s.Notes, document.Sentence("More panel or more battery: the least battery for some panels, without cut-off and reconnect. How the choice, %v, was made: %v. Spread over other weather: %v.",
		p.pairText(d), d.Rule, d.SpreadWhy))
	return s
}

func (p *PlanPage) pairText(d *planDayNight) document.Prose {
	return document.Sentence("%v with %v", document.Power.Of(d.Panel), document.WattHours.Of(d.Battery))
}

func (p *PlanPage) targetLine(d *planDayNight) document.Prose {
	s := document.Sentence("Target: at most %v of the water missing", round(document.Fraction, d.Unmet))
	if d.StopTarget != nil {
		s = document.Sentence("%v and no stop longer than %v (%v)", s, document.Hours.Of(*d.StopTarget), d.StopWhy)
	} else {
		s = document.Sentence("%v; stops of any length (%v)", s, d.StopWhy)
	}
	return document.Sentence("%v.", s)
}

// stopsLine says how often the water would stop.
func (p *PlanPage) stopsLine(d *planDayNight) document.Prose {
	s := document.Sentence("In %v the water never stops, which is no promise that it will not", recordText(p.Result.Solar.Value.Sky, p.Result.Solar.Value.Sky.Weather.Hours()))
	if d.StopYears > 0 {
		s = document.Sentence("The water stops in %v of %v years", d.StopYears, d.Years)
		s = document.Sentence("%v, %v on average and %v at the longest; %v of the water is missed", s, document.HoursPerYear.Of(d.StopHours), document.Hours.Of(d.LongestStop), round(document.Fraction, d.UnmetFlow))
	}
	s = document.Sentence("%v. The lowest charge is %v.", s, round(document.Fraction, d.LowestCharge))
	if d.Lifetime.Known {
		s = document.Sentence("%v The battery lasts about %v.", s, round(document.Years, d.Lifetime.Value))
	}
	return s
}

func (p *PlanPage) handbookLine(d *planDayNight) document.Prose {
	h := d.Handbook
	if h.Autonomy == nil || h.ArrayToLoad == nil || h.EnergyRatio == nil {
		return document.Sentence("The handbook's figures are not known.")
	}
	return document.Sentence("In a handbook's terms: %v days of autonomy; array to load %v before losses, %v after them, in the worst month.",
		document.None.Of(*h.Autonomy), document.None.Of(*h.ArrayToLoad), document.None.Of(*h.EnergyRatio))
}

func (p *PlanPage) daylightSection() document.Section {
	s := document.Section{Heading: "In daylight only, without a battery"}
	d := p.solar.Daylight
	if d == nil {
		s.Prose = []document.Prose{document.Sentence("Not with this plan: %v.", document.Told(p.solar.DaylightWhy))}
		return s
	}
	start := document.Sentence("A panel of %v (%v) through %v. Below %v speed nothing is lifted", document.Power.Of(d.Panel), d.PanelWhy, controlName(d.Control), round(document.Fraction, d.LeastSpeed))
	if d.Start != nil {
		start = document.Sentence("%v, so water starts at %v of sun on the panel", start, round(document.WattsPerM2, *d.Start))
	} else {
		start = document.Sentence("%v; %v", start, d.StartWhy)
	}
	s.Prose = append(s.Prose, document.Sentence("%v.", start))
	if d.SmallWh != nil {
		s.Prose = append(s.Prose, document.Sentence("A battery of %v carries it through clouds, not through nights: %v a day in the worst month.", document.WattHours.Of(*d.SmallWh), document.Volume.Of(*d.SmallWater)))
	}
	t := document.Table{Key: "daylight", Columns: []document.Column{
		{Key: "month", Heading: "month", Unit: document.Word},
		{Key: "water_m3_per_day", Heading: "water", Unit: document.FlowPerDay},
		{Key: "turnovers_per_day", Heading: "turnovers", Unit: document.TurnoversPerDay},
		{Key: "running_h", Heading: "runs a day", Unit: document.Hours},
		{Key: "still_h", Heading: "a night still", Unit: document.Hours},
		{Key: "longest_still_h", Heading: "longest still", Unit: document.Hours},
	}}
	for _, m := range d.Months {
		t.Rows = append(t.Rows, []document.Cell{document.Text(plan.MonthNames[m.Month-1]), document.Number(m.PerDay), document.Number(m.Turnovers), document.Number(m.Running), document.Number(m.Night), document.Number(m.Longest)})
	}
	s.Tables = append(s.Tables, t)
	s.Pictures = daylightPictures(p.Result.Solar.Value.Daylight.Value.Year, p.water.Pond.Value.Goal.Value)
	return s
}

func controlName(kind string) string {
	if kind == "none" {
		return "nothing between panel and pump"
	}
	return kind + " control"
}

// restSection says how long the pond may stand still.
func (p *PlanPage) restSection() []document.Section {
	stop := p.newStop()
	if stop.LowEarly == nil {
		if stop.RestWhy == "" {
			return nil
		}
		return []document.Section{{Heading: "How long the water may stand still", Prose: []document.Prose{document.Sentence("Not known: %v.", stop.RestWhy)}}}
	}
	s := document.Section{Heading: "How long the water may stand still"}
	t := one("rest", []document.Column{
		{Key: "rest_month", Heading: "month", Unit: document.Word},
		{Key: "rest_low_early_h", Heading: "low end, poor start", Unit: document.Hours},
		{Key: "rest_low_late_h", Heading: "low end, good start", Unit: document.Hours},
		{Key: "rest_fish_alone_h", Heading: "fish alone", Unit: document.Hours},
		{Key: "bed_rest_early_h", Heading: "bed, early", Unit: document.Hours},
		{Key: "bed_rest_late_h", Heading: "bed, late", Unit: document.Hours},
		{Key: "pore_water_l", Heading: "bed's water", Unit: document.Litres},
		{Key: "pore_water_fraction", Heading: "of the pond", Unit: document.Fraction},
	}, document.Text(plan.MonthNames[*stop.RestMonth-1]), document.Number(*stop.LowEarly), document.NumberOr(stop.LowLate, ""), document.NumberOr(stop.FishAlone, "no fish"),
		document.NumberOr(stop.BedEarly, "no bed"), document.NumberOr(stop.BedLate, "no bed"), document.NumberOr(stop.PoreWater, "no bed"), document.NumberOr(stop.PoreShare, ""))
	s.Tables = []document.Table{t}
	s.Notes = append(s.Notes, document.Sentence("Hours until the oxygen is down to 5 mg/L in water 3 degrees above the month's mean: with fish, plants, mud and bed all drawing on it from a poor or a good start (0 h: it starts below that), and with fish alone, which is the kind end and never the answer by itself. The restart pushes the bed's spent water into the pond."))
	advice := still.StopAdvice(p.canSlow(), p.In.Plan.Air.Power != nil)
	for _, a := range advice {
		s.Notes = append(s.Notes, document.Sentence("%v.", Capital(a)))
	}
	return []document.Section{s}
}

// canSlow reports whether the pump of the plan can be slowed.
func (p *PlanPage) canSlow() bool {
	for _, r := range p.Rows {
		if r.Kind == string(energy.Slower) && r.Possible {
			return true
		}
	}
	return false
}
