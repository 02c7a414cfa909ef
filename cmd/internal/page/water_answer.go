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
	if p.pond.Goal != nil {
		lines.say("Goal", document.Sentence("one turnover in %v, which is %v day and night.", document.Hours.Exact(*p.pond.Goal), document.Flow.Of(*p.pond.GoalFlow)))
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

// use is the decision.
func (p *waterPage) use() document.Prose {
	if i := p.water.Choice.Index; i >= 0 {
		return document.Sentence("%v: %v.", p.chosenPump(i), p.why())
	}
	return document.Sentence("%v.", p.why())
}

// chosenPump names pump i, and how many of it run.
func (p *waterPage) chosenPump(i int) document.Prose {
	name := thePump(p.pumps[i].Name)
	if n := p.water.Pumps[i].Spec.Count; n > 1 {
		return document.Sentence("%v, %v of it together", name, n)
	}
	return name
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
	flow, goal, head := flowQuantity(at.Flow), flowQuantity(at.Goal), document.Head.Of(float64(at.Head))
	switch {
	case at.Head > works.TallestPond:
		return document.Sentence("no pond pump: %v through this line would ask for %v of head. Check the pond's volume and the goal, then the bore and length of the hose.", goal, document.Head.Of(float64(p.water.Works.Line.HeadAt(at.Goal))))
	case at.Dirt == 0:
		return document.Sentence("a pump whose curve lies above %v at %v: that is the clean line, and leaves the goal of %v once dirt has taken the assumed %v. A wider hose lowers the head, cleaning sooner the flow.",
			flow, head, goal, share(p.water.Works.DirtLoss))
	}
	return document.Sentence("a pump whose curve lies above %v at %v: that is the goal through this line before cleaning, %v of it for the dirt. A wider hose or cleaning sooner lowers it.",
		flow, head, document.Head.Of(float64(at.Dirt)))
}

// dryWhenDirty returns the branches that get no water from pump i before
// cleaning; those that get none when clean are among them.
func (p *waterPage) dryWhenDirty(i int) []string {
	if s := p.pumps[i].Dirty; s != nil {
		return s.DryBranches
	}
	return nil
}

// dry says which branches get no water from pump i: the goal counts the water of
// all branches together.
func (p *waterPage) dry(i int) document.Prose {
	dirty := p.dryWhenDirty(i)
	if len(dirty) == 0 {
		return document.Prose{}
	}
	always := p.pumps[i].Clean.DryBranches
	var later []string
	for _, name := range dirty {
		if !slices.Contains(always, name) {
			later = append(later, name)
		}
	}
	var s document.Prose
	switch {
	case len(later) == 0:
		s = document.Sentence("no water reaches %v", listed(always))
	case len(always) == 0:
		s = document.Sentence("no water reaches %v just before cleaning", listed(later))
	default:
		s = document.Sentence("no water reaches %v, nor %v just before cleaning", listed(always), listed(later))
	}
	return document.Sentence("%v: the other branches leave too little head for that lift, and the goal counts all branches together. Throttle the others%v or use a pump of its own there, and see that no water runs back.", s, p.feedsAll(i))
}

// feedsAll names the pump to take in place of pump i so that no branch stays dry.
func (p *waterPage) feedsAll(i int) string {
	all := p.water.Choice.FeedsAll
	if all < 0 || all == i {
		return ""
	}
	if p.water.Pumps[all].Dirty.Misses() {
		return ", take " + p.pumps[all].Name + ", which feeds every branch but misses the goal,"
	}
	return ", take " + p.pumps[all].Name + ", which feeds every branch,"
}

// flow is the sentence about what flows with a pump, with the goal beside it
// where that is asked for.
func (p *waterPage) flow(i int, goal bool) document.Prose {
	pump := p.pumps[i]
	if pump.Clean == nil {
		duty := NewDutyPump(p.water.Runs()[i])
		return document.Sentence("%v: %v", pump.Name, duty.nothing())
	}
	s := document.Sentence("%v clean", flowing(pump.Clean))
	if p.water.Choice.Index < 0 {
		s = document.Sentence("%v: %v", pump.Name, s)
	}
	if pump.Dirty == nil {
		return document.Sentence("%v, nothing just before cleaning: %v.", s, document.Told(pump.DirtyWhy))
	}
	s = document.Sentence("%v, %v just before cleaning", s, flowing(pump.Dirty))
	if pump.Dirty.Bracket {
		s = document.Sentence("%v (a label says no more; the low end counts)", s)
	}
	if t := pump.Dirty.Turnover; t != nil {
		s = document.Sentence("%v: one turnover in %v", s, document.Hours.Of(*t))
		if v := p.pond.Volume; v != nil && math.Abs(*t*pump.Dirty.Flow / *v - 1) > sameWater {
			s = document.Sentence("%v as a mean of the day", s)
		}
	}
	if goal && p.pond.Goal != nil {
		s = document.Sentence("%v, goal %v", s, document.Hours.Exact(*p.pond.Goal))
	}
	if pump.Power != nil {
		s = document.Sentence("%v, for %v", s, document.Power.Of(*pump.Power))
	}
	if pump.Clean.AtLeast || pump.Dirty.AtLeast {
		s = document.Sentence("%v; it runs off the end of its curve: throttle it or take a smaller pump", s)
	}
	return document.Sentence("%v.", s)
}

func flowing(s *waterState) document.Prose {
	if s.Bracket && s.HighFlow != nil {
		return document.Sentence("%v to %v", document.Flow.Of(s.Flow), document.Flow.Of(*s.HighFlow))
	}
	if s.AtLeast {
		return document.Sentence("at least %v", document.Flow.Of(s.Flow))
	}
	return document.Sentence("%v", document.Flow.Of(s.Flow))
}

// sure is the sentence about the span of the dirty turnover.
func (p *waterPage) sure(i int) document.Prose {
	d := p.pumps[i].Dirty
	if d == nil || d.Turnover == nil || d.GoalMet == nil {
		return document.Prose{}
	}
	var span document.Prose
	switch {
	case d.Fastest != nil && d.Slowest != nil:
		span = document.Sentence("%v to %v a turnover when dirty", document.Hours.Of(*d.Fastest), document.Hours.Of(*d.Slowest))
	case d.Slowest != nil:
		span = document.Sentence("at most %v a turnover when dirty", document.Hours.Of(*d.Slowest))
	case d.Fastest != nil:
		span = document.Sentence("%v a turnover when dirty, or no water at all", document.Hours.Of(*d.Fastest))
	default:
		span = document.Sentence("%v a turnover or less when dirty, or no water at all", document.Hours.Of(*d.Turnover))
	}
	by := p.pumps[i].Doubt
	if by == nil {
		span = document.Sentence("%v, by the error of curve and volume", span)
	} else {
		span = document.Sentence("%v, by the error of curve and volume and by dirt that nobody measured", span)
	}
	switch {
	case *d.GoalSure && *d.GoalMet && p.water.Pumps[i].Unfilled.Known:
		span = document.Sentence("%v: the goal is met at both ends, but only with the siphon full.", span)
	case *d.GoalSure && *d.GoalMet:
		span = document.Sentence("%v: the goal is met at both ends.", span)
	case *d.GoalSure:
		span = document.Sentence("%v: the goal is missed at both ends.", span)
	case *d.GoalMet:
		span = document.Sentence("%v: the goal may be missed.", span)
	default:
		span = document.Sentence("%v: the goal may just be met.", span)
	}
	if by == nil {
		return span
	}
	end := func(e dirtEnd) document.Prose {
		verdict := "missed"
		if e.GoalMet != nil && *e.GoalMet {
			verdict = "met"
		}
		if e.Turnover == nil {
			return document.Sentence("no water at %v", share(e.Loss))
		}
		return document.Sentence("%v at %v lost (%v)", document.Hours.Of(*e.Turnover), share(e.Loss), verdict)
	}
	span = document.Sentence("%v By the dirt alone %v, %v%v.", span, end(by.Low), end(by.High), by.fitted(p.pumps[i].Name))
	if by.decides() {
		span = document.Sentence("%v It decides: time a bucket just before cleaning.", span)
	}
	return span
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
	d := p.pumps[i].Dirty
	if d == nil {
		return document.Sentence("%v moves nothing when dirty: %v.", p.pumps[i].Name, document.Told(p.pumps[i].DirtyWhy))
	}
	s := document.Sentence("%v misses the goal when dirty", p.pumps[i].Name)
	if d.Missed != nil {
		s = document.Sentence("%v by %v a turnover", s, spell(*d.Missed))
	}
	if d.ShortFlow != nil {
		s = document.Sentence("%v: %v short", s, document.Flow.Of(*d.ShortFlow))
	}
	return document.Sentence("%v.", s)
}

// tankAnswer says how high the filter tank stands with leaves in the screen.
func (p *waterPage) tankAnswer() document.Prose {
	i := p.water.Choice.Nearest
	if i < 0 || p.pumps[i].Return == nil {
		return document.Prose{}
	}
	r := p.pumps[i].Return
	if r.Spills {
		return p.spills(r)
	}
	s := document.Sentence("stands %v above the bottom of the return's mouth", document.Bore.Of(r.Leaves))
	if r.Blocked != nil {
		s = document.Sentence("%v with %v of the screen under leaves", s, round(document.Fraction, *r.Blocked))
	}
	if r.Freeboard == nil {
		return document.Sentence("%v.", s)
	}
	return document.Sentence("%v: %v left to the rim.", s, document.Bore.Of(*r.Freeboard))
}

// spills says that the tank spills, and what the return takes before it does.
// How high it would have to stand is left to the table: without a rim to spill
// over, a small return asks for a tower.
func (p *waterPage) spills(r *waterReturn) document.Prose {
	s := document.Sentence("SPILLS over its rim")
	if r.Blocked != nil {
		s = document.Sentence("%v with %v of the screen under leaves", s, round(document.Fraction, *r.Blocked))
	}
	if r.Margin != nil {
		s = document.Sentence("%v: the return takes %v of the %v", s, document.Flow.Of(*r.Margin*r.Flow), document.Flow.Of(r.Flow))
	}
	return document.Sentence("%v. What spills is lost to the pond: a wider or a second return comes first.", s)
}

// watch says what a lost return does overnight.
func (p *waterPage) watch() document.Prose {
	u, quick := p.water.Rest.Unseen, p.water.Rest.Quickest
	if !u.Known || !quick.Known {
		return document.Prose{}
	}
	soon, bare := spell(quick.Value.ToBare.In(units.Hour)), spell(u.Value.ToBare.In(units.Hour))
	if n := p.water.Rest.Lines; n > 1 {
		return p.watchAll(n, soon, bare)
	}
	switch {
	case u.Value.LeftShare < pumps.NoneLeft:
		return document.Sentence("a hose off at the pond's edge pumps the pond empty in %v, one off at its far end in %v. Raise the intake above the floor, and fit a float switch that stops the pump.", soon, bare)
	case u.Value.LeftShare < pumps.LeastLeft:
		return document.Sentence("a hose off at the pond's edge bares the intake in %v, one off at its far end in %v, and leaves only %v of the water. Raise the intake, and fit a float switch that stops the pump.",
			soon, bare, round(document.Fraction, u.Value.LeftShare))
	}
	return document.Sentence("a hose off at the pond's edge bares the intake in %v, one off at its far end in %v, and leaves %v of the water. Fit a float switch that stops the pump.",
		soon, bare, round(document.Fraction, u.Value.LeftShare))
}

// watchAll is watch for n lines, all of which come off.
func (p *waterPage) watchAll(n int, soon, bare document.Quantity) document.Prose {
	all, times := allHoses(n)
	does, left := "pump the pond empty", p.water.Rest.Unseen.Value.LeftShare
	if left >= pumps.NoneLeft {
		does = "bare the intakes"
	}
	s := document.Sentence("%v off at the pond's edge %v in %v, off at their far ends in %v; one alone takes %v as long", all, does, soon, bare, times)
	if left >= pumps.NoneLeft {
		s = document.Sentence("%v. That leaves %v of the water", s, round(document.Fraction, left))
	}
	if left >= pumps.LeastLeft {
		return document.Sentence("%v. Fit a float switch that stops the pumps.", s)
	}
	return document.Sentence("%v. Raise the intakes above the floor, and fit a float switch that stops the pumps.", s)
}
