package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
)

// bestWay is the cheapest way to run the water off the grid.
type bestWay struct {
	Strategy string                `json:"strategy"`
	Pump     string                `json:"pump"`
	Panel    float64               `json:"panel_w"`
	Battery  float64               `json:"battery_wh"`
	Charge   figure.Maybe[float64] `json:"battery_ah"`
	Volts    units.Voltage         `json:"battery_v"`
	Load     units.Power           `json:"load_w"`
	Front    []SizePair            `json:"front"`
	energy.Best
	energy.OffGridWater
}

func (p *PlanPage) newBest(b energy.Best) bestWay {
	row, s := &p.Result.Tradeoff[b.Row], p.store(b.Way)
	return bestWay{row.Name, p.water.Pumps[row.Pump].Name, b.Choice.PanelW, b.Choice.BoughtWh, s.chargeAh(),
		b.Way.Storage.BatteryVoltage(), b.Way.Watts, s.front(), b, b.Water}
}

// carried returns the panel and battery to buy, with what stands beside them: those of the
// best way, else those of the plan's own hours.
func (p *PlanPage) carried() figure.Maybe[energy.DayAndNight] {
	if b := p.Result.Best(); b.Known {
		return figure.Known(b.Value.Way)
	}
	return p.Result.DayAndNight()
}

// carriedPump is the pump of that pair, an index of Water.Pumps.
func (p *PlanPage) carriedPump() int {
	if b := p.Result.Best(); b.Known {
		return p.Result.Tradeoff[b.Value.Row].Pump
	}
	return p.Result.Base
}

// wayName names the best way by its pump and how it runs.
func (p *PlanPage) wayName() document.Prose {
	b := p.Result.Best()
	if !b.Known {
		return document.Prose{}
	}
	row := &p.Result.Tradeoff[b.Value.Row]
	name := document.Plain(p.water.Pumps[row.Pump].Name)
	if row.Pump != p.Result.Base {
		return document.Plain(row.Name)
	}
	return name.And(", %v", row.Name)
}

// offGridLine is the best way in one line, or why there is none, after what speaks against
// the sun at all.
func (p *PlanPage) offGridLine() document.Prose {
	found := p.Result.Best()
	if !found.Known {
		if not := p.worthText(); !not.IsZero() {
			return not
		}
		return document.Sentence("not known: %v.", document.Told(found.Why))
	}
	b := found.Value
	s := document.Sentence("%v: %v panel with %v", p.wayName(), document.Power.Of(b.Choice.PanelW), p.store(b.Way).batteryText())
	s = s.When(b.Price.Known, " for %v", p.money.Of(b.Price))
	s = s.When(b.PerYear.Known && b.PerYear.Why == "", ", %v a year with the pump's replacement", p.money.Of(b.PerYear))
	s = s.When(b.PerYear.Known && b.PerYear.Why != "", ", %v a year", p.money.Of(b.PerYear))
	if mains := p.Result.Solar.Value.MainsYear; mains.Known && b.PerYear.Known {
		s = s.And(" (on the mains %v)", p.money.Of(mains))
	}
	if v := b.Surely; v.Known && b.Water.Turnover.Known {
		s = s.And(". One turnover in %v dirty; goal met: %v (%v)", document.Hours.Of(b.Water.Turnover), v.Value.Word,
			document.Fraction.Rough(v.Value.Chance))
	}
	if run := b.Choice.Connected; run.YearsWithStop > 0 && b.Way.Options.YearsInTen.Known {
		s = s.And(". In %v of %v years no stop outlasts what its month bears; the longest is %v.", run.Years-run.BadYears, run.Years,
			document.Hours.Of(run.Stops.LongestHours))
	} else if run.YearsWithStop > 0 {
		s = s.And(". A stop in %v of %v years, %v at the longest.", run.YearsWithStop, run.Years, document.Hours.Of(run.Stops.LongestHours))
	} else {
		s = s.And(". No stop in %v, which is no promise.", recordText(b.Way.Storage.Sky, b.Way.Storage.Sky.Weather.Hours()))
	}
	if c := b.Charger; c.Known {
		s = s.And(" %v", p.chargerText(c.Value))
	}
	if not := p.worthText(); !not.IsZero() {
		return document.Sentence("%v All the year: %v", not, s)
	}
	return s
}

// worthText says that the sun is the wrong answer, with what else there is; nothing where it
// is not.
func (p *PlanPage) worthText() document.Prose {
	sun := &p.Result.Solar.Value
	if !p.Result.Solar.Known || !sun.Worth.Known || sun.Worth.Value {
		return document.Prose{}
	}
	s := document.Sentence("%v.", document.Told(sun.Worth.Why))
	if season := sun.Season; season.Known {
		v := season.Value
		s = s.And(" %v on %v of panel with %v", v.Name, document.Power.Of(v.Panel), document.WattHours.Of(v.Battery))
		s = s.When(v.Price.Known, ", for %v", p.money.Of(v.Price))
		s = s.And("; in the other months a generator on a charger of %v runs %v for %v of fuel, outdoors: its exhaust kills",
			document.Power.Of(v.Charger.Power), document.HoursPerYear.Of(v.Charger.Hours), document.Litres.Of(v.Charger.Fuel))
		s = s.And(".")
	}
	return s.When(sun.MainsYear.Known && !p.Result.Best().Known, " On the mains it is %v a year.", p.money.Of(sun.MainsYear))
}

// chargerText says what a charger on a generator adds to a pair.
func (p *PlanPage) chargerText(c energy.ChargerUse) document.Prose {
	if c.Hours == 0 {
		return document.Sentence("A charger of %v has nothing to do.", document.Power.Of(c.Power))
	}
	s := document.Sentence("With a charger of %v on a generator, %v for %v of fuel", document.Power.Of(c.Power),
		document.HoursPerYear.Of(c.Hours), document.Litres.Of(c.Fuel))
	if c.Stops > 0 {
		return s.And(", and still %v of stops.", document.HoursPerYear.Of(c.Stops))
	}
	return s.And(", no stop is left.")
}

// ownLine says what the plan's own panel and battery carry of its hours.
func (p *PlanPage) ownLine() document.Prose {
	if !p.Result.Solar.Known || !p.Result.Solar.Value.Own.Known {
		return document.Prose{}
	}
	own := p.Result.Solar.Value.Own.Value
	worst := 0
	for m, v := range own.Months {
		if v.PerDay < own.Months[worst].PerDay {
			worst = m
		}
	}
	s := document.Sentence("%v with %v carry %v of the water at mid-life, %v new: %v of stops, %v at the longest; least in %v, %v a day",
		document.Power.Of(own.PanelW), document.WattHours.Of(own.BatteryWh), document.Fraction.Of(1-own.Unmet),
		document.Fraction.Of(1-own.New.Unmet), document.HoursPerYear.Of(own.Stops), document.Hours.Of(own.Longest), plan.MonthNames[worst],
		document.Volume.Of(own.Months[worst].PerDay)).And(".")
	if own.Charger.Known {
		s = s.And(" %v", p.chargerText(own.Charger.Value))
	}
	return s
}

// ownSection is the plan's own pair by month.
func (p *PlanPage) ownSection() []document.Section {
	if !p.Result.Solar.Known || !p.Result.Solar.Value.Own.Known {
		return nil
	}
	type row struct {
		energy.OwnMonth
		Name string `json:"month"`
	}
	own := p.Result.Solar.Value.Own.Value
	rows := make([]row, len(own.Months))
	for m, v := range own.Months {
		rows[m] = row{v, plan.MonthNames[m]}
	}
	return []document.Section{{Heading: "What your own pair carries", Prose: []document.Prose{p.ownLine()},
		Tables: []document.Table{document.TableOf("own", rows, document.Columns("month: month", "water_m3_per_day: water",
			"carried_fraction: of what the hours ask", "new_water_m3_per_day: water, new"))}}}
}
