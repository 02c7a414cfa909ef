package battery

import (
	"math"
	"slices"
	"sort"

	"sunrill/data/clock"
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
	from, to int32
	depth    float64 // it lacks no more than this [Wh]
}

// spellSlack [Wh] stands for rounding.
const spellSlack = 1e-6

// follower carries the bound of a course through a record.
type follower struct {
	*course
	*loaded
	w, charge, perGive, leak, limit, warm float64
	lack, depth                           float64
	from                                  int
}

// follow returns the course of w watts. Where the record is read twice, the last
// spell of the first reading goes on in the second.
func (l *loaded) follow(w, most, limit float64) *course {
	n := l.r.Hours()
	f := l.follower(w, most, limit)
	c := f.course
	c.spells, f.lack = make([]spell, 0, n/clock.HoursPerDay), f.leak
	f.read(0, len(l.sun.Bright), false)
	f.dark(len(l.sun.Bright))
	if f.depth > 0 {
		c.spells = append(c.spells, spell{int32(f.from), int32(n), f.depth})
	}
	if l.n == 1 || f.depth == 0 {
		c.closed = true
		return c
	}
	all, again := c.spells, f
	again.course = &course{}
	again.from -= n
	again.read(0, len(l.sun.Bright), true)
	if c.closed = again.closed; !c.closed {
		c.spells = nil
		return c
	}
	first := again.spells[0]
	k := sort.Search(len(all), func(k int) bool { return all[k].from >= first.to })
	c.spells = slices.Replace(all, 0, k, first)
	return c
}

// follower returns what carries the bound of w watts.
func (l *loaded) follower(w, most, limit float64) follower {
	f := follower{course: &course{most: most, limit: limit}, loaded: l, w: w, charge: l.b.ChargeShare, perGive: 1 / l.b.DischargeShare,
		leak: (1 - l.b.keptEachHour()) * most, limit: limit, warm: math.Inf(-1)}
	if l.b.NoChargeBelow > 0 && l.r.BatteryC != nil {
		f.warm = l.b.NoChargeBelow.InCelsius()
	}
	return f
}

// read carries the bound through stretches of sun lo to hi, each with the dark before it; of
// the second reading only to the first hour in which it is full.
func (f *follower) read(lo, hi int, second bool) {
	for k, b := range f.sun.Bright[lo:hi] {
		f.dark(lo + k)
		for at := b[0]; at < b[1]; {
			asked, _ := f.r.Asked(at, b[1])
			if f.bright(at, asked) && second {
				return
			}
			at += len(asked)
		}
	}
}

// dark carries the bound through the hours without sun before a stretch of it.
func (f *follower) dark(k int) {
	from, to := f.loaded.dark(k)
	taken := f.night[k] * f.perGive
	f.taken += taken
	f.lack += taken + float64(to-from)*f.leak
	f.depth = max(f.depth, f.lack)
}

// bright carries the bound through the hours from lo on in which so much is asked
// for, and reports whether a spell ends in them.
func (f *follower) bright(lo int, asked []float64) (ended bool) {
	w, charge, perGive, leak, limit := f.w, f.charge, f.perGive, f.leak, f.limit
	lack, depth, taken := f.lack, f.depth, 0.0
	cold, spilt := f.warm > math.Inf(-1), math.Inf(1)
	if still := (leak + spellSlack) / charge * (1 + 1e-9); !cold && limit > still {
		spilt = still
	}
	panel := f.r.Panel[lo : lo+len(asked)][:len(asked)]
	for i := 0; i < len(asked); i++ {
		net := w*panel[i] - asked[i]
		if net < 0 {
			net *= perGive
			taken -= net
			if lack += leak - net; lack > depth {
				depth = lack
			}
			continue
		}
		if net > limit {
			net = limit
		}
		if cold && f.r.BatteryC[lo+i] < f.warm {
			net = 0
		}
		lack -= net * charge
		if lack < -spellSlack {
			if f.closed = true; depth > 0 {
				f.spells = append(f.spells, spell{int32(f.from), int32(lo + i + 1), depth})
				ended = true
			}
			for i+1 < len(asked) && w*panel[i+1]-asked[i+1] > spilt { // it stays full
				i++
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
	f.lack, f.depth = lack, depth
	f.taken += taken
	return ended
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
	if k := sort.Search(len(c.spells), func(k int) bool { return int(c.spells[k].to) > hour }); k < len(c.spells) {
		from = min(from, int(c.spells[k].from))
	}
	switch {
	case !c.closed:
		x.advance(r, 0, n)
	case from < 0 || from == 0 && readings > 1:
		x.fill(n + from)
		x.advance(r, n+from, n)
	}
	x.begin(true)
	if c.closed && from > 0 {
		x.fill(from)
		x.advance(r, from, hour)
		return
	}
	x.advance(r, 0, hour)
}
