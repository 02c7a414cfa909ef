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
	hard   []spell // of that course, in which a size stopped too long
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
		t.course, t.hard = c, nil
	}
	return c
}

// share makes the spells of a smaller panel's course those of t: what fills a store on
// that one fills it on this one, and no less deep.
func (t *trial) share(c *course) {
	own := *c
	own.taken = 0
	at := 0
	for _, b := range t.sun.Bright {
		own.taken += t.asked(at, b[0])
		for at = b[0]; at < b[1]; {
			asked, _ := t.r.Asked(at, b[1])
			for i, made := range t.r.Panel[at : at+len(asked)] {
				if net := asked[i] - t.w*made; net > 0 {
					own.taken += net
				}
			}
			at += len(asked)
		}
		t.read += b[1] - b[0]
	}
	own.taken = (own.taken + t.asked(at, t.r.Hours())) / t.b.DischargeShare
	t.course = &own
}

// run returns a store of a nominal size after the record. Of its accounts only what
// was asked for, taken and missed is whole.
func (t *trial) run(wh float64, connected bool) *store {
	st := newStore(t.r, t.w, t.b, wh, BalanceOptions{StartCharge: 1, Connected: connected})
	c := t.at(st.cap, st.limIn)
	if !c.closed || st.limOut < t.most {
		return t.whole(wh, connected)
	}
	t.carry(c, st, st.cap-max(st.cut, 0)-spellSlack, nil)
	st.load, st.asked, st.start = t.load, t.water, st.s // it is full at some time, so that it does not drain
	st.taken = c.taken - (st.unmet-st.idle)/st.perTake
	return st
}

// hardSpells is how many spells are kept that a size did not get through: the next
// one may not either.
const hardSpells = 4

// passing returns a store of a nominal size after the record, run with cut-off and
// reconnect, as run does; nil where it misses a target, which shows early.
func (t *trial) passing(wh float64, target Target) *store {
	st := newStore(t.r, t.w, t.b, wh, FromFull())
	c := t.at(st.cap, st.limIn)
	if !c.closed || st.limOut < t.most {
		st = t.whole(wh, true)
		if run := st.balance(); target.meets(run) && !(t.n > 1 && run.Drains()) {
			return st
		}
		return nil
	}
	if target.StopMax >= 0 && t.stopsAgain(st, target.StopMax) {
		return nil
	}
	ok := t.carry(c, st, st.cap-max(st.cut, 0)-spellSlack, func(s spell) bool {
		if target.StopMax >= 0 && st.log.LongestHours > target.StopMax {
			if s.from > 0 {
				t.hard = append([]spell{s}, t.hard[:min(len(t.hard), hardSpells-1)]...)
			}
			return false
		}
		return st.unmet <= target.Unmet*t.load+unmetLeast && (target.Unmet > 0 || st.log.Hours == 0) &&
			(!target.water.Known || st.missed <= (target.water.Value+1e-12)*t.water)
	})
	st.taken = c.taken - (st.unmet-st.idle)/st.perTake
	if st.load, st.asked, st.start = t.load, t.water, st.s; ok && target.meets(st.balance()) {
		return st
	}
	return nil
}

// stopsAgain reports whether a store stops for longer than most in one of the hard
// spells; st is left as it was.
func (t *trial) stopsAgain(st *store, most int) bool {
	for k, s := range t.hard {
		one := *st
		one.log = stopLog{years: make([]YearStops, len(st.log.years)), last: -2, lastNight: -2}
		one.fill(int(s.from))
		one.advance(&t.r, int(s.from), int(s.to))
		t.read += int(s.to - s.from)
		if one.log.LongestHours > most {
			copy(t.hard[1:k+1], t.hard[:k])
			t.hard[0] = s
			return true
		}
	}
	return false
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
// record in which nothing is ever full, as long as on, where there is one, says so
// after each spell; it reports whether that was to the end.
func (t *trial) carry(c *course, x carrier, deeper float64, on func(spell) bool) bool {
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
			if on != nil && !on(s) {
				return false
			}
		}
	}
	x.end()
	return true
}
