package battery

import (
	"math"

	"sunrill/energy/supply"
)

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
// is short if and only if the fall it ends in is larger than C. Sources, from
// memory: the sequent peak of Thomas & Burden 1963, rainflow counting of
// Matsuishi & Endo 1968; that they meet is worked out here, and the tests hold
// it to bisection of the hourly balance.
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

func (d *deficit) advance(r *supply.Record, lo, hi int) {
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
	// The first sweep of every front comes this way, so it has a loop of its own
	// without the accounts of general.
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
func (d *deficit) general(r *supply.Record, lo, hi int) {
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
