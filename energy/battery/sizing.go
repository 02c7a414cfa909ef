package battery

import (
	"math"

	"sunrill/data/figure"
	"sunrill/solar"
)

// Target is what a size has to meet.
type Target struct {
	Unmet   float64               // share of the energy asked for
	water   figure.Maybe[float64] // share of the water asked for; unknown: any
	stop    figure.Maybe[int]     // longest [h] in any year, where one is given
	limits  *StopLimits           // nil: a stop may be as long as it likes
	badMost int                   // years that may have a longer one
}

// StopLimits are the longest bearable stops [h], by the month in which they begin.
type StopLimits [12]int

// Always returns the same limit for every month.
func Always(hours int) (l StopLimits) {
	for m := range l {
		l[m] = hours
	}
	return l
}

// Target returns what o asks for over a record of so many hours.
func (o SizeOptions) Target(hours int) Target {
	t := Target{Unmet: o.Unmet, water: o.UnmetFlow}
	switch {
	case o.LongestStop.Known:
		always := Always(o.LongestStop.Value)
		t.stop, t.limits = o.LongestStop, &always
	case o.YearsInTen.Known:
		t.limits, t.badMost = &o.Limits, BadYears(o.YearsInTen.Value, hours)
	}
	return t
}

// BadYears returns in how many years of a record a stop may last too long, where it may
// not in so many of ten of the years to come: with k bad ones of n a new year is one with
// a chance of at most (k+1)/(n+1), whatever the weather (Weibull's plotting position).
func BadYears(yearsInTen float64, hours int) int {
	return max(0, int((1-yearsInTen/10)*(float64(hours)/solar.HoursPerYear+1)+1e-9)-1)
}

// meets reports whether a balance, run with the limits of t, keeps within t.
func (t Target) meets(b Balance) bool {
	return b.UnmetWh <= t.Unmet*b.LoadWh+unmetLeast && (t.Unmet > 0 || b.Stops.Hours == 0) &&
		!(t.water.Known && b.UnmetFlow() > t.water.Value+1e-12) && b.BadYears <= t.badMost
}

// search is the search for the least battery of one panel.
type search struct {
	size   float64    // the size in hand: usable [Wh]
	was    [2]float64 // the size tried before, and what was asked for there less it
	lo, hi float64    // too small; large enough
	most   float64    // beyond this there is no use looking
	tries  int
	done   bool
}

const (
	// sizeTolerance is how near the answer comes to the least usable size [Wh].
	sizeTolerance = 1e-3
	// sizeMargin [Wh] is added for the rounding of a sum over decades.
	sizeMargin = 1e-6
	// mostTrials bounds the trials of one front. Two or three do, some ten where
	// a charge limit binds hard.
	mostTrials = 80
)

// least returns the least usable energy [Wh] within a target, to sizeTolerance and
// never below; +Inf where the battery would have to hold a year of the load: the
// panel cannot keep up.
//
// The first deficit is that of a store without losses or limits of its own; it is
// the answer where b has none. Else one at that size says what it would have had to
// be, and so on, by secants within a bracket: the losses change little with the
// size, so few are needed.
func (t *trial) least(target Target) float64 {
	least := t.carrying(target)
	if b := t.b; b.DischargeLimit > 0 { // it must carry the load's peak by itself
		least = max(least, t.most/b.DischargeLimit*b.UsableOfNominal())
	}
	return least
}

// carrying is least without the limit of discharge.
func (t *trial) carrying(target Target) float64 {
	b, d := t.b, t.deficit(target)
	s := &search{hi: math.Inf(1), most: solar.HoursPerYear * t.load / float64(t.r.Hours())}
	s.lo = t.answer(d)
	s.size = s.lo
	s.done = s.size == 0 || s.size > s.most || b.SelfDischarge == 0 && !t.limited(s.size)
	for s.tries < mostTrials && !s.done {
		d.try(b, s.size)
		s.step(t.answer(d))
	}
	if s.size > s.most || s.lo > s.most {
		return math.Inf(1)
	}
	if s.size > 0 {
		return s.size + sizeMargin
	}
	return s.size
}

// floor returns usable energy [Wh] that any store has which misses no more than a
// share of the energy, whatever it loses and however slowly it charges; +Inf where it
// would have to hold a year of the load.
func (t *trial) floor(unmet float64) float64 {
	d := t.deficit(Target{Unmet: unmet})
	least := t.answer(d)
	if least > solar.HoursPerYear*t.load/float64(t.r.Hours()) {
		return math.Inf(1)
	}
	if least > 0 {
		least = max(sizeMargin, least*(1-1e-9))
	}
	return least
}

// above returns usable energy [Wh] as floor does, by the spells of a course deeper than
// some, which may be another panel's: a store that is not full before them lacks no
// less. It is the less tight, the less of it lies above.
func (t *trial) above(c *course, deep, unmet float64) float64 {
	d := t.deficit(Target{Unmet: unmet})
	d.above = deep
	t.carry(c, d, deep, nil)
	return d.answer * (1 - 1e-9)
}

// answer returns what a deficit asks for. Spells less deep than that do not move it:
// they are left out once a run shows which these are.
func (t *trial) answer(d *deficit) float64 {
	c := t.at(d.cap, d.limIn)
	likely := 0.0
	if c.closed && math.IsInf(t.deep, 1) {
		likely = c.likely(d.target * t.load / d.perTake)
		if t.deep = likely; d.stopMax >= 0 || d.target == 0 {
			t.deep = max(likely, c.deepest()-float64(max(0, d.stopMax))*t.most/d.perTake)
		}
	}
	for {
		if d.above = 0; c.closed {
			d.above = t.deep
		}
		t.carry(c, d, t.deep, nil)
		if d.answer >= t.deep || !c.closed {
			return d.answer
		}
		const less = 0.98 // what was left out can only add to the answer
		t.deep, likely = max(less*d.answer, likely), 0
		if t.deep < 1e-9 {
			t.deep = -1
		}
	}
}

// likely returns about what is asked of a store that may miss some of what its
// spells take, rather less: as if each of them were one fall.
func (c *course) likely(missed float64) float64 {
	const less, halvings = 0.85, 8
	low, high := 0.0, c.deepest()
	for range halvings {
		level, over := (low+high)/2, 0.0
		for _, s := range c.spells {
			if s.depth > level {
				over += s.depth - level
			}
		}
		if over > missed {
			low = level
		} else {
			high = level
		}
	}
	return less * low
}

// deepest returns what the deepest spell lacks.
func (c *course) deepest() (depth float64) {
	for _, s := range c.spells {
		depth = max(depth, s.depth)
	}
	return depth * (1 - 1e-6)
}

// limited reports whether the charge limit of a usable size could bind.
func (t *trial) limited(usable float64) bool {
	return t.b.ChargeLimit > 0 && t.w*t.sun.Most > t.b.ChargeLimit*usable/t.b.UsableOfNominal()
}

// step takes what a trial at s.size asked for and chooses the next size.
func (s *search) step(asked float64) {
	gap := asked - s.size
	if gap > 0 {
		s.lo = max(s.lo, s.size)
	} else {
		s.hi = min(s.hi, s.size)
	}
	if s.hi-s.lo <= sizeTolerance {
		s.size, s.done = s.hi, true
		return
	}
	if s.lo > s.most {
		s.done = true
		return
	}
	move, secant := gap, false
	if change := gap - s.was[1]; s.was[0] > 0 && change != 0 {
		move, secant = -gap*(s.size-s.was[0])/change, true
	}
	if math.Abs(move) <= sizeTolerance/4 && math.Abs(gap) <= sizeTolerance && (secant || gap == 0) {
		s.size += max(0, 1.5*move)
		s.done = true
		return
	}
	next := s.size + move
	if s.tries++; s.tries%3 == 0 && !math.IsInf(s.hi, 1) {
		next = (s.lo + s.hi) / 2 // a limit that binds bends the gap: halve the bracket
	}
	if next <= s.lo || next >= s.hi {
		next = asked
	}
	if next <= s.lo || next >= s.hi {
		if next = (s.lo + s.hi) / 2; math.IsInf(next, 1) {
			next = 2 * s.lo
		}
	}
	s.was = [2]float64{s.size, gap}
	s.size = next
}

// deficit returns that of the trial on a store without losses or limits that depend on
// its size.
func (t *trial) deficit(target Target) *deficit {
	d := &deficit{cell: cellOf(t.b, 0), scale: t.w, load: t.load, target: target.Unmet, stopMax: -1}
	if target.stop.Known {
		d.stopMax = target.stop.Value
	}
	if d.stopMax == 0 {
		d.target, d.stopMax = 0, -1
	}
	if d.stopMax > 0 {
		d.last = make([]float64, d.stopMax)
	}
	d.limIn, d.limOut = math.Inf(1), math.Inf(1)
	return d
}

// try makes d ask what a store of some usable size would have had to be.
func (d *deficit) try(b Battery, usable float64) {
	d.cell = cellOf(b, usable/b.UsableOfNominal())
	d.limOut = math.Inf(1) // seen to in least
	d.cap, d.trial = usable, true
}
