package page

import (
	"math"
	"slices"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// answer is the decision and what it rests on.
func (p *waterPage) answer() []document.Line {
	c := p.water.Choice
	lines := doubtLines(p.water.Works)
	lines.say("Use", p.use())
	if c.Question != "" {
		lines.say("Need", document.Sentence("%v.", c.Question))
	}
	if pond := p.water.Pond.Value; pond.Goal.Known {
		lines.say("Goal", document.Sentence("one turnover in %v, which is %v day and night.", document.Hours.Exact(pond.Goal),
			document.Flow.Of(pond.GoalFlow)))
	}
	lines.say("Flow", p.flow(c.Nearest))
	lines.say("How sure", p.sure(c.Nearest))
	lines.say("Dry", p.dry(c.Nearest))
	if c.NoneMeets {
		lines.say("Short", p.smaller())
	} else {
		lines.say("Smaller", p.smaller())
	}
	lines.say(p.smallest())
	lines.say("Enough if", p.remedy())
	lines.say("Hose", p.hoseAnswer())
	lines.say("Money", p.moneyAnswer())
	lines.say("Today", p.keepAnswer())
	lines.say("Tank", p.tankAnswer())
	lines.say("Watch", p.watch())
	return lines
}

// use is the decision.
func (p *waterPage) use() document.Prose {
	i := p.water.Choice.Index
	if i >= 0 && p.inPractice(i) {
		return document.Sentence("%v: it is inside practice (%v), slower than the %v assumed.", thePump(p.water.Pumps[i].Name),
			p.practice(),
			document.Hours.Exact(p.water.Pond.Value.Goal))
	}
	if i < 0 || p.water.Choice.NoneMeets && !p.water.Choice.Given {
		return document.Sentence("%v.", p.why())
	}
	pump, next := p.water.Pumps[i], p.water.Choice.RunnerUp
	s := thePump(pump.Name).When(pump.Number() > 1, ", all %v of them", pump.Number()).And(": %v", p.why())
	goal := p.water.Pond.Value.GoalFlow
	if pump.Alone.Known && goal.Known && pump.Alone.Value >= goal.Value && len(p.In.Plan.Run.Bands) == 0 {
		s = s.And("; one alone is enough")
	}
	if next >= 0 && !pump.Present && !p.water.Choice.Given && pump.Yearly.Known {
		other := p.water.Pumps[next]
		s = s.When(other.Yearly.Known, "; next comes %v (%v a year)", other.Name, p.money.Of(other.Yearly)).
			When(other.Surely.Value.Word != works.Likely(1), ", for which the answer is: %v", other.Surely.Value.Word)
	}
	return s.And(".")
}

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
	if strings.HasSuffix(strings.ToLower(name), "pump") {
		return document.Sentence("the %v", name)
	}
	return document.Sentence("the %v pump", name)
}

// remedy says what would make the goal a sure one, the cheapest first.
func (p *waterPage) remedy() document.Prose {
	var s document.Prose
	for i, r := range p.water.Remedies[:min(3, len(p.water.Remedies))] {
		what := document.Sentence("%v on %v", r.Pump, r.Hose)
		switch {
		case r.Number == 2:
			what = document.Sentence("two of %v, each on a line of its own", r.Pump)
		case r.Number > 0:
			what = document.Sentence("%v of %v, each on a line of its own", r.Number, r.Pump)
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

// smallest is the smallest pump that would do, and that on a wider hose; nothing where
// a pump of the plan does at another speed.
func (p *waterPage) smallest() (string, document.Prose) {
	c, l, wider := p.water.Choice, p.water.Least, p.water.Wider
	near, label := p.water.Pumps[c.Nearest], "Smallest"
	if c.NoneMeets && !p.inPractice(c.Nearest) {
		label = "Look for"
	}
	if !l.Known || c.Faster.Known {
		return label, document.Prose{}
	}
	at := func(l works.Least) document.Prose {
		return document.Sentence("above %v at %v", document.Flow.Of(l.Flow), document.Head.Of(l.Head))
	}
	state := "clean"
	if l.Value.Dirty {
		state = "dirty"
	}
	s := document.Sentence("a pump whose curve passes %v would do, with the line %v", at(l.Value), state)
	switch n := near.Number(); {
	case l.Value.Head > works.TallestPond:
		s = document.Sentence("no pond pump: its curve would have to pass %v. Check the pond's volume and the goal, then the bore and "+
			"length of the hose", at(l.Value))
	case n > 1:
		s = document.Sentence("%v pumps whose curves together pass %v would do, with the line %v", n, at(l.Value), state)
	}
	if wider.Known && wider.Value.Head <= works.TallestPond {
		s = s.And("; on %v, %v", wider.Value.Hose, at(wider.Value))
		s = s.When(wider.Value.Power.Known && wider.Value.Power.Value < near.Power.Value, ", for about %v in place of %v",
			document.Power.Rough(wider.Value.Power), document.Power.Of(near.Power))
	}
	s = s.And(".").When(l.Value.Restart.Known, " To start again after a stop it has to give more than %v at no flow.",
		document.Head.Of(l.Value.Restart))
	return label, s.When(l.Value.Spills.Known, " The tank spills from %v on: widen the return first.", document.Flow.Of(l.Value.Spills))
}

// dry says which branches get no water from pump i: the goal counts the water of
// all branches together. Those that get none when clean get none before cleaning.
func (p *waterPage) dry(i int) document.Prose {
	dirty, always := p.water.Pumps[i].Dirty.Dry, p.water.Pumps[i].Clean.Dry
	later := slices.DeleteFunc(slices.Clone(dirty), func(name string) bool { return slices.Contains(always, name) })
	var s document.Prose
	switch {
	case len(dirty) == 0:
		return s
	case len(later) == 0:
		s = document.Sentence("no water reaches %v", listed(always))
	case len(always) == 0:
		s = document.Sentence("no water reaches %v just before cleaning", listed(later))
	default:
		s = document.Sentence("no water reaches %v, nor %v just before cleaning", listed(always), listed(later))
	}
	return document.Sentence("%v: the other branches leave too little head for that lift, and the goal counts all branches together. "+
		"Throttle the others or use a pump of its own there, and see that no water runs back.", s)
}

// flow is the sentence about what flows with a pump.
func (p *waterPage) flow(i int) document.Prose {
	pump := p.water.Pumps[i]
	clean, dirty := pump.Clean, pump.Dirty
	if clean.Flow <= 0 {
		return document.Sentence("%v: %v", pump.Name, nothing(clean.Run.Operation))
	}
	s := document.Sentence("%v clean", flowing(clean))
	if c := p.water.Choice; c.Index < 0 || c.NoneMeets {
		s = document.Sentence("%v: %v", pump.Name, s)
	}
	if dirty.Flow <= 0 {
		return s.And(", nothing just before cleaning: %v.", document.Told(dirty.Why))
	}
	s = s.And(", %v just before cleaning", flowing(dirty))
	s = s.When(dirty.OfLabel, " (a label says no more; the low end counts)")
	pond := p.water.Pond.Value
	if t := dirty.Turnover; t.Known && !dirty.OfLabel {
		s = s.And(": one turnover in %v", document.Hours.Of(t))
		s = s.When(math.Abs(float64(t.Value)*float64(dirty.Flow)/float64(pond.Volume)-1) > sameWater, " as a mean of the day")
	}
	s = s.When(pump.Power.Known, ", for %v", document.Power.Of(pump.Power))
	s = s.When(clean.AtLeast || dirty.AtLeast, "; it runs off the end of its curve: throttle it or take a smaller pump")
	return s.And(".")
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

// sure says how surely pump i meets the goal, what moves it and what would settle it.
func (p *waterPage) sure(i int) document.Prose {
	v := p.water.Pumps[i].Surely
	if !v.Known || !v.Value.Low.Known {
		return document.Prose{}
	}
	word, open := v.Value.Word, v.Value.Word != "yes" && v.Value.Word != "no"
	s := document.Sentence("%v (%v)", word, odds(v.Value.Chance))
	s = s.When(v.Value.InPractice.Known && word != "yes", ", inside practice (%v)", odds(v.Value.InPractice.Value))
	if why := p.water.Pumps[i].But(); why != "" {
		s = s.And(" by the flow alone, but %v", why)
	}
	s = s.And(": just before cleaning a turnover takes %v", document.Hours.Of(v.Value.Low))
	if v.Value.High.Known {
		s = s.And(" to %v, the middle eight of ten draws of all that is uncertain", document.Hours.Of(v.Value.High))
		s = s.When(p.water.Pumps[i].Dirty.OfLabel, ", anywhere between both ends of the label")
	} else {
		s = s.And(" or more, and it may move no water at all")
	}
	s = s.And(".")
	if open {
		s = s.And("%v", p.doubt(v.Value))
	}
	if b := p.water.Settle; b.Known && i == p.water.Choice.Nearest && open {
		s = s.And(" To be sure, time a bucket just before cleaning: %v must fill in %v or less.", document.Litres.Of(b.Value.Bucket),
			document.Seconds.Rough(b.Value.Seconds))
	}
	return s
}

// doubt says what of the pond and the line moves the verdict most: that is of the goal
// as shown, to which the doubt about an assumed one adds nothing.
func (p *waterPage) doubt(v works.Surely) (s document.Prose) {
	left := 1.0
	for _, m := range v.Moves {
		if m.Input == works.GoalAssumed {
			left -= m.Share
		}
	}
	for _, m := range v.Moves {
		if m.Input != works.GoalAssumed {
			s = document.Sentence(" Most of the doubt comes from the %v (%v).", m.Input, document.Fraction.Rough(m.Share/left))
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

// smaller says by how much the next smaller pump misses the goal.
func (p *waterPage) smaller() document.Prose {
	c := p.water.Choice
	i := c.Smaller
	if c.Index < 0 || c.NoneMeets {
		i = c.Nearest // the best of those that all miss
	}
	if i < 0 || !p.water.Pumps[i].Dirty.Misses() || p.inPractice(i) {
		return document.Prose{}
	}
	name, d := p.water.Pumps[i].Name, p.water.Pumps[i].Dirty
	if d.Flow <= 0 {
		return document.Sentence("%v moves nothing when dirty: %v.", name, document.Told(d.Why))
	}
	s := document.Sentence("%v misses the goal when dirty", name)
	s = s.When(d.Missed.Known, " by %v a turnover", spell(d.Missed))
	return s.And(": %v short.", document.Flow.Of(d.ShortFlow))
}

// tankAnswer says how high the filter tank stands with leaves in the screen. Where it
// spills, that level is left to the table: without a rim to spill over, a small return
// asks for a tower.
func (p *waterPage) tankAnswer() document.Prose {
	pump := p.nearest()
	r := pump.Return.Value
	if !pump.Return.Known {
		return document.Prose{}
	}
	s := document.Sentence("stands %v above %v", document.Bore.Of(r.Level), p.mouth())
	if r.Spills {
		s = document.Sentence("SPILLS over its rim")
	}
	s = s.When(r.Blocked.Known, " with %v of the screen under leaves", document.Fraction.Rough(r.Blocked))
	switch {
	case r.Spills && r.Margin.Known:
		s = s.And(": the return takes %v of the %v", document.Flow.Of(units.Flow(r.Margin.Value)*r.Flow), document.Flow.Of(r.Flow))
	case !r.Spills && r.Freeboard.Known:
		s = s.And(": %v left to the rim", document.Bore.Of(r.Freeboard))
	}
	if r.Spills {
		return document.Sentence("%v. What spills is lost to the pond: %v.", s, r.Remedy)
	}
	return s.And(".")
}

// watch says what a lost return does overnight.
func (p *waterPage) watch() document.Prose {
	r := p.water.Rest
	if !r.Unseen.Known {
		return document.Prose{}
	}
	soon, bare := spell(r.Quickest.Value.ToBare), spell(r.Unseen.Value.ToBare)
	left := r.Unseen.Value.LeftShare
	stays := document.Fraction.Rough(left)
	if r.Lines > 1 {
		all, times := allHoses(r.Lines)
		does := "bare the intakes"
		if left < pumps.NoneLeft {
			does = "pump the pond empty"
		}
		s := document.Sentence("%v off at the pond's edge %v in %v, off at their far ends in %v; one alone takes %v as long", all, does,
			soon,
			bare, times)
		s = s.When(left >= pumps.NoneLeft, ". That leaves %v of the water", stays)
		if left >= pumps.LeastLeft {
			return s.And(". Fit a float switch that stops the pumps.")
		}
		return s.And(". Raise the intakes above the floor, and fit a float switch that stops the pumps.")
	}
	switch {
	case left < pumps.NoneLeft:
		return document.Sentence("a hose off at the pond's edge pumps the pond empty in %v, one off at its far end in %v. Raise the "+
			"intake above the floor, and fit a float switch that stops the pump.", soon, bare)
	case left < pumps.LeastLeft:
		return document.Sentence("a hose off at the pond's edge bares the intake in %v, one off at its far end in %v, and leaves only "+
			"%v of the water. Raise the intake, and fit a float switch that stops the pump.", soon, bare, stays)
	}
	return document.Sentence("a hose off at the pond's edge bares the intake in %v, one off at its far end in %v, and leaves %v of the "+
		"water. Fit a float switch that stops the pump.", soon, bare, stays)
}
