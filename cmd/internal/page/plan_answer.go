package page

import (
	"math"
	"slices"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/plan"
	"sunrill/energy"
	"sunrill/solar/sky"
)

// answer is the decision and what it rests on, a line each.
func (p *PlanPage) answer() []document.Line {
	c := p.water.Choice
	lines := doubtLines(p.water.Works)
	lines.say("Use", p.use())
	if c.Question != "" {
		lines.say("Need", document.Sentence("%v.", c.Question))
	}
	if c.Nearest >= 0 {
		lines.say("Flow", p.flow(c.Nearest, true))
		lines.say("How sure", p.sure(c.Nearest))
		lines.say("Dry", p.dry(c.Nearest))
	}
	lines.say("Look for", p.lookFor())
	lines.say("Mains", p.mainsLine())
	lines.say("Today", p.today())
	lines.say("Day+night", p.dayNightLine())
	lines.say("Frost", p.frostLine())
	if s := p.Result.Solar; s.Known && s.Value.DayAndNight.Known {
		lines.say("Cheaper", patientText(s.Value.DayAndNight.Value.Patient, p.money))
	}
	lines.say("Daylight", p.daylightLine())
	slower := "Slower"
	if c.Faster.Known { // as planned it runs less still
		slower = Capital(strings.Fields(p.more(c.Faster.Value))[0])
	}
	lines.say(slower, p.slowerLine())
	lines.say("Winter", p.winterLine())
	lines.say("Hose", p.hoseAnswer())
	lines.say("Tank", p.tankAnswer())
	lines.say("Watch", p.watch())
	lines.say("Standing", p.stillLine())
	return lines
}

// use is the decision, and what the next smaller pump is short by.
func (p *PlanPage) use() document.Prose {
	s := p.waterPage.use()
	if more := p.smaller(); !more.IsZero() {
		s = document.Sentence("%v %v", s, more)
	}
	return s
}

func (p *PlanPage) mainsLine() document.Prose {
	m := p.mains
	if pump, _ := p.nearest(); m == nil && p.water.Choice.NoneMeets && pump.PerYear.Known {
		s := document.Sentence("%v would take %v, %v", pump.Name, document.KWhPerDay.Of(pump.PerDay.Value.KilowattHours()), document.KWhPerYear.Of(pump.PerYear.Value.KilowattHours()))
		if c := p.costs[p.water.Choice.Nearest].Year; c.Known {
			s = document.Sentence("%v, %v a year", s, p.amount(c.Value))
		}
		return document.Sentence("%v, though it misses the goal.", s)
	}
	if m == nil {
		return document.Sentence("not known: %v.", document.Told(p.mainsWhy))
	}
	s := document.Sentence("%v, %v", document.KWhPerDay.Of(m.MeanPerDay), document.KWhPerYear.Of(m.MeanPerYear))
	if m.Cost != nil {
		s = document.Sentence("%v, %v a year", s, p.money.Of(*m.Cost))
	}
	if m.PerDay > 1.001*m.MeanPerDay { // else dirt changes nothing that shows
		s = document.Sentence("%v, the mean of clean and dirty (at most %v)", s, document.KWhPerDay.Of(m.PerDay))
	}
	if m.Cost == nil {
		return document.Sentence("%v; cost not known: %v.", s, m.CostWhy)
	}
	if m.OwnedYearly != nil {
		s = document.Sentence("%v; with the pump itself %v a year over %v years", s, p.money.Of(*m.OwnedYearly), m.Years)
	}
	return document.Sentence("%v.", s)
}

func (p *PlanPage) dayNightLine() document.Prose {
	d := p.solar.DayAndNight
	if d == nil {
		return document.Sentence("not known: %v.", document.Told(p.solar.DayAndNightWhy))
	}
	s := document.Sentence("%v panel with %v", document.Power.Of(d.Panel), p.batteryOf(d))
	if d.Price != nil {
		s = document.Sentence("%v for %v", s, p.money.Of(*d.Price))
	}
	sky := p.Result.Solar.Value.Sky
	if d.StopYears == 0 {
		s = document.Sentence("%v: no stop in %v, which is no promise%v.", s, recordText(sky, sky.Weather.Hours()), p.elsewhere(sky))
	} else {
		s = document.Sentence("%v: no stop in %v of %v years, %v at the longest.", s, d.Years-d.StopYears, d.Years, document.Hours.Of(d.LongestStop))
	}
	if more := p.offGridText(d); !more.IsZero() {
		s = document.Sentence("%v On this battery %v.", s, more)
	}
	return s
}

// elsewhere says where other weather is to be had; a file has none.
func (p *PlanPage) elsewhere(sky *sky.Sky) string {
	if sky.Years == 0 {
		return ""
	}
	return "; sunrill size looks at other years"
}

// frostLine says where the battery has to stand, nothing where that is all the
// same.
func (p *PlanPage) frostLine() document.Prose {
	s := p.Result.Solar
	if !s.Known || !s.Value.DayAndNight.Known || s.Value.DayAndNight.Value.Frost == nil {
		return document.Prose{}
	}
	d := s.Value.DayAndNight.Value
	if d.Frost.Given {
		return document.Sentence("%v.", givenFrost(d.Frost, d.Battery.Kind))
	}
	return frostText(d.Frost, d.Battery.Kind, d.Outdoors)
}

// batteryOf words a battery as it is sold.
func (p *PlanPage) batteryOf(d *planDayNight) document.Prose {
	if d.Charge == nil {
		return document.Sentence("%v of %v", document.WattHours.Of(d.Battery), d.Kind)
	}
	return document.Sentence("%v at %v (%v, %v)", document.AmpHours.Of(*d.Charge), document.Volts.Of(*d.Volts), document.WattHours.Of(d.Battery), d.Kind)
}

func (p *PlanPage) daylightLine() document.Prose {
	d := p.solar.Daylight
	if d == nil {
		if p.solar.DayAndNight == nil && p.solar.DaylightWhy == p.solar.DayAndNightWhy {
			return document.Prose{}
		}
		return document.Sentence("not with this plan: %v.", document.Told(p.solar.DaylightWhy))
	}
	least, most := p.Result.Solar.Value.Daylight.Value.Year.Least, 0
	for i, m := range d.Months {
		if m.Turnovers > d.Months[most].Turnovers {
			most = i
		}
	}
	switch {
	case d.PerYear == 0:
		return document.Sentence("%v panel, no battery: no water in any month.", document.Power.Of(d.Panel))
	case d.Months[least].Turnovers == 0:
		return document.Sentence("%v panel, no battery: no water at all in %v, %v turnovers a day in %v.", document.Power.Of(d.Panel), plan.MonthNames[least],
			document.None.Of(d.Months[most].Turnovers), plan.MonthNames[most])
	}
	s := document.Sentence("%v panel, no battery: %v turnovers a day in %v, %v in %v", document.Power.Of(d.Panel),
		document.None.Of(d.Months[least].Turnovers), plan.MonthNames[least], document.None.Of(d.Months[most].Turnovers), plan.MonthNames[most])
	s = document.Sentence("%v; a night without water lasts %v in %v, the longest stop %v", s, document.Hours.Of(d.Months[least].Night), plan.MonthNames[least], document.Hours.Of(d.Longest))
	if d.Start != nil {
		s = document.Sentence("%v; water starts at %v on the panel", s, round(document.WattsPerM2, *d.Start))
	}
	return document.Sentence("%v.", s)
}

// slowerRow returns the slowest speed that still meets the goal; where none
// does or there is no goal, the one that stands for slowing down or the nearest
// below full speed; nil where the pump cannot be slowed.
func (p *PlanPage) slowerRow() *planRow {
	pick := p.exampleRow()
	if pick == nil {
		pick = p.row(energy.Slower)
	}
	for i, r := range p.Rows { // from fast to slow
		if r.Kind == string(energy.Slower) && r.meets() {
			pick = &p.Rows[i]
		}
	}
	return pick
}

// slowerLine is what a slower speed saves: against the plan as it runs, where that
// is not at full speed all day.
func (p *PlanPage) slowerLine() document.Prose {
	r, f := p.slowerRow(), p.row(energy.FullSpeed)
	planned := p.row(energy.AsPlanned)
	if planned != nil {
		f = planned
	}
	if r == nil {
		for _, r := range p.Rows {
			if r.Kind == string(energy.Slower) {
				return document.Sentence("%v.", document.Told(r.Why))
			}
		}
	}
	if r == nil || f == nil {
		return document.Prose{}
	}
	at, of, its := r.Strategy, "the", "the"
	if planned != nil {
		of, its = "the plan's", "its"
		if len(p.In.Plan.Run.Bands) > 0 {
			at += " day and night"
		}
	}
	s := document.Sentence("at %v, %v of %v water", at, ofWhole(fractionOf(*r.PerDay, *f.PerDay)), of)
	if r.Energy != nil && f.Energy != nil {
		s = document.Sentence("%v for %v of %v energy", s, ofFull(r.Energy, r.HighEnergy, *f.Energy), its)
		if *r.Energy >= *f.Energy && !p.water.Choice.Faster.Known {
			s = document.Sentence("%v, which saves nothing", s)
		}
	}
	if r.Panel != nil && r.Battery != nil {
		s = document.Sentence("%v: %v, %v", s, document.Power.Of(*r.Panel), document.WattHours.Of(*r.Battery))
		if o := r.OffGrid; o != nil && math.Abs(o.PerDay-*r.PerDay) > sameWater**r.PerDay {
			s = document.Sentence("%v, which move %v", s, document.FlowPerDay.Of(o.PerDay))
		}
	}
	met, missed := r.verdict()
	switch {
	case met == nil:
	case *met && p.water.Choice.Faster.Known:
		s = document.Sentence("%v; meets the goal", s)
	case *met:
		s = document.Sentence("%v; still meets the goal", s)
	case missed != nil:
		s = document.Sentence("%v; misses the goal by %v", s, spell(*missed))
	}
	return document.Sentence("%v.", s)
}

// verdict returns whether a row meets the goal and by how much it misses it: on
// its battery where that is known, else on the mains.
func (r *planRow) verdict() (met *bool, missed *float64) {
	if o := r.OffGrid; o != nil && r.Panel != nil {
		return o.Met, o.Missed
	}
	return r.GoalMet, r.Missed
}

func (r *planRow) meets() bool {
	met, _ := r.verdict()
	return met != nil && *met
}

// winterLine offers to stand still through the dark months.
func (p *PlanPage) winterLine() document.Prose {
	r := p.row(energy.OffInWinter)
	if r == nil || r.Panel == nil || r.Battery == nil {
		return document.Prose{}
	}
	return document.Sentence("%v, %v with %v would do; the filter must start anew in spring, and fish need a hole in the ice and air.", r.Strategy,
		document.Power.Of(*r.Panel), document.WattHours.Of(*r.Battery))
}

// stillLine is how long the water may stand still.
func (p *PlanPage) stillLine() document.Prose {
	stop := p.newStop()
	switch {
	case p.In.Plan.Pond.Stocking == "none":
		return document.Prose{}
	case !p.Result.Rest.Known && p.In.Plan.Pond.Stocking != "":
		return document.Sentence("how long the fish could bear it is not known: %v. Have air ready before any stop.", p.Result.Rest.Why)
	case stop.LowEarly == nil || stop.LowLate == nil || stop.RestMonth == nil:
		return document.Prose{}
	}
	when := plan.MonthNames[*stop.RestMonth-1]
	if t := p.In.Plan.Water.Temperature; t != nil && slices.Max(t[:]) == slices.Min(t[:]) {
		when = "spell" // one value for all months names none
	}
	s := document.Sentence("with the water still in a warm %v the oxygen may be short after %v to %v", when, spell(*stop.LowEarly), spell(*stop.LowLate))
	if *stop.LowEarly == 0 {
		s = document.Sentence("with the water still in a warm %v the oxygen may be short at once, or after %v from a good start", when, spell(*stop.LowLate))
	}
	if stop.FishAlone != nil {
		s = document.Sentence("%v (fish alone, the kind end: %v)", s, round(document.Hours, *stop.FishAlone))
	}
	return document.Sentence("%v. Have air ready before any stop.", s)
}
