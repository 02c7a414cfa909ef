package battery

import (
	"math"
	"slices"
	"sort"
	"sync/atomic"

	"sunrill/data/clock"
)

// stopsToo reports whether every size that could cost less than the best, the largest of
// which holds most [usable Wh], stops too long in the spells in which another panel did.
// What fills a store on a smaller panel fills it on this one; where that was a larger
// one, it is looked for when the store is surely full before them.
func (s *selection) stopsToo(i int, most float64) bool {
	if s.t.limits == nil || math.IsInf(s.cost, 1) && !s.o.Shop.OnlyWh.Known {
		return false
	}
	g := &s.rungs[i]
	limit := cellOf(s.b, s.o.Shop.OnSale(g.w, g.floor/s.b.UsableOfNominal())).limIn
	return s.stopsAsSmaller(i, limit) || most > 0 && s.stopsAsLarger(i, most, limit)
}

// stopsAsSmaller is stopsToo by the spells of a smaller panel.
func (s *selection) stopsAsSmaller(i int, limit float64) bool {
	for j := i - 1; j >= 0; j-- {
		if h := s.rungs[j]; len(h.hard) > s.t.badMost && h.course != nil {
			return limit >= h.course.limit && s.allStop(i, slices.Clone(h.hard), h.course.most)
		}
	}
	return false
}

// stopsAsLarger is stopsToo by the spells of a larger one, or under another load.
func (s *selection) stopsAsLarger(i int, most, limit float64) bool {
	var known []spell
	if s.near == 0 { // else it would be known of fewer panels what they need at least, by which others are passed over
		known = s.o.Hard.spells()
	}
	for j := i + 1; j < len(s.rungs); j++ {
		if h := s.rungs[j].hard; len(h) > s.t.badMost {
			known = h
			break
		}
	}
	var hard []spell
	for _, one := range known {
		if int(one.to) > s.r.Hours() { // of a longer record
			continue
		}
		if from, ok := s.rungs[i].fullBefore(int(one.from), most, limit); ok && from > 0 {
			hard = append(hard, spell{int32(from), one.to, one.depth})
		}
	}
	return len(hard) > s.t.badMost && s.allStop(i, hard, most)
}

// HardTimes are the stretches of a record in which sizes stopped too long, under whatever load:
// another may stop in them too. The zero value has none yet; many may use it at once.
type HardTimes struct{ last atomic.Pointer[[]spell] }

func (h *HardTimes) spells() []spell {
	if h == nil || h.last.Load() == nil {
		return nil
	}
	return *h.last.Load()
}

// note keeps those of all panels of s, before others that are known.
func (h *HardTimes) note(s *selection) {
	if h == nil {
		return
	}
	var all []spell
	add := func(list []spell) {
		for _, one := range list {
			if len(all) < manyTimes && !slices.ContainsFunc(all, func(a spell) bool { return a.from < one.to && one.from < a.to }) {
				all = append(all, one)
			}
		}
	}
	for i := range s.rungs {
		add(s.rungs[i].hard)
	}
	add(h.spells())
	h.last.Store(&all)
}

// manyTimes are as many as are faster to look at than a record is; a stated rule, no source.
const manyTimes = 24

// allStop reports whether every size that could cost less than the best and holds no
// more than most [usable Wh] stops too long in spells.
func (s *selection) allStop(i int, hard []spell, most float64) bool {
	g := &s.rungs[i]
	g.hard = hard
	before := g.read
	stops := func(wh float64) bool {
		st := g.store(wh, true)
		return st.cap <= most*(1+1e-9) && st.limOut >= s.most && g.stopsAgain(st, s.t)
	}
	if large := s.o.Shop.OnSale(g.w, nearlyDearest*s.dearest(i)); s.worth(g.w, large, s.life(large, 0)) < s.cost && !stops(large) {
		g.hard = nil
		return false
	}
	for wh := range s.saleSizes(g, g.floor/s.b.UsableOfNominal()) {
		if s.worth(g.w, wh, s.life(wh, 0)) >= s.cost {
			return true
		}
		if !stops(wh) || g.read > before+s.r.Hours() { // or to follow it takes no more
			g.hard = nil
			return false
		}
	}
	return s.o.Shop.OnlyWh.Known
}

// nearlyDearest is the share of the dearest size that is run first: where that does not stop, no
// smaller one need be.
const nearlyDearest = 0.95

// fullWithin is how long before a spell it is looked for when a store is full [h].
const fullWithin = 60 * clock.HoursPerDay

// fullBefore returns the last hour up to one before which any store of at most a usable
// size and at least a charge limit is full, however empty it was; false where none is
// found.
func (t *trial) fullBefore(hour int, most, limit float64) (int, bool) {
	ended := func(hour int) int {
		return sort.Search(len(t.sun.Bright), func(k int) bool { return t.sun.Bright[k][1] > hour })
	}
	f := t.follower(t.w, most, limit)
	f.lack = most
	f.read(ended(hour-fullWithin), ended(hour), false)
	t.read += fullWithin
	return f.from, f.closed
}
