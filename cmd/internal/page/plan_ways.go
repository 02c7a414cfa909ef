package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/bill"
)

// bestWay is the cheapest way to run the water off the grid.
type bestWay struct {
	Strategy string                `json:"strategy"`
	Pump     string                `json:"pump"`
	Panel    float64               `json:"panel_w"`
	Battery  float64               `json:"battery_wh"`
	Charge   figure.Maybe[float64] `json:"battery_ah"`
	Load     units.Power           `json:"load_w"`
	Front    []SizePair            `json:"front"`
	bill.Bill
	energy.Best
	energy.OffGridWater
}

func (p *PlanPage) newBest(b energy.Best) bestWay {
	row, s := &p.Result.Tradeoff[b.Row], p.store(b.Way)
	return bestWay{row.Name, p.water.Pumps[row.Pump].Name, b.Choice.PanelW, b.Choice.BoughtWh, s.chargeAh(), b.Way.Watts, s.front(),
		b.Way.Bill, b, b.Water}
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

// chargerNote is what a charger adds to the best way, nothing where the plan has none.
func (p *PlanPage) chargerNote() document.Prose {
	if b := p.Result.Best(); b.Known && b.Value.Charger.Known {
		return p.chargerText(b.Value.Charger.Value)
	}
	return document.Prose{}
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

// bestText is the cheapest way to run the water off the grid.
func (p *PlanPage) bestText() document.Prose {
	found, goal := p.Result.Best(), p.water.Pond.Value.Goal
	if !found.Known {
		tried := p.Result.DayAndNight().Known && goal.Known
		return document.Prose{}.When(tried, "%v.", Capital(string(found.Why)))
	}
	b := found.Value
	s := p.store(b.Way)
	text := document.Sentence("%v: %v panel, ", p.wayName(), document.Power.Close(b.Choice.PanelW))
	if ah := s.chargeAh(); ah.Known {
		text = text.And("%v %v", document.Volts.Close(b.Way.Bill.BatteryV), document.AmpHours.Close(ah))
	} else {
		text = text.And("%v", document.WattHours.Close(b.Choice.BoughtWh))
	}
	text = text.And(" %v battery", b.Way.Storage.Battery.Kind)
	text = text.When(b.Price.Known, ", %v", p.money.Brief(b.Price)).When(b.PerYear.Known, " (%v a year)", p.money.Brief(b.PerYear)).And(".")
	if v := b.Surely; v.Known && goal.Known {
		text = text.And(" Enough: %v", v.Value.Word)
		text = text.When(b.Water.Turnover.Known, ", every %v", document.Hours.BriefBeside(b.Water.Turnover, goal)).And(".")
	}
	text = text.When(b.YearsInTen.Known, " In %v years of 10 no stop is too long.", document.None.Brief(b.YearsInTen))
	return text.When(!b.Price.Known, " What it costs is not known: no prices are given.")
}

// ownText is what the plan's own panel and battery carry.
func (p *PlanPage) ownText() document.Prose {
	if !p.Result.Solar.Known || !p.Result.Solar.Value.Own.Known {
		return document.Prose{}
	}
	own := p.Result.Solar.Value.Own.Value
	s := document.Sentence("Your own %v panel and %v battery carry %v of the water; the longest stop is %v.",
		document.Power.Close(own.PanelW), document.WattHours.Close(own.BatteryWh), document.Fraction.Brief(1-own.Unmet),
		document.Hours.Brief(own.Longest))
	if w := own.Way.Value; own.Way.Known {
		s = s.When(!w.Planned, " At %v they carry %v, the longest stop %v.", w.Strategy, document.Fraction.Brief(1-w.Unmet),
			document.Hours.Brief(w.Longest))
		s = s.When(w.Surely.Known, " Enough: %v", w.Surely.Value.Word).When(w.Surely.Known && !w.Does, ", but for such stops").
			When(w.Surely.Known, ".")
	}
	return s
}
