package battery

import (
	"math"

	"sunrill/data/figure"
	"sunrill/energy/supply"
	"sunrill/solar"
)

// Target is what a size has to meet.
type Target struct {
	Unmet   float64               // share of the energy asked for
	water   figure.Maybe[float64] // share of the water asked for; unknown: any
	StopMax int                   // hours; below 0: any
}

// Target returns what o asks for.
func (o SizeOptions) Target() Target {
	t := Target{Unmet: o.Unmet, water: o.UnmetFlow, StopMax: -1}
	if o.LongestStop.Known {
		t.StopMax = o.LongestStop.Value
	}
	return t
}

// meets reports whether a balance keeps within t.
func (t Target) meets(b Balance) bool {
	return b.UnmetWh <= t.Unmet*b.LoadWh+unmetLeast && !(t.water.Known && b.UnmetFlow() > t.water.Value+1e-12) && (t.StopMax < 0 || b.Stops.LongestHours <= t.StopMax) &&
		(t.Unmet > 0 || b.Stops.Hours == 0)
}

// search is the search for the least battery of one panel.
type search struct {
	panel  float64    // [W]
	peak   float64    // largest power that can come to charge [W]
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

// LeastUsable returns, for each panel, the least usable energy [Wh] of b within
// t, to sizeTolerance and never below, and the passes it took. The record's
// panel is that of one watt.
//
// The first sweep answers for a store without losses or limits of its own; it
// is the answer where b has none. Else a sweep at that size says what it would
// have had to be, and so on, by secants within a bracket: the losses change
// little with the size, so few trials are needed. A panel for which the battery
// would have to hold a year of the load gets +Inf: it cannot keep up.
func LeastUsable(r supply.Record, panels []float64, b Battery, t Target, readings int) (least []float64, passes int) {
	peak, most, sum := 0.0, 0.0, 0.0
	for i, p := range r.Panel {
		peak, most = max(peak, p), max(most, r.Load[i])
		sum += r.Load[i]
	}
	ceiling := solar.HoursPerYear * sum / float64(r.Hours())
	searches := make([]*search, len(panels))
	deficits := make([]*deficit, len(panels))
	for i, w := range panels {
		searches[i] = &search{panel: w, peak: w * peak, hi: math.Inf(1), most: ceiling}
		deficits[i] = newDeficit(b, w, t)
	}
	passes += sweepDeficits(r, readings, searches, deficits)
	for i, s := range searches {
		s.lo, s.size = deficits[i].answer, deficits[i].answer
		s.done = s.size == 0 || s.size > s.most || b.SelfDischarge == 0 && !s.limited(b)
	}
	for trial := 0; trial < mostTrials && anyLeft(searches); trial++ {
		for i, s := range searches {
			deficits[i].try(b, s.size)
		}
		passes += sweepDeficits(r, readings, searches, deficits)
		for i, s := range searches {
			if !s.done {
				s.step(deficits[i].answer)
			}
		}
	}
	least = make([]float64, len(panels))
	for i, s := range searches {
		switch least[i] = s.size; {
		case s.size > s.most || s.lo > s.most:
			least[i] = math.Inf(1)
			continue
		case s.size > 0:
			least[i] += sizeMargin
		}
		if b.DischargeLimit > 0 { // it must carry the load's peak by itself
			least[i] = max(least[i], most/b.DischargeLimit*b.UsableOfNominal())
		}
	}
	return least, passes
}

// limited reports whether the charge limit of b could bind at the size in hand.
func (s *search) limited(b Battery) bool {
	return b.ChargeLimit > 0 && s.peak > b.ChargeLimit*s.size/b.UsableOfNominal()
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

func anyLeft(all []*search) bool {
	for _, s := range all {
		if !s.done {
			return true
		}
	}
	return false
}

// sweepDeficits carries the deficits of the searches that are not done.
func sweepDeficits(r supply.Record, readings int, searches []*search, deficits []*deficit) (passes int) {
	var left []carrier
	for i, s := range searches {
		if !s.done {
			left = append(left, deficits[i])
		}
	}
	return sweep(r, readings, left)
}

// newDeficit returns the deficit of w watts of panel on a store without losses
// or limits that depend on its size.
func newDeficit(b Battery, w float64, t Target) *deficit {
	d := &deficit{cell: cellOf(b, 0), scale: w, target: t.Unmet, stopMax: t.StopMax}
	if t.StopMax == 0 {
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
	d.limOut = math.Inf(1) // seen to in leastUsable
	d.cap, d.s, d.leak, d.trial = usable, usable, 0, true
	d.way, d.demand = 0, 0
	d.walk.open, d.walk.closed, d.before = d.walk.open[:0], d.walk.closed[:0], d.before[:0]
}
