package energy

import (
	"cmp"
	"math"
	"slices"
)

// selection looks for the pair to buy among the panels of a ladder: the one that
// costs least as bought. What a panel costs with its exact least battery is a
// lower bound of that, so that few have to be bought to know (branch and bound),
// and the order in which panels are looked at changes nothing.
type selection struct {
	r Record
	b Battery
	o SizeOptions
	t target
	n int // readings

	ratio  float64 // what a watt makes over the load in the worst month
	panels []float64
	seen   []rung
	passes int

	best Choice
	cost float64 // of best, +Inf while there is none
}

// rung is what is known of a panel.
type rung struct {
	measured bool
	least    float64 // usable energy [Wh]; +Inf: no battery carries it
	pair     Pair
	drains   bool
	easy     bool // hardly more than the least battery meets the target with cut-off
	done     bool // bought, or known to cost more than best
}

func newSelection(r Record, b Battery, o SizeOptions) *selection {
	s := &selection{r: r, b: b, o: o, t: o.target(), n: readings(!o.Once), ratio: worstMonthRatio(r), panels: o.ladder(r), cost: math.Inf(1)}
	s.seen = make([]rung, len(s.panels))
	return s
}

// measure finds the least battery of panels that were not looked at.
func (s *selection) measure(which []int) {
	panels := make([]float64, len(which))
	for k, i := range which {
		panels[k] = s.panels[i]
	}
	least, passes := leastUsable(s.r, panels, s.b, s.t, s.n)
	s.passes += passes
	for k, i := range which {
		s.seen[i] = rung{measured: true, least: least[k]}
	}
	smallest := math.Inf(1)
	for i := range s.seen {
		if s.seen[i].measured { // what carries a smaller panel carries a larger one
			smallest = min(smallest, s.seen[i].least)
			s.seen[i].least = smallest
		}
	}
	var stores []*store
	var carriers []carrier
	var whose []int
	for _, i := range which {
		if !math.IsInf(s.seen[i].least, 1) {
			st := newStore(s.r, s.panels[i], s.b, s.seen[i].least/s.b.usableShare(), BalanceOptions{StartCharge: 1})
			stores, carriers, whose = append(stores, st), append(carriers, st), append(whose, i)
		}
	}
	if len(carriers) > 0 {
		s.passes += sweep(s.r, s.n, carriers)
	}
	for k, i := range whose {
		run := stores[k].balance()
		p := Pair{PanelW: s.panels[i], BatteryWh: stores[k].nominal, OnSaleWh: s.o.onSale(stores[k].nominal), Free: run}
		p.price(s.b, s.o, p.OnSaleWh)
		s.seen[i].pair, s.seen[i].drains = p, s.n > 1 && run.Drains()
	}
}

// all measures every panel.
func (s *selection) all() {
	which := make([]int, len(s.panels))
	for i := range which {
		which[i] = i
	}
	s.measure(which)
}

// front returns the useful pairs among the panels measured, and what was
// dropped.
func (s *selection) front() Front {
	f := Front{Passes: s.passes, Chosen: s.best}
	if f.Chosen.Connected.Hours > 0 {
		f.Chosen.Connected.warn(s.b, BalanceOptions{StartCharge: 1, Repeat: s.n > 1, Connected: true})
	}
	last := math.Inf(1)
	for i, w := range s.panels {
		switch g := s.seen[i]; {
		case !g.measured:
		case math.IsInf(g.least, 1):
			f.drop(w, "no battery carries it: the panel cannot keep up with the load")
		case g.least >= last-sizeMargin:
			f.drop(w, "a smaller panel does with the same battery")
		case g.drains:
			last = g.least
			f.drop(w, "it would live off the battery's first charge: the panel cannot keep up with the load")
		default:
			last = g.least
			f.Pairs = append(f.Pairs, g.pair)
		}
	}
	f.Rule = s.rule()
	return f
}

func (f *Front) drop(w float64, why string) { f.Dropped = append(f.Dropped, Dropped{w, why}) }

// together is how many panels are bought at a time: they share their passes.
const together = 2

// next returns the panels measured that may cost least and less than the best, the
// easy ones first, few at a time.
func (s *selection) next() (which []int) {
	bounds := make([]float64, len(s.seen))
	for i, g := range s.seen {
		if g.measured && !g.done {
			if bounds[i] = s.bound(i); bounds[i] < s.cost {
				which = append(which, i)
			}
		}
	}
	slices.SortStableFunc(which, func(a, b int) int {
		if s.seen[a].easy != s.seen[b].easy {
			if s.seen[a].easy {
				return -1
			}
			return 1
		}
		return cmp.Compare(bounds[a], bounds[b])
	})
	return which[:min(together, len(which))]
}

// choose buys among the panels measured until no other can cost less; false
// where none can be bought.
func (s *selection) choose() bool {
	hinted := false
	for which := s.next(); len(which) > 0 && !s.o.stopped(); which = s.next() {
		s.take(which...)
		if left := s.probe(); left >= manyLeft && !hinted {
			s.hint()
			hinted = true
		}
	}
	if math.IsInf(s.cost, 1) || s.o.stopped() {
		return false
	}
	free := newStore(s.r, s.best.PanelW, s.b, s.best.BoughtWh, BalanceOptions{StartCharge: 1})
	s.passes += sweep(s.r, s.n, []carrier{free})
	s.best.Bought = free.balance()
	return true
}

// manyLeft is how many panels a probe may leave before all of them are asked which
// are easy, to buy those first.
const manyLeft = 3

// hint finds which panels are easy: with a longest stop some need hardly more than
// their least battery and others twice as much.
func (s *selection) hint() {
	s.ask(func(p Pair) (float64, bool) {
		if len(s.o.SaleWh) > 0 {
			return p.OnSaleWh, true
		}
		return coarse(p.OnSaleWh)[1], true
	}, func(g *rung, meets bool) { g.easy = meets })
}

// anchorStep is how many rungs lie between those that sparsely measures first.
const anchorStep = 5

// sparsely chooses as choose does among all panels, but measures only those that
// could be the choice, and some more that show how the front runs.
func (s *selection) sparsely() bool {
	var first []int
	for i := len(s.panels) - 1; i >= 0; i -= anchorStep {
		if s.o.Cost == nil && !s.dim() && !s.enough(s.panels[i]) {
			break
		}
		first = append(first, i)
	}
	slices.Reverse(first)
	s.measure(first)
	if which := s.next(); len(which) > 0 {
		s.take(which[0])
	}
	for {
		var open []int
		for i, g := range s.seen {
			if !g.measured && s.bound(i) < s.cost {
				open = append(open, i)
			}
		}
		if len(open) == 0 || s.o.stopped() {
			return s.choose()
		}
		if len(open) > anchorStep+1 { // what is found for some may spare the others
			for k := range len(open) / 2 {
				open[k] = open[2*k+1]
			}
			open = open[:len(open)/2]
		}
		s.measure(open)
	}
}

// take buys panels and keeps the best so far.
func (s *selection) take(which ...int) {
	pairs := make([]Pair, len(which))
	for k, i := range which {
		s.seen[i].done = true
		pairs[k] = s.seen[i].pair
	}
	for k, least := range s.leastConnected(pairs...) {
		if least == nil {
			continue
		}
		c := s.buy(pairs[k], least)
		if cost := s.worth(c.PanelW, c.BoughtWh, c.Life.Years()); cost < s.cost {
			s.best, s.cost = c, cost
		}
	}
}

// probe runs each panel that may still cost less than the best with a battery at
// which it would no longer; those that miss the target with it are done with. It
// returns how many are left.
func (s *selection) probe() (left int) {
	s.ask(s.dearest, func(g *rung, meets bool) { g.done = !meets })
	for i, g := range s.seen {
		if g.measured && !g.done && s.bound(i) < s.cost {
			left++
		}
	}
	return left
}

// ask runs each panel that may still cost less than the best with a battery of
// some size, and tells whether it meets the target with it.
func (s *selection) ask(size func(Pair) (float64, bool), tell func(g *rung, meets bool)) {
	var stores []*store
	var carriers []carrier
	var whose []int
	for i, g := range s.seen {
		if !g.measured || g.done || !(s.bound(i) < s.cost) {
			continue
		}
		if wh, ok := size(g.pair); ok {
			st := s.connected(g.pair.PanelW, wh)
			stores, carriers, whose = append(stores, st), append(carriers, st), append(whose, i)
		}
	}
	if len(carriers) == 0 {
		return
	}
	s.passes += sweep(s.r, s.n, carriers)
	for k, i := range whose {
		tell(&s.seen[i], s.t.meets(stores[k].balance()))
	}
}

// dearest returns a size that decides on p: one that buy tries, so that where it
// misses the target every size that costs less than the best is too small. False
// where there is none.
func (s *selection) dearest(p Pair) (size float64, ok bool) {
	less := func(wh float64) bool { return s.worth(p.PanelW, wh, math.Inf(1)) < s.cost }
	if len(s.o.SaleWh) > 0 {
		for _, v := range s.o.SaleWh {
			if less(v) && v > size {
				size, ok = v, true
			}
		}
		return size, ok
	}
	for _, v := range coarse(p.OnSaleWh) {
		if !less(v) {
			return v, true
		}
	}
	return 0, false
}
