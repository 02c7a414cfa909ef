package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
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
