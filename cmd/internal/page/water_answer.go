package page

import (
	"slices"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/pumps/works"
)

// inPractice reports whether pump i misses a goal that nobody gave, and is inside the
// practice that the goal was taken from.
func (p *PlanPage) inPractice(i int) bool {
	v := p.water.Pumps[i].Surely.Value
	return v.InPractice.Known && v.InPractice.Value >= works.ChanceProbably && v.Chance < works.ChanceProbably &&
		p.water.Pumps[i].Dirty.Misses()
}

// practice is the practice for the stocking.
func (p *PlanPage) practice() document.Prose {
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
func (p *PlanPage) remedy() document.Prose {
	var s document.Prose
	for i, r := range p.water.Remedies[:min(3, len(p.water.Remedies))] {
		what := document.Sentence("%v on %v", called(r.Pump), r.Hose)
		switch {
		case r.Number > 0:
			what = document.Sentence("%v pumps like %v on hoses of their own", r.Number, called(r.Pump))
		case r.Clean > 0:
			what = document.Sentence("%v cleaned at %v loss", r.Pump, share(r.Clean))
		}
		what = what.And(" (%v sure", odds(r.Chance)).When(r.Yearly.Known, ", %v a year", p.money.Of(r.Yearly)).And(")")
		if i > 0 {
			s = s.And(", or ")
		}
		s = s.And("%v", what)
	}
	return s.When(!s.IsZero(), " would do.")
}

func flowing(s works.WaterState) document.Prose {
	switch low, high := s.Low, s.High; {
	case s.OfLabel && low.Known && high.Known:
		return document.Sentence("%v to %v", document.Flow.Of(low), document.Flow.Of(high))
	case s.AtLeast:
		return document.Sentence("at least %v", document.Flow.Of(s.Flow))
	}
	return document.Sentence("%v", document.Flow.Of(s.Flow))
}

// doubt says how surely what is offered is enough and what of the pond and the line moves that
// most: that is of the goal as shown, to which the doubt about an assumed one adds nothing.
func (p *PlanPage) doubt(o offer) document.Prose {
	v := o.surely.Value
	if !v.Low.Known {
		return document.Prose{}
	}
	s := document.Sentence("%v is enough in %v of all draws of what is uncertain", p.asOffered(o).Name, odds(v.Chance))
	s = s.When(v.InPractice.Known && v.Word != works.Likely(1), ", and inside practice in %v", odds(v.InPractice.Value)).And(".")
	left := 1.0
	moves := v.Moves()
	for _, m := range moves {
		if m.Input == works.GoalAssumed {
			left -= m.Share
		}
	}
	for _, m := range moves {
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

// keepAnswer says in a sentence whether to keep the pump that runs today. It never
// speaks against the choice: what is cheaper and less sure is said to be both.
func (p *PlanPage) keepAnswer() document.Prose {
	k, c := p.Result.Keep.Value, p.water.Choice
	if !p.Result.Keep.Known || c.Index < 0 {
		return document.Prose{}
	}
	named := func(name string) works.WaterPump {
		return p.water.Pumps[slices.IndexFunc(p.water.Pumps, func(w works.WaterPump) bool { return w.Name == name })]
	}
	present := named(k.Present)
	does := present.Unsound() == "" && present.Surely.Value.Chance >= works.ChanceProbably
	if !k.SwapTo.Known {
		return document.Prose{}.When(does && len(p.pumps) > 1, "%v.", Capital(string(k.SwapTo.Why)))
	}
	other, chosen := named(k.SwapTo.Value), p.water.Pumps[c.Index].Name
	switch { // the rows have what each costs
	case !does && chosen == other.Name:
		return document.Sentence("%v does not do", k.Present).When(present.But() != "", " as planned: %v", present.But()).And(".")
	case !does:
		return document.Prose{}
	case chosen != k.Present && chosen != other.Name: // the surest, or what the plan names
		return document.Sentence("%v %v", k.Present, likely(present)).When(k.Saving.Known && k.Saving.Value > 0,
			"; %v %v too, for less a year", other.Name, likely(other)).And(".")
	case !k.Pays.Known && k.PowerSaved.Known && k.PowerSaved.Value > 0:
		return document.Sentence("%v in place of %v saves %v of power a year; whether it pays is not known: %v.", other.Name, k.Present,
			p.money.Brief(k.PowerSaved), document.Told(k.Pays.Why))
	case !k.Pays.Known && k.PowerSaved.Known:
		return document.Sentence("%v takes as much power or more.", other.Name)
	case !k.Pays.Known:
		return document.Sentence("Whether %v pays in place of %v is not known: %v.", other.Name, k.Present, document.Told(k.Pays.Why))
	}
	back := document.Sentence("%v", k.Payback.Why)
	if k.Payback.Known {
		back = document.Sentence("paid back in %v and lasts %v", document.Years.Brief(k.Payback), document.Years.Brief(k.Life))
	}
	switch cheaper := k.Saving.Value; {
	case k.Pays.Value && chosen == other.Name:
		return document.Sentence("%v costs %v, is %v.", other.Name, p.money.Brief(float64(*other.Spec.Price)*
			float64(max(1, other.Spec.Count))), back)
	case chosen == other.Name:
		return document.Sentence("%v %v", k.Present, likely(present)).When(other.Surely.Value.Chance > present.Surely.Value.Chance,
			"; %v is surer", other.Name).When(c.Given && other.Surely.Value.Chance <= present.Surely.Value.Chance, " too, for less a year").
			And(".")
	case k.Pays.Value:
		return document.Sentence("%v would cost less, but only %v.", other.Name, likely(other))
	case cheaper > 0 && k.Payback.Known && k.Payback.Value < k.Life.Value:
		return document.Sentence("%v alone saves too little for the change.", other.Name)
	case cheaper > 0:
		return document.Sentence("%v would cost less, but is %v.", other.Name, back)
	}
	return document.Sentence("%v would cost more.", other.Name)
}

// likely says how likely a pump does that at least probably does.
func likely(p works.WaterPump) string {
	return map[bool]string{true: "does", false: "probably does"}[p.Surely.Value.Chance >= works.ChanceYes]
}
