package page

import (
	"slices"
	"time"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/still"
)

// limits returns the longest stop to plan with of each month.
func (p *PlanPage) limits() figure.Maybe[[]units.Duration] {
	all, rest := make([]units.Duration, 12), p.Result.Rest
	for m := range all {
		limit := rest.Value.Months[m].Limit
		if all[m] = limit.Value; rest.Known && !limit.Known { // in no month, then
			return figure.Unknown[[]units.Duration](limit.Why)
		}
	}
	return figure.Given(rest.Known, all, rest.Why)
}

// stillLine is how long the water may stand still.
func (p *PlanPage) stillLine() document.Prose {
	rest, stocking := p.Result.Rest, p.In.Plan.Pond.Stocking
	switch {
	case stocking == "none" || !rest.Known && stocking == "":
		return document.Prose{}
	case !rest.Known:
		return document.Sentence("how long the fish could bear it is not known: %v. Have air ready before any stop.", rest.Why)
	}
	always := func(time.Month) bool { return true }
	m, _ := rest.Value.Worst(always)
	when := document.Plain("in " + plan.MonthNames[m.Month-1])
	if t := p.In.Plan.Water.Temperature; t != nil && slices.Max(t[:]) == slices.Min(t[:]) {
		when = document.Plain("at that temperature") // one value for all months names none
	}
	switch five, half := m.Dusk.Five, m.Dusk.FiveHalf; {
	case five.Known && half.Known && five.Value > 0:
		return document.Sentence("after a stop at dusk %v the oxygen is down to 5 mg/L in %v in one case of ten, in %v in one of two. "+
			"Have air ready before any stop.", when, spell(five.Value), spell(half.Value))
	case five.Known && half.Known:
		running := "even with the pump running"
		if p.nearest().Dirty.Flow <= 0 {
			running = "as the pump moves no water"
		}
		return document.Sentence("%v the oxygen may be short %v, and in one case of two %v after a stop at dusk. Have air ready.", when,
			running, spell(half.Value))
	case five.Known:
		return document.Sentence("after a stop at dusk %v the oxygen is down to 5 mg/L in %v in one case of ten. Have air ready before "+
			"any stop.", when, spell(five.Value))
	}
	return document.Sentence("%v %v. Have air ready before any stop.", when, m.Dusk.Five.Why)
}

// restSection says how long the pond may stand still.
func (p *PlanPage) restSection() []document.Section {
	const heading = "How long the water may stand still"
	s, rest := document.Section{Heading: heading}, p.Result.Rest
	if !rest.Known {
		s = unknown(heading, rest.Why)
	} else {
		s.Tables = []document.Table{document.TableOf("rest", rest.Value.Months[:], document.Columns("month: month", "water_c: water",
			"dusk_to_5_tenth_h: dusk, one of ten", "dusk_to_5_half_h: dusk, one of two", "noon_to_5_tenth_h: noon, one of ten",
			"noon_to_5_half_h: noon, one of two", "dusk_to_distress_tenth_h: distress, one of ten", "limit_h: plan with"))}
		note := document.Sentence("Hours from a stop at dusk or at noon until the oxygen is down to 5 mg/L, and to 2.5 mg/L, which is " +
			"distress: in the one case of ten that comes to it first and in the one of two, of 2,000 draws of fish, plants, mud, bed, " +
			"air and fall.")
		note = note.When(rest.Value.LeavesOut(), " Draws in which the fish that are there today could not live are left out.")
		s.Notes = []document.Prose{note.And(" Last comes the longest stop to plan with.")}
		if low, high := rest.Value.BedLow, rest.Value.BedHigh; low.Known && high.Known {
			s.Notes = append(s.Notes, document.Sentence("The fish's feed asks for %v to %v of gravel to take its ammonia (Timmons and "+
				"Ebeling, from memory).",
				document.Volume.Rough(low), document.Volume.Rough(high)))
		}
		if w := rest.Value.PoreWater; w.Known {
			s.Notes = append(s.Notes, document.Sentence("The restart pushes the bed's spent water into the pond: %v, %v of it.",
				document.Litres.Of(w.Value), document.Fraction.Rough(rest.Value.PoreShare)))
		}
	}
	for _, a := range still.StopAdvice(p.canSlow(), p.In.Plan.Air.Power != nil) {
		s.Notes = append(s.Notes, document.Sentence("%v.", Capital(a)))
	}
	return []document.Section{s}
}

// graded adds to a way to run that its stops risk much, as no first line may offer it
// without that; nothing below a high risk, which only fish bring.
func (p *PlanPage) graded(kind energy.StrategyKind) document.Prose {
	r := p.row(kind)
	if r == nil || r.Risk.Value < still.HighRisk {
		return document.Prose{}
	}
	return document.Sentence(", at %v risk to the fish", r.Risk.Value)
}
