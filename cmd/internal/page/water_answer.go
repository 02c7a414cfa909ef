package page

import (
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/pumps/works"
)

// inPractice reports whether pump i misses a goal that nobody gave, and is inside the
// practice that the goal was taken from.
func (p *waterPage) inPractice(i int) bool {
	v := p.water.Pumps[i].Surely.Value
	return v.InPractice.Known && v.InPractice.Value >= works.ChanceProbably && v.Chance < works.ChanceProbably &&
		p.water.Pumps[i].Dirty.Misses()
}

// practice is the practice for the stocking.
func (p *waterPage) practice() document.Prose {
	r := p.water.Pond.Value.Rule.Value
	return document.Sentence("%v to %v", document.None.Exact(r.Quickest.In(units.Hour)), document.Hours.Exact(r.Slowest))
}

// thePump names a pump in a sentence.
func thePump(name string) document.Prose {
	if name = called(name); strings.HasSuffix(strings.ToLower(name), "pump") {
		return document.Sentence("the %v", name)
	}
	return document.Sentence("the %v pump", name)
}

// remedy says what would make the goal a sure one, the cheapest first.
func (p *waterPage) remedy() document.Prose {
	var s document.Prose
	for i, r := range p.water.Remedies[:min(3, len(p.water.Remedies))] {
		what := document.Sentence("%v on %v", called(r.Pump), r.Hose)
		switch {
		case r.Number > 0:
			what = document.Sentence("%v of %v, each on a line of its own", r.Number, called(r.Pump))
		case r.Clean > 0:
			what = document.Sentence("%v cleaned at %v loss", r.Pump, share(r.Clean))
		}
		what = what.And(" (%v", odds(r.Chance)).When(r.Yearly.Known, ", %v a year", p.money.Of(r.Yearly)).And(")")
		if i > 0 {
			s = s.And(", or ")
		}
		s = s.And("%v", what)
	}
	return s.When(!s.IsZero(), " would do.")
}

func flowing(s works.WaterState) document.Prose {
	switch high := s.High; {
	case s.OfLabel && high.Known:
		return document.Sentence("%v to %v", document.Flow.Of(s.Flow), document.Flow.Of(high))
	case s.AtLeast:
		return document.Sentence("at least %v", document.Flow.Of(s.Flow))
	}
	return document.Sentence("%v", document.Flow.Of(s.Flow))
}

// doubt says how surely pump i is enough and what of the pond and the line moves that
// most: that is of the goal as shown, to which the doubt about an assumed one adds nothing.
func (p *waterPage) doubt(i int) document.Prose {
	v := p.water.Pumps[i].Surely.Value
	if !v.Low.Known {
		return document.Prose{}
	}
	s := document.Sentence("%v is enough in %v of all draws of what is uncertain", p.water.Pumps[i].Name, odds(v.Chance))
	s = s.When(v.InPractice.Known && v.Word != works.Likely(1), ", and inside practice in %v", odds(v.InPractice.Value)).And(".")
	left := 1.0
	for _, m := range v.Moves {
		if m.Input == works.GoalAssumed {
			left -= m.Share
		}
	}
	for _, m := range v.Moves {
		if m.Input != works.GoalAssumed {
			s = s.And(" Most of the doubt comes from the %v (%v).", m.Input, document.Fraction.Rough(m.Share/left))
			break
		}
	}
	return s.When(left < 1, " The goal is assumed: practice is %v.", p.practice())
}

// odds is a chance in a sentence; a count of draws makes nothing certain.
func odds(chance float64) document.Prose {
	const most, least = 0.99, 0.01
	switch {
	case chance > most:
		return document.Sentence("over %v", document.Fraction.Exact(most))
	case chance < least:
		return document.Sentence("under %v", document.Fraction.Exact(least))
	}
	return document.Sentence("%v", document.Fraction.Rough(chance))
}
