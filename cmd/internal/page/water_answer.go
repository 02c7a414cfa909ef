package page

import (
	"math"
	"slices"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
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
		lines.say("Goal", document.Sentence("one turnover in %v, which is %v day and night.", goalQuantity(pond),
			document.Flow.Of(pond.GoalFlow)))
	}
	if c.Nearest >= 0 {
		lines.say("Flow", p.flow(c.Nearest, false))
		lines.say("How sure", p.sure(c.Nearest))
		lines.say("Dry", p.dry(c.Nearest))
	}
	if c.NoneMeets {
		lines.say("Short", p.smaller())
		lines.say("Look for", p.lookFor())
	} else {
		lines.say("Smaller", p.smaller())
	}
	lines.say("Hose", p.hoseAnswer())
	lines.say("Money", p.moneyAnswer())
	lines.say("Tank", p.tankAnswer())
	lines.say("Watch", p.watch())
	return lines
}

// goalQuantity is the goal of one turnover, as it was given.
func goalQuantity(pond works.PondWater) document.Quantity {
	return document.Hours.Exact(pond.Goal)
}

// use is the decision.
func (p *waterPage) use() document.Prose {
	i := p.water.Choice.Index
	if i < 0 {
		return document.Sentence("%v.", p.why())
	}
	name := thePump(p.water.Pumps[i].Name)
	name = name.When(p.water.Pumps[i].Number() > 1, ", %v of it together", p.water.Pumps[i].Number())
	return document.Sentence("%v: %v.", name, p.why())
}

// thePump names a pump in a sentence.
func thePump(name string) document.Prose {
	if strings.HasSuffix(strings.ToLower(name), "pump") {
		return document.Sentence("the %v", name)
	}
	return document.Sentence("the %v pump", name)
}

// lookFor is the point that a curve has to pass above to meet the goal before
// cleaning, where no pump of the plan does and the pump is to run all day.
func (p *waterPage) lookFor() document.Prose {
	at, ok := p.water.Works.GoalPoint()
	if !ok || !p.water.Choice.NoneMeets || p.water.Choice.Faster.Known || len(p.In.Plan.Run.Bands) > 0 {
		return document.Prose{}
	}
	flow, goal, head := document.Flow.Of(at.Flow), document.Flow.Of(at.Goal), document.Head.Of(at.Head)
	switch {
	case at.Head > works.TallestPond:
		return document.Sentence("no pond pump: %v through this line would ask for %v of head. Check the pond's volume and the goal, then the "+
			"bore and length of the hose.", goal, document.Head.Of(p.water.Works.Line.HeadAt(at.Goal)))
	case at.Dirt == 0:
		return document.Sentence("a pump whose curve lies above %v at %v: that is the clean line, and leaves the goal of %v once dirt has "+
			"taken the assumed %v. A wider hose lowers the head, cleaning sooner the flow.",
			flow, head, goal, share(p.water.Works.DirtLoss))
	}
	return document.Sentence("a pump whose curve lies above %v at %v: that is the goal through this line before cleaning, %v of it for the "+
		"dirt. A wider hose or cleaning sooner lowers it.",
		flow, head, document.Head.Of(at.Dirt))
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

// flow is the sentence about what flows with a pump, with the goal beside it
// where that is asked for.
func (p *waterPage) flow(i int, goal bool) document.Prose {
	pump := p.water.Pumps[i]
	clean, dirty := pump.Clean, pump.Dirty
	if clean.Flow <= 0 {
		return document.Sentence("%v: %v", pump.Name, nothing(clean.Run.Operation))
	}
	s := document.Sentence("%v clean", flowing(clean))
	if p.water.Choice.Index < 0 {
		s = document.Sentence("%v: %v", pump.Name, s)
	}
	if dirty.Flow <= 0 {
		return s.And(", nothing just before cleaning: %v.", document.Told(dirty.Why))
	}
	s = s.And(", %v just before cleaning", flowing(dirty))
	s = s.When(dirty.OfLabel, " (a label says no more; the low end counts)")
	pond := p.water.Pond.Value
	if t := dirty.Turnover; t.Known {
		s = s.And(": one turnover in %v", document.Hours.Of(t))
		s = s.When(math.Abs(float64(t.Value)*float64(dirty.Flow)/float64(pond.Volume)-1) > sameWater, " as a mean of the day")
	}
	s = s.When(goal && pond.Goal.Known, ", goal %v", goalQuantity(pond))
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

// sure is the sentence about the span of the dirty turnover.
func (p *waterPage) sure(i int) document.Prose {
	d := p.water.Pumps[i].Dirty
	if d.Flow <= 0 || !d.Turnover.Known || !d.Met.Known {
		return document.Prose{}
	}
	var s document.Prose
	switch fastest, slowest := document.Hours.Of(d.Fastest), document.Hours.Of(d.Slowest); {
	case d.Fastest.Known && d.Slowest.Known:
		s = document.Sentence("%v to %v a turnover when dirty", fastest, slowest)
	case d.Slowest.Known:
		s = document.Sentence("at most %v a turnover when dirty", slowest)
	case d.Fastest.Known:
		s = document.Sentence("%v a turnover when dirty, or no water at all", fastest)
	default:
		s = document.Sentence("%v a turnover or less when dirty, or no water at all", document.Hours.Of(d.Turnover))
	}
	doubt := p.water.Pumps[i].Doubt
	s = s.And(", by the error of curve and volume")
	s = s.When(doubt.Known, " and by dirt that nobody measured")
	switch {
	case d.Sure.Value:
		s = s.And(": the goal is %v at both ends.", metOrMissed(d.Met))
	case d.Met.Value:
		s = s.And(": the goal may be missed.")
	default:
		s = s.And(": the goal may just be met.")
	}
	if !doubt.Known {
		return s
	}
	low, high := doubt.Value.Low, doubt.Value.High
	s = s.And(" By the dirt alone %v, %v%v.", dirtEnd(low), dirtEnd(high), fittedOn(low, high, p.water.Pumps[i].Name))
	s = s.When(low.Met.Known && high.Met.Known && low.Met.Value != high.Met.Value, " It decides: time a bucket just before cleaning.")
	return s
}

func metOrMissed(met figure.Maybe[bool]) string {
	if met.Value {
		return "met"
	}
	return "missed"
}

func dirtEnd(e works.DirtEnd) document.Prose {
	if !e.Turnover.Known {
		return document.Sentence("no water at %v", share(e.Loss))
	}
	return document.Sentence("%v at %v lost (%v)", document.Hours.Of(e.Turnover), share(e.Loss), metOrMissed(e.Met))
}

// fittedOn says what the pump loses on which the dirt was fitted, nothing where that
// is the one named.
func fittedOn(low, high works.DirtEnd, name string) document.Prose {
	switch {
	case low.On == name && high.On == name:
		return document.Prose{}
	case low.On == high.On:
		return document.Sentence(", where %v would lose %v and %v", low.On, share(low.Fitted), share(high.Fitted))
	}
	return document.Sentence(", where %v would lose %v and %v %v", low.On, share(low.Fitted), high.On, share(high.Fitted))
}

// smaller says by how much the next smaller pump misses the goal.
func (p *waterPage) smaller() document.Prose {
	c := p.water.Choice
	i := c.Smaller
	if c.Index < 0 {
		i = c.Nearest // the best of those that all miss
	}
	if i < 0 || !p.water.Pumps[i].Dirty.Misses() {
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
	pump, _ := p.nearest()
	r := pump.Return.Value
	if !pump.Return.Known {
		return document.Prose{}
	}
	s := document.Sentence("stands %v above the bottom of the return's mouth", document.Bore.Of(r.Level))
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
		return s.And(". What spills is lost to the pond: a wider or a second return comes first.")
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
		s := document.Sentence("%v off at the pond's edge %v in %v, off at their far ends in %v; one alone takes %v as long", all, does, soon,
			bare, times)
		s = s.When(left >= pumps.NoneLeft, ". That leaves %v of the water", stays)
		if left >= pumps.LeastLeft {
			return s.And(". Fit a float switch that stops the pumps.")
		}
		return s.And(". Raise the intakes above the floor, and fit a float switch that stops the pumps.")
	}
	switch {
	case left < pumps.NoneLeft:
		return document.Sentence("a hose off at the pond's edge pumps the pond empty in %v, one off at its far end in %v. Raise the intake "+
			"above the floor, and fit a float switch that stops the pump.", soon, bare)
	case left < pumps.LeastLeft:
		return document.Sentence("a hose off at the pond's edge bares the intake in %v, one off at its far end in %v, and leaves only %v of "+
			"the water. Raise the intake, and fit a float switch that stops the pump.", soon, bare, stays)
	}
	return document.Sentence("a hose off at the pond's edge bares the intake in %v, one off at its far end in %v, and leaves %v of the "+
		"water. Fit a float switch that stops the pump.", soon, bare, stays)
}
