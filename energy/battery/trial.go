package battery

import (
	"math"
	"slices"

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
	until             []float64        // load before each hour of r.Load [Wh]
}

func newLoaded(r supply.Record, b Battery) *loaded {
	l := &loaded{r: r, b: b, n: twice, sun: r.PanelSums(), load: r.LoadSum(), water: r.WaterSum()}
	l.until = make([]float64, len(r.Load)+1)
	for i, v := range r.Load {
		l.until[i+1] = l.until[i] + v
		l.most = max(l.most, v)
	}
	return l
}

// asked returns what the load takes from hour lo up to hi [Wh].
func (l *loaded) asked(lo, hi int) float64 {
	n := len(l.r.Load)
	return float64(hi/n-lo/n)*l.until[n] + l.until[hi%n] - l.until[lo%n]
}

// night returns what every battery holds at least, whatever the panel [usable Wh]:
// once it is empty in the dark, it stays so. It is 0 where stops in the dark are
// within the target.
func (l *loaded) night(t Target) (least float64) {
	allowed := float64(max(0, t.StopMax)) * l.most
	if !(t.Unmet == 0 || t.StopMax == 0 || t.StopMax > 0 && !slices.Contains(l.r.Load, 0)) {
		return 0
	}
	from := 0
	for _, b := range l.sun.Bright {
		if b[0]-from > t.StopMax {
			least = max(least, l.asked(from, b[0])-allowed)
		}
		from = b[1]
	}
	return least / l.b.DischargeShare * (1 - 1e-9)
}

func (l *loaded) trial(w float64) *trial { return &trial{loaded: l, w: w, deep: math.Inf(1)} }

// twice is how often a record is read for a size: the second reading is counted, from
// the state that the first leaves.
const twice = 2

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
		c = t.follow(t.w, most, limit)
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
			from, to := int(s.from), int(s.to)
			if from > 0 {
				x.fill(from)
			}
			x.advance(&t.r, max(0, from), to)
			t.read += to - from
		}
	}
	x.end()
}
