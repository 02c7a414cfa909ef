package battery

import (
	"math"
	"slices"

	"sunrill/data/clock"
	"sunrill/energy/supply"
	"sunrill/solar"
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
	night             []float64        // load of the dark before each stretch of sun, and after the last [Wh]
	limits            *StopLimits      // of the stops that are counted
}

func newLoaded(r supply.Record, b Battery, limits *StopLimits) *loaded {
	l := &loaded{r: r, b: b, n: twice, sun: r.PanelSums(), load: r.LoadSum(), water: r.WaterSum(), limits: limits}
	n, year := len(r.Load), 0 // the first hour of the load's year in which a night ends
	until := make([]float64, n+1)
	for i, v := range r.Load {
		until[i+1] = until[i] + v
		l.most = max(l.most, v)
	}
	l.night = make([]float64, len(l.sun.Bright)+1)
	for k := range l.night {
		lo, hi := l.dark(k)
		for ; hi-year > n; year += n {
			l.night[k] += until[n] - until[min(n, max(0, lo-year))]
		}
		l.night[k] += until[hi-year] - until[max(0, lo-year)]
	}
	return l
}

// dark returns the hours without sun before a stretch of it, or after the last.
func (l *loaded) dark(k int) (from, to int) {
	if to = l.r.Hours(); k < len(l.sun.Bright) {
		to = l.sun.Bright[k][0]
	}
	if k > 0 {
		from = l.sun.Bright[k-1][1]
	}
	return from, to
}

// longestNight returns what every battery holds at least, whatever the panel [usable Wh]:
// once it is empty in the dark, it stays so, which makes a year bad where the night is
// longer than the limit. It is 0 where stops in the dark are within the target.
func (l *loaded) longestNight(t Target) float64 {
	if t.limits == nil || slices.Max(t.limits[:]) > 0 && slices.Contains(l.r.Load, 0) {
		return 0
	}
	years := make([]float64, l.r.Hours()/solar.HoursPerYear+1)
	for k := range l.sun.Bright {
		from, to := l.dark(k)
		year := &years[from/solar.HoursPerYear]
		if l.night[k] <= *year || from/solar.HoursPerYear != to/solar.HoursPerYear {
			continue
		}
		most := t.limits[supply.MonthAt(l.r.Start, to)]                             // of the months in which the stop may have begun
		for i := max(0, from-3*clock.HoursPerDay); i < to; i += clock.HoursPerDay { // no limit by the month is longer
			most = max(most, t.limits[supply.MonthAt(l.r.Start, i)])
		}
		if to-from > most {
			*year = max(*year, l.night[k]-float64(most)*l.most)
		}
	}
	slices.Sort(years)
	return years[max(0, len(years)-1-t.badMost)] / l.b.DischargeShare * (1 - 1e-9)
}

func (l *loaded) trial(w float64) *trial { return &trial{loaded: l, w: w, deep: math.Inf(1)} }

// twice is how often a record is read for a size: the second reading is counted, from
// the state that the first leaves.
const twice = 2

// usualDays is the load of so many days that the course of a panel is made to hold,
// where no larger size is asked for.
const usualDays = 10

// widerLimit is how many times the charge limit of a course on which nothing is ever full
// another has to be worth following.
const widerLimit = 1.5

// at returns the course of the panel for a usable size with a charge limit.
func (t *trial) at(usable, limit float64) *course {
	peak := t.w * t.sun.Most
	if limit > peak {
		limit = math.Inf(1)
	}
	c := t.course
	wider := c != nil && !c.closed && limit > widerLimit*c.limit // which may let a store fill
	if c == nil || usable > c.most || limit < c.limit || wider {
		most := usualDays * 24 * t.load / float64(t.r.Hours())
		if c != nil && !wider {
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

// over returns what the panel makes beyond the load [Wh].
func (t *trial) over() (over float64) {
	for _, b := range t.sun.Bright {
		for at := b[0]; at < b[1]; {
			asked, _ := t.r.Asked(at, b[1])
			for i, made := range t.r.Panel[at : at+len(asked)] {
				over += max(0, t.w*made-asked[i])
			}
			at += len(asked)
		}
		t.read += b[1] - b[0]
	}
	return over
}

// loses reports whether the panel puts so much less into any store than the load takes
// that more than a share of the energy is missed, or the store ends lower than it began:
// nothing that it makes beyond the load is spilled, limited or leaks away here.
func (t *trial) loses(c *course, unmet float64) bool {
	const slack = 0.1 // h of the mean load, for what Drains lets pass of the largest store
	return (c.taken-t.over()*t.b.ChargeShare)*t.b.DischargeShare > unmet*t.load*(1+1e-9)+unmetLeast+slack*t.load/float64(t.r.Hours())
}

// run returns a store of a nominal size after the record. Of its accounts only what
// was asked for, taken and missed is whole.
func (t *trial) run(wh float64, connected bool) *store {
	st := t.store(wh, connected)
	c := t.at(st.cap, st.limIn)
	if !c.closed {
		return t.whole(wh, connected)
	}
	t.carry(c, st, t.depthOf(st), nil)
	st.load, st.asked, st.start = t.load, t.water, st.s // it is full at some time, so that it does not drain
	st.taken = c.taken - (st.unmet-st.idle)/st.perTake
	return st
}

// depthOf returns how deep a spell is that a store gets through without a stop; none is so
// shallow where it cannot give the largest load.
func (t *trial) depthOf(st *store) float64 {
	if st.limOut < t.most {
		return -1
	}
	return st.cap - max(st.cut, 0) - spellSlack
}

// store returns a store of a nominal size before the record.
func (t *trial) store(wh float64, connected bool) *store {
	return newStore(t.r, t.w, t.b, wh, BalanceOptions{StartCharge: 1, Connected: connected, Limits: t.limits})
}

// hardSpells is how many spells are kept, for each year that makes a size fail, that one
// did not get through: the next one may not either.
const hardSpells = 4

// passing returns a store of a nominal size after the record, run with cut-off and
// reconnect, as run does; nil where it misses a target, which shows early.
func (t *trial) passing(wh float64, target Target) *store {
	st, c := t.store(wh, true), &course{closed: true}
	if st.cap == 0 { // what it does in an hour depends on none before
		c.spells = t.pieces()
	} else if c = t.at(st.cap, st.limIn); t.stopsAgain(st, target) {
		return nil
	}
	var found []spell
	bad := 0
	ok := t.carry(c, st, t.depthOf(st), func(s spell) bool {
		if st.log.bad > bad {
			bad, found = st.log.bad, append(found, s)
		}
		if st.log.bad > target.badMost {
			if c.closed && st.cap > 0 {
				t.remember(found, target)
			}
			return false
		}
		return st.unmet <= target.Unmet*t.load+unmetLeast && (target.Unmet > 0 || st.log.Hours == 0) &&
			(!target.water.Known || st.missed <= (target.water.Value+1e-12)*t.water)
	})
	if c.closed && st.cap > 0 {
		st.taken, st.start = c.taken-(st.unmet-st.idle)/st.perTake, st.s
	}
	st.load, st.asked = t.load, t.water
	if run := st.balance(); ok && target.meets(run) && !(t.n > 1 && run.Drains()) {
		return st
	}
	return nil
}

// remember puts spells before those in which sizes stopped too long.
func (t *trial) remember(spells []spell, target Target) {
	all := slices.DeleteFunc(slices.Clone(spells), func(s spell) bool { return s.from <= 0 })
	for _, s := range t.hard {
		if len(all) < hardSpells*(target.badMost+1) && !slices.Contains(all, s) {
			all = append(all, s)
		}
	}
	t.hard = all
}

// stopsAgain reports whether a store stops too long in the hard spells of more years
// than it may; st is left as it was.
func (t *trial) stopsAgain(st *store, target Target) bool {
	if len(t.hard) <= target.badMost {
		return false
	}
	one := *st
	one.log = newLog(st.hours, t.limits)
	var found []spell
	bad := 0
	for _, s := range t.hard {
		one.fill(int(s.from))
		one.advance(&t.r, int(s.from), int(s.to))
		t.read += int(s.to - s.from)
		if one.log.bad > bad {
			bad, found = one.log.bad, append(found, s)
		}
		if one.log.bad > target.badMost {
			t.remember(found, target)
			return true
		}
	}
	return false
}

// whole is run with every account.
func (t *trial) whole(wh float64, connected bool) *store {
	st := t.store(wh, connected)
	t.reach(st, 0)
	st.advance(&t.r, 0, t.r.Hours())
	st.end()
	t.read += t.r.Hours()
	return st
}

// reach takes st to an hour of the second reading, from when it was surely full not long
// before; else from the start of either. Only its state is whole then.
func (t *trial) reach(st *store, hour int) {
	st.begin(false)
	from, full := t.fullBefore(hour, st.cap, st.limIn)
	if !full && t.n > 1 {
		last, was := t.fullBefore(t.r.Hours(), st.cap, st.limIn)
		if was {
			st.fill(last)
		}
		st.advance(&t.r, last, t.r.Hours())
	}
	st.begin(true)
	if full {
		st.fill(from)
	}
	st.advance(&t.r, from, hour)
}

// readAtOnce is how many hours of a record in which nothing is ever full are read before it
// is asked whether to read on.
const readAtOnce = 90 * clock.HoursPerDay

// pieces returns the whole record, cut to be read so many hours at once.
func (t *trial) pieces() (all []spell) {
	for at := 0; at < t.r.Hours(); at += readAtOnce {
		all = append(all, spell{int32(at), int32(min(t.r.Hours(), at+readAtOnce)), 0})
	}
	return all
}

// carry takes x through the spells that are deeper than a size, or through all of a
// record in which nothing is ever full, as long as on, where there is one, says so
// after each spell; it reports whether that was to the end.
func (t *trial) carry(c *course, x carrier, deeper float64, on func(spell) bool) bool {
	spells := c.spells
	if c.reach(x, &t.r, 0, t.n); !c.closed {
		t.read, deeper, spells = t.read+t.r.Hours(), -1, t.pieces()
	}
	for _, s := range spells {
		if s.depth > deeper {
			from, to := int(s.from), int(s.to)
			if from > 0 && c.closed {
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
