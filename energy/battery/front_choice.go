package battery

import (
	"cmp"
	"math"
	"slices"

	"sunrill/data/cores"
	"sunrill/energy/supply"
)

// selection looks for the pair to buy among the panels of a ladder: the one that
// costs least as bought. What a panel costs with its exact least battery is a
// lower bound of that, so that few have to be bought to know (branch and bound),
// and the order in which panels are looked at changes nothing.
type selection struct {
	*loaded
	o SizeOptions
	t Target
	// unmet is the part of t that bounds what any battery needs: with cut-off no less
	// energy is missed than without, but the longest stop may be shorter.
	unmet float64

	ratio  float64 // what a watt makes over the load in the worst month
	panels []float64
	rungs  []rung
	near   int // so many places from the best so far panels between two rungs are looked at

	best   Choice
	bought bool    // there is a best
	cost   float64 // of best, or what it has to stay below

	nightly float64 // usable energy that every battery holds at least, where that was looked for
}

// rung is what is known of a panel.
type rung struct {
	*trial
	measured bool
	step     int                 // 0 for a rung of the ladder or a panel given, 1 for one halfway between two, 2 halfway to that, and so on
	out      bool                // it cannot cost less than the best
	floor    float64             // no battery of less usable energy meets the target [Wh]; +Inf: none does
	searched bool                // the floor is as good as it is looked for
	ran      map[float64]Balance // by nominal size [Wh]; without hours where it missed the target
	fit      fit
}

// fit is the least battery without cut-off for a panel.
type fit struct {
	known  bool
	least  float64 // usable energy [Wh]; +Inf: no battery carries it
	pair   Pair
	drains bool
}

// newSelection returns the choice for battery b on record r, before any panel is measured.
func newSelection(r supply.Record, b Battery, o SizeOptions) *selection {
	t := o.Target(r.Hours())
	s := &selection{loaded: newLoaded(r, b, t.limits), o: o, t: t, ratio: supply.WorstMonthRatio(r), cost: o.most()}
	if s.unmet = s.t.Unmet; s.t.stop.Known && s.t.stop.Value == 0 {
		s.unmet = 0
	}
	s.lookAt(s.ladder(o))
	switch {
	case len(o.Panels) > 0:
	case len(o.Shop.Panels) == 0:
		s.lookBetween()
	case len(s.panels) > ladderRungs:
		s.lookAtFew()
	}
	return s
}

// most returns what the first choice has to cost less than: a rung that costs a little more
// than Most may have a cheaper panel beside it.
func (o SizeOptions) most() float64 {
	const beside = 0.02 // a stated rule, no source
	if o.Most == 0 {
		return math.Inf(1)
	}
	return o.Most * (1 + beside)
}

// measure finds what bounds the batteries of a panel.
func (s *selection) measure(i int) {
	g := &s.rungs[i]
	g.floor, g.measured = max(g.floor, s.leastOf(i)), true
	if math.IsInf(g.floor, 1) || s.n > 1 && g.w*s.sun.Sum < (1-s.unmet)*s.load*(1-1e-9) {
		g.floor = math.Inf(1) // it would live off the battery's first charge
		return
	}
	dearest := s.dearest(i) * s.b.UsableOfNominal()
	if only := s.o.Shop.OnlyWh; only.Known && dearest == 0 {
		dearest = only.Value * s.b.UsableOfNominal()
	}
	most := dearest
	for d := 1; d < len(s.rungs) && most > 0 && g.course == nil; d++ { // may another panel's course rule it out?
		for _, j := range []int{i - d, i + d} {
			if j >= 0 && j < len(s.rungs) && s.rungs[j].course != nil && s.rungs[j].course.closed {
				if least := g.above(s.rungs[j].course, most, s.unmet); least > most {
					g.floor = max(g.floor, least)
					return
				}
				most = 0
				break
			}
		}
	}
	if g.out = s.stopsToo(i, dearest); g.out || g.searched {
		return
	}
	g.searched = true
	if limit := cellOf(s.b, s.first(g)).limIn; limit > fillsSoon*s.load/float64(s.r.Hours()) { // one course for all that is asked
		g.at(0, limit)
	}
	c := g.at(0, math.Inf(1))
	if !c.closed && s.n > 1 && g.loses(c, s.unmet) {
		g.floor = math.Inf(1)
		return
	}
	if c.taken*s.b.DischargeShare > s.unmet*s.load*(1+1e-9)+unmetLeast { // so much is missed without a battery
		g.floor = max(g.floor, sizeMargin)
	}
	likely := c.likely(s.unmet * s.load / s.b.DischargeShare)
	if c.closed && (likely < g.floor || s.t.limits != nil && s.fewOnSale(g.w, likely)) {
		return // to run the few is faster, or it is hardly more
	}
	if s.t.limits == nil { // as good a bound as there is spares sizes that would miss a little too much
		if least := g.carrying(Target{Unmet: s.unmet}); least > 0 {
			g.floor = max(g.floor, sizeMargin, least-2*sizeTolerance)
		}
		return
	}
	g.floor = max(g.floor, g.trial.floor(s.unmet))
}

// first returns the smallest size [Wh] that may be asked of a panel.
func (s *selection) first(g *rung) float64 {
	return s.o.Shop.OnSale(g.w, max(g.floor/s.b.UsableOfNominal(), anyBattery))
}

// anyBattery asks for the smallest battery on sale [Wh].
const anyBattery = 0.1

// fewSizes is how many sizes are run before it is faster to find the least first.
const fewSizes = 10

// fewOnSale reports whether only few panels are on sale, and few sizes for one of w watts
// that hold less than usable [Wh].
func (s *selection) fewOnSale(w, usable float64) bool {
	return len(s.panels) <= 2*ladderRungs && s.o.Shop.Listed() && fewSizes*s.o.Shop.OnSale(w, anyBattery) > usable/s.b.UsableOfNominal()
}

// fillsSoon is how many times the mean load a battery has to take, in the sun of a third of
// the day, for a course made for no more to be of use.
const fillsSoon = 3

// largestWh is a size beyond which none is compared by cost.
const largestWh = 1e9

// dearest returns a size [Wh] beyond which panel i costs no less than the best; 0 where
// there is none.
func (s *selection) dearest(i int) float64 {
	cheaper := func(wh float64) bool { return s.worth(s.panels[i], wh, s.life(wh, 0)) < s.cost }
	if math.IsInf(s.cost, 1) {
		return 0
	}
	lo, hi := 0.0, s.best.BoughtWh+saleStep
	for cheaper(hi) {
		if lo, hi = hi, 2*hi; hi > largestWh {
			return 0
		}
	}
	for hi-lo > saleStep/2 {
		if mid := (lo + hi) / 2; cheaper(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

// fitAll finds the least battery of panels, without cut-off.
func (s *selection) fitAll(which ...int) {
	cores.Each(len(which), func(k int) {
		if g := &s.rungs[which[k]]; !g.fit.known && !s.o.stopped() {
			g.fit.least, g.fit.known = g.trial.least(s.t), true
		}
	})
	smallest := math.Inf(1)
	for i := range s.rungs {
		if f := &s.rungs[i].fit; f.known { // what carries a smaller panel carries a larger one
			smallest = min(smallest, f.least)
			f.least = smallest
		}
	}
	cores.Each(len(which), func(k int) {
		g := &s.rungs[which[k]]
		if f := &g.fit; f.known && f.pair.PanelW == 0 && !math.IsInf(f.least, 1) {
			f.pair, f.drains = s.pair(g, f.least)
		}
	})
}

// pair returns the panel of g with a battery that holds so much, and whether it lives
// off its first charge.
func (s *selection) pair(g *rung, usable float64) (Pair, bool) {
	wh := usable / s.b.UsableOfNominal()
	run := g.run(wh, false).balance()
	p := Pair{PanelW: g.w, BatteryWh: wh, OnSaleWh: s.o.Shop.OnSale(g.w, wh), Free: run}
	p.price(s.b, s.o, p.OnSaleWh, run)
	return p, s.n > 1 && run.Drains()
}

// every returns the places of the rungs of the ladder, or of all panels given.
func (s *selection) every() []int {
	var which []int
	for i := range s.rungs {
		if s.rungs[i].step == 0 {
			which = append(which, i)
		}
	}
	return which
}

// front returns the useful pairs among panels; with chosen the least battery of the choice.
func (s *selection) front(chosen bool, which ...int) Front {
	k := slices.Index(s.panels, s.best.PanelW)
	if chosen && !slices.Contains(which, k) { // each is fitted by itself, side by side
		which = append(which, k)
	}
	s.fitAll(which...)
	if chosen {
		p := s.rungs[k].fit.pair
		s.best.BatteryWh, s.best.OnSaleWh, s.best.Free = p.BatteryWh, p.OnSaleWh, p.Free
	}
	f := Front{Chosen: s.best, Rule: s.rule()}
	last := math.Inf(1)
	for i := range s.rungs {
		g := &s.rungs[i].fit
		if !g.known || math.IsInf(g.least, 1) || g.least >= last-sizeMargin { // none carries it, or a smaller panel does with it
			continue
		}
		if last = g.least; !g.drains {
			f.Pairs = append(f.Pairs, g.pair)
		}
	}
	return f
}

// looked returns the panels that were followed through the record: without a choice,
// those of which a front shows best how it runs.
func (s *selection) looked() (some []int) {
	for i := range s.rungs {
		if s.rungs[i].course != nil || !s.bought && (len(s.rungs)-1-i)%anchorStep == 0 {
			some = append(some, i)
		}
	}
	return some
}

// anchorStep is how many rungs lie between those that are looked at without a choice.
const anchorStep = 5

// take buys a panel and keeps it where it is the best so far.
func (s *selection) take(i int) {
	g := &s.rungs[i]
	if c, cost, ok := s.buy(g, s.cost); ok {
		s.best, s.cost, s.bought = c, cost, true
	}
}

// worthAStep is the share of the cost that a panel between two rungs has to spare;
// a stated rule, no source.
const worthAStep = 0.005

// mayCostLess reports whether a panel that was not looked at could be worth it.
func (s *selection) mayCostLess(i int) bool {
	least := s.cost
	if s.rungs[i].step > 0 {
		least -= worthAStep * math.Abs(s.cost)
	}
	return s.bound(i) < least
}

// startRatio is about what a panel that is chosen makes over its load in the worst
// month: where closely begins to look.
const startRatio = 2

// closely chooses among all panels, from those looked at one by one around the best so
// far: what another needs at least is known from its neighbours and from the longest
// night. It returns false where none can be bought.
func (s *selection) closely() bool {
	at := 0
	s.nightly = s.longestNight(s.t)
	for at < len(s.panels)-1 && (s.panels[at]*s.ratio < cmp.Or(s.o.Ratio, startRatio) || s.rungs[at].step > 0) {
		at++
	}
	for next := at; next >= 0 && !s.o.stopped(); {
		if s.measure(next); !s.rungs[next].out && s.bound(next) < s.cost {
			s.take(next)
		}
		at = next
		if s.bought {
			at = slices.Index(s.panels, s.best.PanelW)
		}
		next = -1
		for i := range s.rungs {
			switch g := &s.rungs[i]; {
			case g.measured || next >= 0 && g.step > s.rungs[next].step:
			case g.step > 0 && abs(i-at) > s.near && !s.coarse(at):
			case next >= 0 && g.step == s.rungs[next].step && abs(i-at) > abs(next-at):
			case s.mayCostLess(i):
				next = i
			}
		}
	}
	return s.bought && !s.o.stopped()
}

func abs(i int) int { return max(i, -i) }
