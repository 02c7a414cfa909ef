package battery

import (
	"runtime"
	"sync"

	"sunrill/energy/supply"
	"sunrill/solar"
)

// A carrier is carried through a record, block by block and reading by
// reading: one battery with its panel.
type carrier interface {
	// begin is called before each reading; counted tells the last one.
	begin(counted bool)
	// advance reads hours lo to hi of r.
	advance(r *supply.Record, lo, hi int)
	// end is called after the last reading.
	end()
	// seek makes the carrier begin at a later hour of a reading that does not
	// count, as if empty, and look for an hour in which it is full all the same:
	// from there on it is what it would be from the record's first hour. False
	// where it cannot tell.
	seek() bool
	// settled reports whether that hour was found; where it was not, the carrier
	// is as it was before seek.
	settled() bool
}

// blockHours is how many hours every carrier reads before the next block: the
// columns of a block stay in the processor's nearest cache, so that a pass
// over decades costs memory traffic once, however many batteries it carries.
const blockHours = 1024

// leadHours is how much of the first of two readings is read before all of it:
// a store that is full in its last year, begun empty, need not be followed
// through the years before.
const leadHours = solar.HoursPerYear

// sweep reads r as often as asked and carries every carrier along: each
// reading is one pass. Of a reading that does not count only the end is read
// where that says all. Carriers are dealt to the cores; what each of them finds
// does not depend on how.
func sweep(r supply.Record, readings int, all []carrier) (passes int) {
	cores := min(runtime.GOMAXPROCS(0), len(all))
	var wait sync.WaitGroup
	for core := 1; core < cores; core++ {
		wait.Add(1)
		go func() {
			defer wait.Done()
			carry(&r, readings, dealt(all, core, cores))
		}()
	}
	carry(&r, readings, dealt(all, 0, max(1, cores)))
	wait.Wait()
	return readings
}

// dealt returns every step-th carrier from first on.
func dealt(all []carrier, first, step int) (some []carrier) {
	for i := first; i < len(all); i += step {
		some = append(some, all[i])
	}
	return some
}

// carry takes carriers through one reading of r that counts, or through two.
func carry(r *supply.Record, readings int, all []carrier) {
	if readings > 1 {
		leadIn(r, all)
	}
	for _, c := range all {
		c.begin(true)
	}
	read(r, all, 0)
	for _, c := range all {
		c.end()
	}
}

// leadIn takes carriers through a reading that does not count: the end of it,
// and those that this leaves in doubt through all.
func leadIn(r *supply.Record, all []carrier) {
	n := r.Hours()
	var late, early []carrier
	for _, c := range all {
		c.begin(false)
		if c.seek() {
			late = append(late, c)
		} else {
			early = append(early, c)
		}
	}
	read(r, late, n-min(leadHours, n/4))
	for _, c := range late {
		if !c.settled() {
			early = append(early, c)
		}
	}
	read(r, early, 0)
}

// read takes carriers from an hour of r to its end.
func read(r *supply.Record, all []carrier, from int) {
	for n := r.Hours(); from < n && len(all) > 0; from += blockHours {
		for _, c := range all {
			c.advance(r, from, min(from+blockHours, n))
		}
	}
}
