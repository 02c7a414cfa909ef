package page

import (
	"slices"
	"time"

	"sunrill/cmd/internal/document"
	"sunrill/data/clock"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/still"
	"sunrill/pumps"
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
func (p *PlanPage) restSection() document.Section {
	const heading = "How long the water may stand still"
	o := p.offered()
	s, rest := document.Section{Heading: heading}, o.rest
	if !rest.Known {
		s = unknown(heading, rest.Why)
	} else {
		type row struct {
			still.StandingMonth
			Best int `json:"best_limit_h"` // of the best way off the grid, whose own flow falls back
		}
		rows := make([]row, len(rest.Value.Months))
		best, full := p.Result.Best().Value.Limits, p.Result.DayAndNight().Value.Options.Limits
		for m := range rows {
			if rows[m].StandingMonth = rest.Value.Months[m]; best.Known {
				rows[m].Best = best.Value[m]
			}
		}
		columns := document.Columns("month: month", "dusk_to_5_tenth_h: dusk, one of ten", "dusk_to_5_half_h: dusk, one of two",
			"noon_to_5_tenth_h: noon, one of ten", "noon_to_5_half_h: noon, one of two", "dusk_to_distress_tenth_h: dusk to distress",
			"limit_h: plan with")
		own := best.Known && !o.best && !slices.Equal(best.Value, full[:])
		if own {
			columns = append(columns, document.Columns("best_limit_h: off grid, with")...)
		}
		s.Tables = []document.Table{document.TableOf("rest", rows, columns)}
		note := document.Sentence("Hours from a stop until the oxygen is down to 5 mg/L, in the one case of ten that comes to it first "+
			"and in the one of two, of 2,000 draws of fish, plants, mud, bed, air and fall; distress is 2.5 mg/L, in the one of ten.").
			When(own, " The cheapest way off the grid has limits of its own, as less water falls back.")
		s.Notes = []document.Prose{note.When(rest.Value.LeavesOut(), " Draws in which the fish that are there today could not live are "+
			"left out.")}
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
	return s
}

// monthOff is how long the pump stands in a month off [h], the same in each, so that the one with
// the least air is told.
const monthOff = 30 * clock.HoursPerDay

// planned is the stop of the plan's own hours that fish may lack air in, nothing where there is
// none; another way that is offered keeps the months off alone.
func (p *PlanPage) planned(o offer) document.Prose {
	rest, in := o.rest, &p.In.Plan
	if !rest.Known || in.Pond.Stocking == "none" || in.Air.Power != nil {
		return document.Prose{}
	}
	m, pause := rest.Value.Lacks(func(m time.Month) float64 {
		switch s := p.water.Schedule; {
		case in.Run.MonthsOff.Has(m), !o.best && !s.RunningMonths().Has(m):
			return monthOff
		case o.best && !o.how.IsZero():
			return 0
		default:
			return s.Pause(m)
		}
	})
	how := document.Sentence("for %v in %v", document.Hours.Brief(pause), m.Month)
	if pause >= units.Day {
		how = document.Sentence("all through %v", m.Month)
	}
	return document.Prose{}.When(pause > 0, "the plan stops the pump %v, and fish may lack air after %v", how,
		document.Hours.AtLeast(m.Dusk.Five))
}

// danger is what could go wrong, the worst first; with how long the fish bear it.
func (p *PlanPage) danger(fish bool) document.Line {
	o := p.offered()
	near, planned := p.asOffered(o), p.planned(o)
	l := document.Line{Label: "DANGER", Safety: true}
	say := func(is bool, format string, args ...any) {
		if is {
			l.More = append(l.More, document.Sentence(format, args...))
		}
	}
	r := near.Return.Value
	say(!planned.IsZero(), "By its own hours %v.", planned)
	say(r.Spills, "With leaves in the screen the filter tank SPILLS, and the pond runs dry: %v.", r.Remedy)
	say(near.Stays(), "After a power cut the pump does not start again by itself.")
	l.More = append(l.More, nonZero(p.hoseOff(o))...)
	if fish {
		l.More = append(l.More, nonZero(p.stopText())...)
	}
	pair, sun := p.carried(), p.Result.Solar.Value
	if frost := sun.Frost; frost != nil && (pair.Known || sun.Season.Known) {
		say(true, "Keep the battery above %v: charging it colder ruins it.", document.Temperature.Exact(frost.Least))
	}
	say(pair.Value.Freezes, "A lead battery that is run down freezes here, and bursts: keep it where it is warmer.")
	say(near.Clean.Flow > 0, "Pull the plug before anybody reaches into the water.")
	return l
}

// hoseOff is what a lost hose does to the pond with the pump that is offered.
func (p *PlanPage) hoseOff(o offer) document.Prose {
	r, pump := p.water.Rest, p.water.Pumps[o.pump]
	if !r.Unseen.Known {
		return document.Prose{}
	}
	left, bare := r.Unseen.Value.LeftShare, r.Quickest.Value.ToBare
	if o.pump != p.water.Choice.Nearest { // at the plan's speed too: what runs off goes with the flow
		bare *= units.Duration(r.Quickest.Value.FreeFlow / max(pump.Clean.High.Value, pump.Pump.FreeFlow(p.water.Works.Speed)))
	}
	hose, alone := document.Plain("A hose off empties"), document.Prose{}
	if n := pump.Pump.Lines(); n > 1 {
		all, times := allHoses(n)
		hose = document.Sentence("%v off empty", Capital(all.String()))
		alone = document.Sentence(" (one alone takes %v as long)", times)
	}
	what, then := document.Sentence("%v of the pond", document.Fraction.Brief(1-left)), "fit a float switch"
	if left < pumps.NoneLeft {
		what, then = document.Plain("the pond"), "raise the intake, "+then
	}
	return document.Sentence("%v %v in %v%v: %v.", hose, what, document.Hours.AtLeast(bare), alone, then)
}

// stopText is how soon the fish lack air when the pump stops.
func (p *PlanPage) stopText() document.Prose {
	rest, stocking := p.offered().rest, p.In.Plan.Pond.Stocking
	if stocking == "none" || stocking == "" && !rest.Known {
		return document.Prose{}
	}
	const ready = "Have an air pump ready"
	if !rest.Known {
		return document.Sentence("How long the fish could bear a stop is not known. %v.", ready)
	}
	m, _ := rest.Value.Worst(func(time.Month) bool { return true })
	five, in := m.Dusk.Five, document.Sentence(" in %v", m.Month)
	if t := p.In.Plan.Water.Temperature; t != nil && slices.Max(t[:]) == slices.Min(t[:]) {
		in = document.Prose{} // one value for all months names none
	}
	switch {
	case five.Known && five.Value > 0:
		return document.Sentence("Pump off at dusk%v: fish may lack air in %v. %v.", in, document.Hours.AtLeast(five), ready)
	case five.Known:
		return document.Sentence("The fish may need more air%v than this pump brings in. %v.", in, ready)
	}
	return document.Sentence("Pump off on a warm night: fish may lack air. %v.", ready)
}
