package battery

import (
	"math"

	"sunrill/energy/supply"
)

// trial is one panel under a load, of which sizes are asked.
type trial struct {
	*loaded
	w      float64
	course *course
	deep   float64 // spells no deeper than this moved no deficit so far
	read   int     // hours read so far
}

// loaded is a record and a kind of battery, for the trials of many panels.
type loaded struct {
	r                 supply.Record
	b                 Battery
	n                 int              // readings, of which the last is counted
	sun               supply.PanelSums // of a watt of panel
	load, water, most float64          // sums of the record, and the largest load
}

func newLoaded(r supply.Record, b Battery) *loaded {
	l := &loaded{r: r, b: b, n: Readings(true), sun: r.PanelSums(), load: r.LoadSum(), water: r.WaterSum()}
	for _, v := range r.Load {
		l.most = max(l.most, v)
	}
	return l
}

func (l *loaded) trial(w float64) *trial { return &trial{loaded: l, w: w, deep: math.Inf(1)} }

// usualDays is the load of so many days that the course of a panel is made to hold,
// where no larger size is asked for.
const usualDays = 10

// at returns the course of the panel for a usable size with a charge limit.
func (t *trial) at(usable, limit float64) *course {
	peak := t.w * t.sun.Most
	if limit > peak {
		limit = math.Inf(1)
	}
	c := t.course
	if c == nil || usable > c.most || limit < c.limit {
		most := usualDays * 24 * t.load / float64(t.r.Hours())
		if c != nil {
			most, limit = max(most, c.most), min(limit, c.limit)
		}
		if usable > most {
			most = 2 * usable
		}
		c = follow(&t.r, t.b, t.w, most, limit, t.n)
		t.read += t.r.Hours()
		t.course = c
	}
	return c
}

// run returns a store of a nominal size after the record. Of its accounts only what
// was asked for, taken and missed is whole.
func (t *trial) run(wh float64, connected bool) *store {
	st := newStore(t.r, t.w, t.b, wh, BalanceOptions{StartCharge: 1, Connected: connected})
	c := t.at(st.cap, st.limIn)
	if !c.closed || st.limOut < t.most {
		return t.whole(wh, connected)
	}
	t.carry(c, st, st.cap-max(st.cut, 0)-spellSlack)
	st.load, st.asked, st.start = t.load, t.water, st.s // it is full at some time, so that it does not drain
	if st.cut < 0 {
		st.taken = c.taken - st.unmet/st.perTake
	}
	return st
}

// whole is run with every account.
func (t *trial) whole(wh float64, connected bool) *store {
	st := newStore(t.r, t.w, t.b, wh, BalanceOptions{StartCharge: 1, Connected: connected})
	t.at(st.cap, st.limIn).reach(st, &t.r, 0, t.n)
	st.advance(&t.r, 0, t.r.Hours())
	st.end()
	t.read += t.r.Hours()
	return st
}

// carry takes x through the spells that are deeper than a size, or through all of a
// record in which nothing is ever full.
func (t *trial) carry(c *course, x carrier, deeper float64) {
	hours := t.r.Hours()
	if c.reach(x, &t.r, 0, t.n); !c.closed {
		x.advance(&t.r, 0, hours)
		t.read += t.n * hours
	}
	for _, s := range c.spells {
		if s.depth > deeper {
			if s.from > 0 {
				x.fill(s.from)
			}
			x.advance(&t.r, max(0, s.from), s.to)
			t.read += s.to - s.from
		}
	}
	x.end()
}

// LeastUsable returns the least usable energy [Wh] of b with w watts of panel within a
// target, read as Size does; +Inf where the panel cannot keep up.
func LeastUsable(r supply.Record, w float64, b Battery, target Target) float64 {
	return newLoaded(r, b).trial(w).least(target)
}
