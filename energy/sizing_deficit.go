package energy

import "math"

// deficit finds the least usable energy that keeps one panel's record within a
// target, without searching. It is the running deficit (sequent peak) carried
// on: where the plain method keeps the deepest deficit, this keeps every one.
//
// Read a record as a walk: down by what the load takes from the store, up by
// what the panel puts into it. The walk is cut into falls and rises, and
// whenever a rise or a fall is covered by the next one it closes and is set
// aside (the counting of closed cycles that fatigue engineers call rainflow).
// A store of usable energy C, full at the start, is the walk reflected at 0 and
// at C, and what it cannot deliver is
//
//	taken short = sum over falls of max(0, fall - C)
//
// for every C at once (the downward truncated variation of the walk). An hour
// is short if and only if the fall it ends in is larger than C.
//
// Two things depend on C: self-discharge on what is stored, and a charge limit
// that grows with the battery. They are taken from a trial size: the walk is
// that of a store of the trial size, its losses as falls without demand. At the
// size where the answer equals the trial, and there only, the walk is that of
// the store itself; the answer exceeds the trial exactly when the trial is too
// small.
type deficit struct {
	cell
	scale   float64
	trial   bool    // losses and limits of a store of size cap
	target  float64 // share of the load's energy that may be missed
	stopMax int     // longest stop allowed [h]; below 0: any

	s, leak float64 // the trial store; what it lost in the hour before
	seeks   bool
	walk    walk
	before  []float64 // falls open when the counted reading began
	way     float64   // sum of the present fall (below 0) or rise (above 0)
	demand  int       // hours of the present stretch of demand
	last    []float64 // the falls of its last stopMax hours, in a ring
	at      int       // the latest of them
	counted bool
	load    float64
	need    float64 // usable energy that the longest stop asks for
	answer  float64 // least usable energy [Wh], once the readings have ended
}

func (d *deficit) begin(counted bool) {
	d.turn()
	d.load, d.need, d.counted = 0, 0, counted
	if counted {
		d.walk.closed = d.walk.closed[:0]
		d.before = d.walk.falls(d.before[:0])
	}
}

// seek begins a trial empty: once its store is full, so is the walk of a store of
// that size, which is all that is asked of a trial.
func (d *deficit) seek() bool {
	if d.trial {
		d.s, d.seeks = 0, true
	}
	return d.trial
}

func (d *deficit) settled() bool {
	if d.seeks {
		d.s, d.seeks = d.cap, false
		return false
	}
	return true
}

func (d *deficit) end() {
	d.turn()
	falls := d.walk.falls(d.walk.closed)
	d.answer = max(d.need, leastStore(falls, d.before, d.target*d.load/d.perTake))
}

func (d *deficit) advance(r *Record, lo, hi int) {
	if d.seeks {
		hour, left := d.fullAt(r, d.scale, d.s, lo, hi)
		if d.s = left; hour == hi {
			return
		}
		d.s = left * d.keep
		d.leak, d.seeks, lo = left-d.s, false, hour+1
	}
	if d.trial || d.stopMax > 0 {
		d.general(r, lo, hi)
		return
	}
	way, load := d.way, d.load
	perGive := 1 / d.perTake
	cold := r.BatteryC != nil && d.warm > math.Inf(-1)
	asked := r.Load[lo:hi]
	for i, made := range r.Panel[lo:hi:hi][:len(asked)] {
		l := asked[i]
		load += l
		step := d.scale*made - l
		if step >= 0 {
			step *= d.charge
			if cold && r.BatteryC[lo+i] < d.warm {
				step = 0
			}
		} else {
			step *= perGive
		}
		if (step < 0) != (way < 0) {
			d.way = way
			d.turn()
			way = 0
		}
		way += step
	}
	d.way, d.load = way, load
}

// general is advance with a trial store, a longest stop, or both. What the
// store loses in an hour joins the walk in the hour after, ahead of what that
// hour puts in or takes out.
func (d *deficit) general(r *Record, lo, hi int) {
	perGive := 1 / d.perTake
	charge, keep, limit, full := d.charge, d.keep, d.limIn, d.cap
	way, load, s, leak, demand, at := d.way, d.load, d.s, d.leak, d.demand, d.at
	stops, trial := d.stopMax > 0, d.trial
	cold := r.BatteryC != nil && d.warm > math.Inf(-1)
	asked := r.Load[lo:hi]
	for i, made := range r.Panel[lo:hi:hi][:len(asked)] {
		l := asked[i]
		load += l
		step := d.scale*made - l
		short := stops && step < -unmetLeast
		if step >= 0 {
			if step > limit {
				step = limit
			}
			step *= charge
			if cold && r.BatteryC[lo+i] < d.warm {
				step = 0
			}
		} else {
			step *= perGive
		}
		if trial {
			s += step
			if s > full {
				s = full
			} else if s < 0 {
				s = 0
			}
			step -= leak
			leak = s - s*keep
			s *= keep
		}
		if (step < 0) != (way < 0) || short != (demand > 0) {
			d.way, d.demand = way, demand
			d.turn()
			way, demand = 0, 0
		}
		way += step
		if short {
			if demand++; at >= len(d.last)-1 {
				at = -1
			}
			at++
			d.last[at] = -step
		}
	}
	d.way, d.load, d.s, d.leak, d.demand, d.at = way, load, s, leak, demand, at
}

// turn puts the present fall or rise into the walk. In a stretch of demand the
// short hours are its last ones, so that it stays within the longest stop if
// the hour stopMax hours before its end is served.
func (d *deficit) turn() {
	way := d.way
	switch {
	case way > 0:
		d.walk.rise(way)
	case way < 0 && d.stopMax > 0 && d.demand > d.stopMax && d.counted:
		tail := 0.0
		for _, f := range d.last {
			tail += f
		}
		d.need = max(d.need, d.walk.fall(max(0, -way-tail)))
		d.walk.fall(tail)
	case way < 0:
		d.walk.fall(-way)
	}
	d.way, d.demand = 0, 0
}

// walk is a path of falls and rises below its highest level, which is a full
// store: a rise beyond that is forgotten.
type walk struct {
	open   []float64 // fall, rise, fall, ... none larger than the one before
	closed []float64 // falls that a later rise or fall has covered
}

// fall goes down by d and returns the size of the fall that the path is in.
func (w *walk) fall(d float64) float64 {
	n := len(w.open)
	if n%2 == 1 {
		w.open[n-1] += d
	} else {
		w.open = append(w.open, d)
		n++
	}
	for n >= 3 && w.open[n-1] >= w.open[n-2] {
		w.closed = append(w.closed, w.open[n-2])
		w.open[n-3] += w.open[n-1] - w.open[n-2]
		n -= 2
		w.open = w.open[:n]
	}
	return w.open[n-1]
}

// rise goes up by d.
func (w *walk) rise(d float64) {
	n := len(w.open)
	if n == 0 {
		return
	}
	if n%2 == 0 {
		w.open[n-1] += d
	} else {
		w.open = append(w.open, d)
		n++
	}
	for w.open[n-1] >= w.open[n-2] {
		w.closed = append(w.closed, w.open[n-2])
		if n == 2 {
			w.open = w.open[:0]
			return
		}
		w.open[n-3] += w.open[n-1] - w.open[n-2]
		n -= 2
		w.open = w.open[:n]
	}
}

// falls appends the open falls to into.
func (w *walk) falls(into []float64) []float64 {
	for i := 0; i < len(w.open); i += 2 {
		into = append(into, w.open[i])
	}
	return into
}

// leastStore returns the least c with
//
//	sum max(0, fall - c) - sum max(0, before - c) <= target
//
// where the sums fall as c grows. It orders falls and reuses the slice.
func leastStore(falls, before []float64, target float64) float64 {
	lo, hi := 0.0, 0.0 // the sums at hi are within the target, at lo they are not
	for _, f := range falls {
		hi = max(hi, f)
	}
	for _, f := range before {
		hi = max(hi, f)
	}
	if excess(falls, before, 0) <= target {
		return 0
	}
	// n and sum hold what lies at hi or above; falls and before what lies
	// between lo and hi.
	n, sum := 0, 0.0
	take := func(list []float64, sign int, level float64) []float64 {
		kept := list[:0]
		for _, f := range list {
			if f >= level {
				n += sign
				sum += float64(sign) * f
			} else {
				kept = append(kept, f)
			}
		}
		return kept
	}
	drop := func(list []float64, level float64) []float64 {
		kept := list[:0]
		for _, f := range list {
			if f > level {
				kept = append(kept, f)
			}
		}
		return kept
	}
	before = append([]float64(nil), before...)
	falls, before = take(falls, 1, hi), take(before, -1, hi)
	for len(falls)+len(before) > 0 {
		level := pivot(falls, before)
		at := sum - float64(n)*level + excess(falls, before, level)
		if at <= target {
			hi = level
			falls, before = take(falls, 1, level), take(before, -1, level)
		} else {
			lo = level
			falls, before = drop(falls, level), drop(before, level)
		}
	}
	if n <= 0 {
		return hi
	}
	return min(hi, max(lo, (sum-target)/float64(n)))
}

// excess returns the two sums of leastStore at c.
func excess(falls, before []float64, c float64) float64 {
	sum := 0.0
	for _, f := range falls {
		sum += max(0, f-c)
	}
	for _, f := range before {
		sum -= max(0, f-c)
	}
	return sum
}

// pivot returns a value of the lists, the middle one of three.
func pivot(falls, before []float64) float64 {
	list := falls
	if len(before) > len(falls) {
		list = before
	}
	a, b, c := list[0], list[len(list)/2], list[len(list)-1]
	return max(min(a, b), min(max(a, b), c))
}
