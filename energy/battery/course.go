package battery

import (
	"math"
	"sort"

	"sunrill/energy/supply"
)

// A store that meets a target is full on most afternoons, and what it does between
// two times that it is full depends on nothing before them. So a panel is followed
// through a record once, as an upper bound of what any store on it lacks of being
// full, and whatever is asked of a size after that is run only through the spells in
// which that bound is deeper than the size.

// course is a record as one panel goes through it. Its bound leaves out the floor of
// the store, takes the self-discharge of the largest size asked of it and the charge
// limit of the smallest, and counts as full only what is so by spellSlack: a spell
// that is not run has no stop in it and no cut-off, and one that is run begins with a
// full store, as it would in a reading of the whole record.
type course struct {
	most   float64 // largest usable size that it holds for [Wh]
	limit  float64 // smallest charge limit that it holds for [W]
	closed bool    // a store is full at some time
	spells []spell // of the counted reading; the first may begin before its first hour
	taken  float64 // from a store that is never empty [Wh]
}

// spell is a stretch of hours before which a store is full, and in whose last hour
// it is again, or the record ends.
type spell struct {
	from, to int
	depth    float64 // it lacks no more than this [Wh]
}

// spellSlack [Wh] stands for rounding.
const spellSlack = 1e-6

// follower carries the bound of a course through a record.
type follower struct {
	*course
	w, charge, perGive, leak, limit, warm float64
	lack, depth                           float64
	from                                  int
}

// follow returns the course of w watts of b. Where the record is read twice, the
// last spell of the first reading goes on in the second.
func follow(r *supply.Record, b Battery, w, most, limit float64, readings int) *course {
	c := &course{most: most, limit: limit, spells: make([]spell, 0, r.Hours()/20)}
	f := follower{course: c, w: w, charge: b.ChargeShare, perGive: 1 / b.DischargeShare, leak: (1 - b.keptEachHour()) * most, limit: limit, warm: math.Inf(-1)}
	if b.NoChargeBelow > 0 && r.BatteryC != nil {
		f.warm = b.NoChargeBelow.InCelsius()
	}
	n := r.Hours()
	f.lack = f.leak
	f.read(r, false)
	if f.depth > 0 {
		c.spells = append(c.spells, spell{f.from, n, f.depth})
	}
	if readings == 1 || f.depth == 0 {
		c.closed = true
		return c
	}
	all, again := c.spells, f
	again.course = &course{}
	again.from -= n
	again.read(r, true)
	if c.closed = again.closed; !c.closed {
		c.spells = nil
		return c
	}
	first := again.spells[0]
	k := sort.Search(len(all), func(k int) bool { return all[k].from >= first.to })
	c.spells = append([]spell{first}, all[k:]...)
	return c
}

// read carries the bound to the record's end; of the second reading only to the
// first hour in which it is full.
func (f *follower) read(r *supply.Record, second bool) {
	w, charge, perGive, leak, limit := f.w, f.charge, f.perGive, f.leak, f.limit
	lack, depth, taken := f.lack, f.depth, 0.0
	limited, cold := !math.IsInf(limit, 1), f.warm > math.Inf(-1)
	hours := r.Hours()
	for lo := 0; lo < hours; {
		asked, _ := r.Asked(lo, hours)
		for i, made := range r.Panel[lo : lo+len(asked)][:len(asked)] {
			net := w*made - asked[i]
			if net < 0 {
				net *= perGive
				taken -= net
				if lack += leak - net; lack > depth {
					depth = lack
				}
				continue
			}
			if limited && net > limit {
				net = limit
			}
			if cold && r.BatteryC[lo+i] < f.warm {
				net = 0
			}
			lack -= net * charge
			if lack < -spellSlack {
				if f.closed = true; depth > 0 {
					f.spells = append(f.spells, spell{f.from, lo + i + 1, depth})
					if second {
						return
					}
				}
				lack, depth, f.from = leak, 0, lo+i+1
				continue
			}
			if lack < 0 {
				lack = 0
			}
			if lack += leak; lack > depth {
				depth = lack
			}
		}
		lo += len(asked)
	}
	f.lack, f.depth = lack, depth
	f.taken = taken
}

// carrier is carried through a record: one battery with its panel.
type carrier interface {
	// begin is called before each reading; counted tells the last one.
	begin(counted bool)
	// fill makes it full before an hour.
	fill(hour int)
	// advance reads hours lo to hi of r.
	advance(r *supply.Record, lo, hi int)
	// end is called after the last reading.
	end()
}

// reach takes x to an hour of the counted reading, from when it was last full.
func (c *course) reach(x carrier, r *supply.Record, hour, readings int) {
	x.begin(false)
	n, from := r.Hours(), hour
	if k := sort.Search(len(c.spells), func(k int) bool { return c.spells[k].to > hour }); k < len(c.spells) {
		from = min(from, c.spells[k].from)
	}
	switch {
	case !c.closed:
		x.advance(r, 0, n)
	case from < 0:
		x.fill(n + from)
		x.advance(r, n+from, n)
	}
	x.begin(true)
	if c.closed && (from > 0 || from == 0 && readings > 1) {
		x.fill(from)
		x.advance(r, from, hour)
		return
	}
	x.advance(r, 0, hour)
}
