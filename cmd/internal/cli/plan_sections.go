package cli

import (
	report "sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/energy"
)

// sections are the parts of the page after the short answer: water, mains, sun,
// trade-off, safety.
func (p *planPage) sections() []report.Section {
	all := p.waterSections()
	all = append(all, p.mainsSection())
	all = append(all, p.sunSections()...)
	all = append(all, p.tradeoffSections()...)
	all = append(all, p.restSection()...)
	all = append(all, p.weightSection()...)
	return append(all, p.installerSection()...)
}

// elsewhere are the sections that duty and compare show and a plan leaves to
// them, so that it stays a page.
var elsewhere = map[string]bool{"Where the head goes": true, "Where the goal comes from": true, "The bed": true, evaporationHeading: true, "Next hose up or next pump up": true}

// waterSections are those about water that the plan shows.
func (p *planPage) waterSections() []report.Section {
	var all []report.Section
	for _, s := range p.waterPage.sections() {
		if !elsewhere[s.Heading] {
			all = append(all, s)
		}
	}
	last := &all[len(all)-1]
	last.Notes = append(last.Notes, report.Sentence("Every pump on every hose, the bed and the rule behind the goal: sunrill compare. Where the head goes: sunrill duty."))
	return all
}

// one returns a table of one row, which holds the figures of an object under
// their own keys.
func one(key string, columns []report.Column, cells ...report.Cell) report.Table {
	return report.Table{Key: key, Columns: columns, Rows: [][]report.Cell{cells}}
}

func (p *planPage) mainsSection() report.Section {
	s := report.Section{Heading: "On the mains"}
	m := p.mains
	if m == nil {
		s.Prose = []report.Prose{report.Sentence("Not known: %v.", report.Told(p.mainsWhy))}
		return s
	}
	s.Tables = []report.Table{one("mains", []report.Column{
		{Key: "pump", Heading: "pump", Unit: report.Word},
		{Key: "kwh_per_day", Heading: "energy", Unit: report.KWhPerDay},
		{Key: "kwh_per_year", Heading: "energy", Unit: report.KWhPerYear},
		{Key: "cost_per_year", Heading: "cost a year", Unit: p.money},
		{Key: "cost_per_kwh", Heading: "of a kWh", Unit: p.money},
		{Key: "ownership_present_value", Heading: "all, over the years", Unit: p.money},
		{Key: "ownership_per_year", Heading: "all, a year", Unit: p.money},
		{Key: "carbon_kg_per_year", Heading: "CO2 a year", Unit: report.Mass},
	}, report.Text(m.Pump), report.Number(m.PerDay), report.Number(m.PerYear), report.NumberOr(m.Cost, m.CostWhy), report.NumberOr(m.PerKWh, ""),
		report.NumberOr(m.Owned, m.OwnedWhy), report.NumberOr(m.OwnedYearly, ""), report.NumberOr(m.Carbon, m.CarbonWhy))}
	note := report.Sentence("Energy is the larger of clean and dirty; cost is that of the mean of both, %v.", report.KWhPerYear.Of(m.MeanPerYear))
	if m.Pack < 1 {
		note = report.Sentence("%v The power pack of the pump loses %v on the way.", note, round(report.Fraction, 1-m.Pack))
	}
	if m.AirPerYear > 0 {
		note = report.Sentence("%v The air pump takes %v of it.", note, report.KWhPerYear.Of(m.AirPerYear))
	}
	s.Notes = []report.Prose{note}
	return s
}

// sunSections are the parts about panel and battery, and about running on the
// sun alone.
func (p *planPage) sunSections() []report.Section {
	if p.solar.Site == nil {
		return []report.Section{{Heading: "On the sun", Prose: []report.Prose{report.Sentence("Not known: %v.", report.Told(p.solar.DayAndNightWhy))}}}
	}
	return append([]report.Section{p.dayNightSection()}, p.daylightSection())
}

func (p *planPage) dayNightSection() report.Section {
	s := report.Section{Heading: "Day and night on panel and battery"}
	d := p.solar.DayAndNight
	if d == nil {
		s.Prose = []report.Prose{report.Sentence("Not known: %v.", report.Told(p.solar.DayAndNightWhy))}
		return s
	}
	s.Prose = append(s.Prose, report.Sentence("The pump takes %v at the battery's terminals, cable and controller included, %v. The panel lies at %v, facing %v from north.",
		report.Power.Of(d.Load), report.KWhPerDay.Of(d.LoadPerDay), report.Degrees.Of(d.Tilt), report.Degrees.Of(d.Azimuth)))
	if d.WorstMonth != nil && d.WorstRatio != nil {
		s.Prose = append(s.Prose, report.Sentence("Worst month: %v, when the panel makes %v times what the pump takes; over the year %v times.",
			data.MonthNames[*d.WorstMonth-1], report.None.Of(*d.WorstRatio), report.None.Of(d.MeanRatio)))
	}
	s.Prose = append(s.Prose, p.targetLine(d), p.stopsLine(d))
	if d.Darkest != nil {
		s.Prose = append(s.Prose, darkestText(*d.Darkest))
	}
	s.Prose = append(s.Prose, p.handbookLine(d))
	t := report.Table{Key: "front", Columns: []report.Column{
		{Key: "panel_w", Heading: "panel", Unit: report.Power},
		{Key: "battery_wh", Heading: "least battery", Unit: report.WattHours},
		{Key: "battery_on_sale_wh", Heading: "on sale", Unit: report.WattHours},
		{Key: "unmet_fraction", Heading: "missing", Unit: report.Fraction},
		{Key: "longest_stop_h", Heading: "longest stop", Unit: report.Hours},
		{Key: "price", Heading: "price", Unit: p.money},
		{Key: "cost_per_year", Heading: "a year", Unit: p.money},
	}}
	for _, f := range d.Front {
		t.Rows = append(t.Rows, []report.Cell{report.Number(f.Panel), report.Number(f.Battery), report.NumberOr(f.OnSale, f.SaleWhy),
			report.Number(f.Unmet), report.Number(f.Stop), report.NumberOr(f.Price, f.Why), report.NumberOr(f.PerYear, f.YearWhy)})
	}
	s.Tables = append(s.Tables, t)
	v := p.result.Solar.Value
	found := v.DayAndNight.Value
	s.Pictures = append([]report.Picture{frontPicture(found.Front)},
		storagePictures(found.Made, found.Asked, found.Darkest.Value, found.Darkest.Known, v.Sky.Weather.Hours())...)
	s.Notes = append(s.Notes, report.Sentence("More panel or more battery: the least battery for some panels, without cut-off and reconnect. How the choice, %v, was made: %v. Spread over other weather: %v.",
		p.pairText(d), d.Rule, d.SpreadWhy))
	return s
}

func (p *planPage) pairText(d *planDayNight) report.Prose {
	return report.Sentence("%v with %v", report.Power.Of(d.Panel), report.WattHours.Of(d.Battery))
}

func (p *planPage) targetLine(d *planDayNight) report.Prose {
	s := report.Sentence("Target: at most %v of the water missing", round(report.Fraction, d.Unmet))
	if d.StopTarget != nil {
		s = report.Sentence("%v and no stop longer than %v (%v)", s, report.Hours.Of(*d.StopTarget), d.StopWhy)
	} else {
		s = report.Sentence("%v; stops of any length (%v)", s, d.StopWhy)
	}
	return report.Sentence("%v.", s)
}

// stopsLine says how often the water would stop.
func (p *planPage) stopsLine(d *planDayNight) report.Prose {
	s := report.Sentence("In %v the water never stops, which is no promise that it will not", recordText(p.result.Solar.Value.Sky, p.result.Solar.Value.Sky.Weather.Hours()))
	if d.StopYears > 0 {
		s = report.Sentence("The water stops in %v of %v years", d.StopYears, d.Years)
		s = report.Sentence("%v, %v on average and %v at the longest; %v of the water is missed", s, report.HoursPerYear.Of(d.StopHours), report.Hours.Of(d.LongestStop), round(report.Fraction, d.UnmetFlow))
	}
	s = report.Sentence("%v. The lowest charge is %v.", s, round(report.Fraction, d.LowestCharge))
	if d.Lifetime != nil {
		s = report.Sentence("%v The battery lasts about %v.", s, round(report.Years, *d.Lifetime))
	}
	return s
}

func (p *planPage) handbookLine(d *planDayNight) report.Prose {
	h := d.Handbook
	if h.Autonomy == nil || h.ArrayToLoad == nil || h.EnergyRatio == nil {
		return report.Sentence("The handbook's figures are not known.")
	}
	return report.Sentence("In a handbook's terms: %v days of autonomy; array to load %v before losses, %v after them, in the worst month.",
		report.None.Of(*h.Autonomy), report.None.Of(*h.ArrayToLoad), report.None.Of(*h.EnergyRatio))
}

func (p *planPage) daylightSection() report.Section {
	s := report.Section{Heading: "In daylight only, without a battery"}
	d := p.solar.Daylight
	if d == nil {
		s.Prose = []report.Prose{report.Sentence("Not with this plan: %v.", report.Told(p.solar.DaylightWhy))}
		return s
	}
	start := report.Sentence("A panel of %v (%v) through %v. Below %v speed nothing is lifted", report.Power.Of(d.Panel), d.PanelWhy, controlName(d.Control), round(report.Fraction, d.LeastSpeed))
	if d.Start != nil {
		start = report.Sentence("%v, so water starts at %v of sun on the panel", start, round(report.WattsPerM2, *d.Start))
	} else {
		start = report.Sentence("%v; %v", start, d.StartWhy)
	}
	s.Prose = append(s.Prose, report.Sentence("%v.", start))
	if d.SmallWh != nil {
		s.Prose = append(s.Prose, report.Sentence("A battery of %v carries it through clouds, not through nights: %v a day in the worst month.", report.WattHours.Of(*d.SmallWh), report.Volume.Of(*d.SmallWater)))
	}
	t := report.Table{Key: "daylight", Columns: []report.Column{
		{Key: "month", Heading: "month", Unit: report.Word},
		{Key: "water_m3_per_day", Heading: "water", Unit: report.FlowPerDay},
		{Key: "turnovers_per_day", Heading: "turnovers", Unit: report.TurnoversPerDay},
		{Key: "running_h", Heading: "runs a day", Unit: report.Hours},
		{Key: "still_h", Heading: "a night still", Unit: report.Hours},
		{Key: "longest_still_h", Heading: "longest still", Unit: report.Hours},
	}}
	for _, m := range d.Months {
		t.Rows = append(t.Rows, []report.Cell{report.Text(data.MonthNames[m.Month-1]), report.Number(m.PerDay), report.Number(m.Turnovers), report.Number(m.Running), report.Number(m.Night), report.Number(m.Longest)})
	}
	s.Tables = append(s.Tables, t)
	s.Pictures = daylightPictures(p.result.Solar.Value.Daylight.Value.Year, p.water.Works.Goal)
	return s
}

func controlName(kind string) string {
	if kind == "none" {
		return "nothing between panel and pump"
	}
	return kind + " control"
}

// restSection says how long the pond may stand still.
func (p *planPage) restSection() []report.Section {
	stop := p.newStop()
	if stop.LowEarly == nil {
		if stop.RestWhy == "" {
			return nil
		}
		return []report.Section{{Heading: "How long the water may stand still", Prose: []report.Prose{report.Sentence("Not known: %v.", stop.RestWhy)}}}
	}
	s := report.Section{Heading: "How long the water may stand still"}
	t := one("rest", []report.Column{
		{Key: "rest_month", Heading: "month", Unit: report.Word},
		{Key: "rest_low_early_h", Heading: "low end, poor start", Unit: report.Hours},
		{Key: "rest_low_late_h", Heading: "low end, good start", Unit: report.Hours},
		{Key: "rest_fish_alone_h", Heading: "fish alone", Unit: report.Hours},
		{Key: "bed_rest_early_h", Heading: "bed, early", Unit: report.Hours},
		{Key: "bed_rest_late_h", Heading: "bed, late", Unit: report.Hours},
		{Key: "pore_water_l", Heading: "bed's water", Unit: report.Litres},
		{Key: "pore_water_fraction", Heading: "of the pond", Unit: report.Fraction},
	}, report.Text(data.MonthNames[*stop.RestMonth-1]), report.Number(*stop.LowEarly), report.NumberOr(stop.LowLate, ""), report.NumberOr(stop.FishAlone, "no fish"),
		report.NumberOr(stop.BedEarly, "no bed"), report.NumberOr(stop.BedLate, "no bed"), report.NumberOr(stop.PoreWater, "no bed"), report.NumberOr(stop.PoreShare, ""))
	s.Tables = []report.Table{t}
	s.Notes = append(s.Notes, report.Sentence("Hours until the oxygen is down to 5 mg/L in water 3 degrees above the month's mean: with fish, plants, mud and bed all drawing on it from a poor or a good start (0 h: it starts below that), and with fish alone, which is the kind end and never the answer by itself. The restart pushes the bed's spent water into the pond."))
	advice := energy.StopAdvice(p.canSlow(), p.in.Plan.Air.Power != nil)
	for _, a := range advice {
		s.Notes = append(s.Notes, report.Sentence("%v.", capital(a)))
	}
	return []report.Section{s}
}

// canSlow reports whether the pump of the plan can be slowed.
func (p *planPage) canSlow() bool {
	for _, r := range p.rows {
		if r.Kind == string(energy.Slower) && r.Possible {
			return true
		}
	}
	return false
}
