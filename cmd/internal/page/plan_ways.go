package page

import (
	"math"
	"slices"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/bill"
	"sunrill/pumps/works"
)

// bestWay is the cheapest way to run the water off the grid.
type bestWay struct {
	Strategy string                `json:"strategy"`
	Pump     string                `json:"pump"`
	Panel    float64               `json:"panel_w"`
	Battery  float64               `json:"battery_wh"`
	Charge   figure.Maybe[float64] `json:"battery_ah"`
	Load     units.Power           `json:"load_w"`
	bill.Bill
	energy.Best
	energy.OffGridWater
}

func (p *PlanPage) newBest(b energy.Best) bestWay {
	row, s := &p.Result.Tradeoff[b.Row], p.store(b.Way)
	return bestWay{row.Name, p.water.Pumps[row.Pump].Name, b.Choice.PanelW, b.Choice.BoughtWh, s.chargeAh(), b.Way.Watts, b.Way.Bill, b,
		b.Water}
}

// carried returns the panel and battery to buy, with what stands beside them: those of the
// best way, else those of the plan's own hours.
func (p *PlanPage) carried() figure.Maybe[energy.DayAndNight] {
	if b := p.Result.Best(); b.Known {
		return figure.Known(b.Value.Way)
	}
	return p.Result.DayAndNight()
}

// carriedPump returns the pump that they carry.
func (p *PlanPage) carriedPump() int {
	if b := p.Result.Best(); b.Known {
		return p.Result.Tradeoff[b.Value.Row].Pump
	}
	return p.Result.Base
}

// bestName names the best way, nothing where there is none.
func (p *PlanPage) bestName() document.Prose {
	if b := p.Result.Best(); b.Known {
		return p.wayName(p.Result.Tradeoff[b.Value.Row].Variant)
	}
	return document.Prose{}
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
	var prose []document.Prose
	if own.Charger.Known {
		prose = append(prose, p.chargerText(own.Charger.Value))
	}
	rows := make([]row, len(own.Months))
	for m, v := range own.Months {
		rows[m] = row{v, plan.MonthNames[m]}
	}
	return []document.Section{{Heading: "What your own pair carries", Prose: prose,
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
	text, mains := document.Prose{}, p.In.Plan.Site.Mains // without which the verdict has said so
	if text = text.When(!p.seasonText().IsZero(), "All the year: "); text.IsZero() {
		text = text.When(mains && p.Result.Tradeoff[b.Row].Pump != p.water.Choice.Nearest, "Cheapest is ")
	}
	text = text.And("%v: %v panel, ", p.bestName(),
		document.Power.Close(b.Choice.PanelW))
	if ah := s.chargeAh(); ah.Known {
		text = text.And("%v %v", document.Volts.Close(b.Way.Bill.BatteryV), document.AmpHours.Close(ah))
	} else {
		text = text.And("%v", document.WattHours.Close(b.Choice.BoughtWh))
	}
	text = text.And(" %v battery", b.Way.Storage.Battery.Kind)
	text = text.When(b.Price.Known, ", %v", p.money.Brief(b.Price)).When(b.PerYear.Known, "; %v a year%v",
		p.money.Brief(b.PerYear), p.allTold()).And(".")
	if v := b.Surely; v.Known && goal.Known {
		text = text.And(" Enough: %v", v.Value.Word)
		text = text.When(b.Water.Turnover.Known, ", every %v", document.Hours.BriefBeside(b.Water.Turnover, goal)).
			When(b.Water.Misses(), "; %v is usual", p.practice()).And(".")
	}
	bear := document.Plain(" longer than the fish can bear")
	given := p.In.Plan.Reliability.LongestStop
	if l := b.Limits.Value; b.Limits.Known && slices.Max(l) == 0 || given != nil && *given == 0 {
		bear = document.Plain(" at all")
	} else if b.Limits.Known && slices.Min(l) == slices.Max(l) {
		bear = document.Sentence(" longer than %v", document.Hours.Exact(l[0]))
	} else if given != nil {
		bear = document.Sentence(" longer than %v", document.Hours.Exact(*given))
	}
	text = text.When(b.YearsInTen.Known, " In %v years of 10, no stop%v.", goodYears(b), bear)
	fast := b.Water.Faster()
	text = text.When(b.Stands.Known && fast, " On the battery the pump runs at %v of its rated speed, and", document.Fraction.Brief(
		b.Water.Speed)).When(b.Stands.Known && !fast, " The pump").When(b.Stands.Known, " must stand %v.", document.Volts.Close(b.Stands))
	return text.When(!b.Price.Known, " What it costs is not known: no prices are given.")
}

// allTold ends a sum a year off the grid: what it leaves out, if anything.
func (p *PlanPage) allTold() document.Prose {
	if best := p.Result.Best(); best.Known {
		if out := best.Value.LeftOut(); len(out) > 0 {
			return document.Plain(", without " + listed(out))
		}
	}
	return document.Plain(" all told")
}

// ownText is what the plan's own panel and battery carry.
func (p *PlanPage) ownText() document.Prose {
	if !p.Result.Solar.Known || !p.Result.Solar.Value.Own.Known {
		return document.Prose{}
	}
	own := p.Result.Solar.Value.Own.Value
	of, base := document.Prose{}, p.Result.Base
	of = of.When(own.Way.Known && own.Way.Value.Row.Pump != base, " of %v", called(p.water.Pumps[base].Name))
	s := document.Sentence("Your own %v panel and %v battery carry %v of the water%v%v.", document.Power.Close(own.PanelW),
		document.WattHours.Close(own.BatteryWh), carriedOf(own.Unmet), of, longestStop(own.Carried))
	if w := own.Way.Value; own.Way.Known {
		s = s.When(!w.Planned, " With %v they carry %v%v.", p.wayName(w.Row.Variant), carriedOf(w.Unmet), longestStop(w.Carried))
		s = s.When(w.Surely.Known && w.Does, " Enough: %v.", w.Surely.Value.Word).
			When(!w.Does, " NOT ENOUGH: it stops for too long or too often.")
	}
	return s
}

// longestStop tells the longest stop of a pair, after what it carries.
func longestStop(c energy.Carried) document.Prose {
	switch {
	case c.Never():
		return document.Plain(", and never all of it")
	case c.Longest == 0:
		return document.Plain(" without a stop")
	}
	return document.Sentence("; the longest stop is %v", document.Hours.Brief(c.Longest))
}

// stranded reports whether the pump of the page is for mains that there are none of, and no
// inverter makes them.
func (p *PlanPage) stranded() bool {
	plan := &p.In.Plan
	return !plan.Site.Mains && plan.Pumps[p.water.Choice.Nearest].Supply == "AC" && !plan.HasInverter()
}

// goodYears is in how many years of ten a way has no stop too long, in whole years unless
// more was asked for.
func goodYears(b energy.Best) float64 {
	parts := 1.0
	if asked := b.Way.Options.YearsInTen.Value; asked != math.Floor(asked) {
		parts = 10
	}
	return math.Floor(parts*b.YearsInTen.Value*(1+1e-9)) / parts
}

// carriedOf is what is left of the water beside a share that is missed; all of it only where
// nothing is.
func carriedOf(unmet float64) document.Prose {
	if unmet > 0 && unmet < 0.005 {
		return document.Sentence("over 99 %%")
	}
	return document.Sentence("%v", document.Fraction.Brief(1-unmet))
}

// bestPlanText is the cheapest plan that was found, in a sentence: what to change, what it
// saves and what it costs.
func (p *PlanPage) bestPlanText(found figure.Maybe[energy.BestPlan]) document.Prose {
	if !found.Known {
		return document.Prose{}
	}
	b, near := found.Value, p.nearest()
	s := document.Sentence("Cheapest found")
	if b.Panel.Known {
		s = s.And(" off the grid")
	} else if b.Pump != near.Name { // the pump is the one as long as nothing else changes
		s = document.Sentence("Slowed it pays")
		if b.Hose != "" {
			s = document.Sentence("With a new hose it may pay")
		}
	}
	s = s.And(": %v%v", b.Pump, p.bestPlanHow(b)).When(b.Surely.Word != near.Surely.Value.Word, " %v, and", likely(works.WaterPump{
		Surely: figure.Known(b.Surely)}))
	if b.Panel.Known {
		s = s.And(", with %v of panel", document.Power.Brief(b.Panel)).When(b.Tilt.Known, " at a tilt of %v",
			document.Degrees.Brief(b.Tilt)).And(" and %v of battery,", document.WattHours.Brief(b.Battery))
	}
	told := document.Plain(" all told")
	if b.Panel.Known {
		told = p.allTold()
	}
	low := b.LeastSaves
	if low.Known && low.Value > b.Saves.Value { // the plan's own speed spares less than it should, too
		low, b.Saves = b.Saves, low
	}
	switch {
	case !b.Saves.Known:
		s = s.And(" is %v a year%v", p.money.Brief(b.PerYear), p.allTold())
	case !low.Known:
		s = s.And(" saves %v a year%v", p.money.Brief(b.Saves), told)
	case low.Value > b.Saves.Value/10:
		s = s.And(" saves %v to %v a year", p.money.Brief(low), p.money.Brief(b.Saves))
	default:
		s = s.And(" saves at most %v a year, and next to nothing if the motor spares less than it should", p.money.Brief(b.Saves))
	}
	if b.Hose != "" {
		if b.HoseWorth.Known && b.HoseWorth.Value > 0 {
			return s.And(", if hose and work cost under %v in all.", p.money.Brief(b.HoseWorth))
		}
		return s.And(", the hose not counted.")
	}
	return s.When(b.Price.Known && b.Price.Value > 0, ", for %v now", p.money.Brief(b.Price)).And(".")
}

// bestPlanHow is how its pump runs, and on what.
func (p *PlanPage) bestPlanHow(b energy.BestPlan) document.Prose {
	share := document.Fraction.Brief
	s := document.Prose{}.When(b.Day > 0 && b.Day == b.Night, " at %v speed", share(b.Day))
	s = s.When(b.Day != b.Night, " at %v speed by day and %v by night", share(b.Day), share(b.Night))
	return s.When(b.Hose != "", " on %v", plainHose(b.Hose))
}

// bestPlanSection is the cheapest plan that was found and how to try it, or why there is
// none.
func (p *PlanPage) bestPlanSection() document.Section {
	const heading = "The cheapest plan found"
	var prose []document.Prose
	for _, found := range []figure.Maybe[energy.BestPlan]{p.Result.BestPlan, p.Result.BestOffGrid} {
		if b := found.Value; found.Known {
			prose = append(prose, p.bestPlanText(found).When(b.LeastSaves.Known, " The more is saved if the power falls as the cube of "+
				"the speed, the less if %v of full power stays.", document.Fraction.Brief(energy.SlowedFixed)), p.tryText(b))
		}
	}
	switch why := p.Result.BestPlan.Why; {
	case len(prose) == 0 && strings.HasPrefix(string(why), energy.NoneCheaper):
		prose = []document.Prose{document.Sentence("None: %v.", document.Told(why))}
	case len(prose) == 0:
		return unknown(heading, why)
	}
	return document.Section{Heading: heading, Prose: prose}
}

// tryText is the command that shows a best plan.
func (p *PlanPage) tryText(b energy.BestPlan) document.Prose {
	try := "To try it: sunrill plan"
	switch file := p.In.Plan.File; {
	case p.In.Demo:
		try += " --demo"
	case file != "":
		try += " " + file
	}
	for _, c := range b.Changes {
		try += " --set '" + strings.ReplaceAll(c.Key+"="+c.Value, "'", `'\''`) + "'"
	}
	return document.Plain(try)
}
