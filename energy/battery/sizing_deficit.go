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
	walk    walk
	before  []float64 // falls open when the counted reading began
	way     float64   // sum of the present fall (below 0) or rise (above 0)
	demand  int       // hours of the present stretch of demand
	last    []float64 // the falls of its last stopMax hours, in a ring
	at      int       // the latest of them
	counted bool
	load    float64 // of the whole record
	need    float64 // usable energy that the longest stop asks for
	above   float64 // only an answer of so much is exact; else it is less than that
	answer  float64 // least usable energy [Wh], once the readings have ended
}

func (d *deficit) begin(counted bool) {
	d.turn()
	d.need, d.counted = 0, counted
	if counted {
		d.walk.closed = d.walk.closed[:0]
		d.before = d.walk.falls(d.before[:0])
		return
	}
	d.walk.open, d.walk.closed, d.before = d.walk.open[:0], d.walk.closed[:0], d.before[:0]
	d.s, d.leak = d.cap, 0
}

// fill puts the trial store where it is after an hour in which it was full, and the
// walk at its highest.
func (d *deficit) fill(int) {
	d.turn()
	d.walk.open = d.walk.open[:0]
	d.s = d.cap * d.keep
	d.leak = d.cap - d.s
}

func (d *deficit) end() {
	d.turn()
	falls := d.walk.falls(d.walk.closed)
	d.answer = max(d.need, leastStore(falls, d.before, d.target*d.load/d.perTake, d.above))
}

func (d *deficit) advance(r *supply.Record, lo, hi int) {
	for lo < hi {
		asked, _ := r.Asked(lo, hi)
		d.read(r, lo, asked)
		lo += len(asked)
	}
}

// read reads the hours from lo on in which so much is asked for. What the
// store loses in an hour joins the walk in the hour after, ahead of what that
// hour puts in or takes out.
func (d *deficit) read(r *supply.Record, lo int, asked []float64) {
	perGive := 1 / d.perTake
	charge, keep, limit, full := d.charge, d.keep, d.limIn, d.cap
	way, s, leak, demand, at := d.way, d.s, d.leak, d.demand, d.at
	stops, trial := d.stopMax > 0, d.trial
	cold := r.BatteryC != nil && d.warm > math.Inf(-1)
	for i, made := range r.Panel[lo : lo+len(asked)][:len(asked)] {
		step := d.scale*made - asked[i]
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
	d.way, d.s, d.leak, d.demand, d.at = way, s, leak, demand, at
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
