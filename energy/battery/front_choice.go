package battery

import (
	"cmp"
	"math"
	"slices"

	"sunrill/energy/supply"
)

// Selection looks for the pair to buy among the panels of a ladder: the one that
// costs least as bought. What a panel costs with its exact least battery is a
// lower bound of that, so that few have to be bought to know (branch and bound),
// and the order in which panels are looked at changes nothing.
type Selection struct {
	r supply.Record
	b Battery
	o SizeOptions
	t Target
	n int // readings

	Ratio  float64 // what a watt makes over the load in the worst month
	Panels []float64
	Seen   []rung
	Passes int

	Best Choice
	cost float64 // of best, +Inf while there is none
}

// rung is what is known of a panel.
type rung struct {
	Measured bool
	least    float64 // usable energy [Wh]; +Inf: no battery carries it
	pair     Pair
	drains   bool
	easy     bool // hardly more than the least battery meets the target with cut-off
	done     bool // bought, or known to cost more than best
}

// NewSelection returns the choice for battery b on record r, before any panel is measured.
func NewSelection(r supply.Record, b Battery, o SizeOptions) *Selection {
	s := &Selection{r: r, b: b, o: o, t: o.Target(), n: Readings(!o.Once), Ratio: supply.WorstMonthRatio(r), Panels: o.ladder(r), cost: math.Inf(1)}
	s.Seen = make([]rung, len(s.Panels))
	return s
}

// measure finds the least battery of panels that were not looked at.
func (s *Selection) measure(which []int) {
	panels := make([]float64, len(which))
	for k, i := range which {
		panels[k] = s.Panels[i]
	}
	least, passes := LeastUsable(s.r, panels, s.b, s.t, s.n)
	s.Passes += passes
	for k, i := range which {
		s.Seen[i] = rung{Measured: true, least: least[k]}
	}
	smallest := math.Inf(1)
	for i := range s.Seen {
		if s.Seen[i].Measured { // what carries a smaller panel carries a larger one
			smallest = min(smallest, s.Seen[i].least)
			s.Seen[i].least = smallest
		}
	}
	var stores []*store
	var carriers []carrier
	var whose []int
	for _, i := range which {
		if !math.IsInf(s.Seen[i].least, 1) {
			st := newStore(s.r, s.Panels[i], s.b, s.Seen[i].least/s.b.UsableOfNominal(), BalanceOptions{StartCharge: 1})
			stores, carriers, whose = append(stores, st), append(carriers, st), append(whose, i)
		}
	}
	if len(carriers) > 0 {
		s.Passes += sweep(s.r, s.n, carriers)
	}
	for k, i := range whose {
		run := stores[k].balance()
		p := Pair{PanelW: s.Panels[i], BatteryWh: stores[k].nominal, OnSaleWh: s.o.OnSale(stores[k].nominal), Free: run}
		p.price(s.b, s.o, p.OnSaleWh)
		s.Seen[i].pair, s.Seen[i].drains = p, s.n > 1 && run.Drains()
	}
}

// All measures every panel.
func (s *Selection) All() {
	which := make([]int, len(s.Panels))
	for i := range which {
		which[i] = i
	}
	s.measure(which)
}

// Front returns the useful pairs among the panels measured, and what was
// dropped.
func (s *Selection) Front() Front {
	f := Front{Passes: s.Passes, Chosen: s.Best}
	if f.Chosen.Connected.Hours > 0 {
		f.Chosen.Connected.warn(s.b, BalanceOptions{StartCharge: 1, Repeat: s.n > 1, Connected: true})
	}
	last := math.Inf(1)
	for i, w := range s.Panels {
		switch g := s.Seen[i]; {
		case !g.Measured:
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
func (s *Selection) next() (which []int) {
	bounds := make([]float64, len(s.Seen))
	for i, g := range s.Seen {
		if g.Measured && !g.done {
			if bounds[i] = s.Bound(i); bounds[i] < s.cost {
				which = append(which, i)
			}
		}
	}
	slices.SortStableFunc(which, func(a, b int) int {
		if s.Seen[a].easy != s.Seen[b].easy {
			if s.Seen[a].easy {
				return -1
			}
			return 1
		}
		return cmp.Compare(bounds[a], bounds[b])
	})
	return which[:min(together, len(which))]
}

// Choose buys among the panels measured until no other can cost less; false
// where none can be bought.
func (s *Selection) Choose() bool {
	hinted := false
	for which := s.next(); len(which) > 0 && !s.o.stopped(); which = s.next() {
		s.Take(which...)
		if left := s.probe(); left >= manyLeft && !hinted {
			s.hint()
			hinted = true
		}
	}
	if math.IsInf(s.cost, 1) || s.o.stopped() {
		return false
	}
	free := newStore(s.r, s.Best.PanelW, s.b, s.Best.BoughtWh, BalanceOptions{StartCharge: 1})
	s.Passes += sweep(s.r, s.n, []carrier{free})
	s.Best.Bought = free.balance()
	return true
}

// manyLeft is how many panels a probe may leave before all of them are asked which
// are easy, to buy those first.
const manyLeft = 3

// hint finds which panels are easy: with a longest stop some need hardly more than
// their least battery and others twice as much.
func (s *Selection) hint() {
	s.ask(func(p Pair) (float64, bool) {
		if len(s.o.SaleWh) > 0 {
			return p.OnSaleWh, true
		}
		return coarse(p.OnSaleWh)[1], true
	}, func(g *rung, meets bool) { g.easy = meets })
}

// anchorStep is how many rungs lie between those that sparsely measures first.
const anchorStep = 5

// Sparsely chooses as choose does among all panels, but measures only those that
// could be the choice, and some more that show how the front runs.
func (s *Selection) Sparsely() bool {
	var first []int
	for i := len(s.Panels) - 1; i >= 0; i -= anchorStep {
		if s.o.Cost == nil && !s.dim() && !s.enough(s.Panels[i]) {
			break
		}
		first = append(first, i)
	}
	slices.Reverse(first)
	s.measure(first)
	if which := s.next(); len(which) > 0 {
		s.Take(which[0])
	}
	for {
		var open []int
		for i, g := range s.Seen {
			if !g.Measured && s.Bound(i) < s.cost {
				open = append(open, i)
			}
		}
		if len(open) == 0 || s.o.stopped() {
			return s.Choose()
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

// Take buys panels and keeps the best so far.
func (s *Selection) Take(which ...int) {
	pairs := make([]Pair, len(which))
	for k, i := range which {
		s.Seen[i].done = true
		pairs[k] = s.Seen[i].pair
	}
	for k, least := range s.leastConnected(pairs...) {
		if least == nil {
			continue
		}
		c := s.buy(pairs[k], least)
		if cost := s.Worth(c.PanelW, c.BoughtWh, c.Life.Years()); cost < s.cost {
			s.Best, s.cost = c, cost
		}
	}
}

// probe runs each panel that may still cost less than the best with a battery at
// which it would no longer; those that miss the target with it are done with. It
// returns how many are left.
func (s *Selection) probe() (left int) {
	s.ask(s.dearest, func(g *rung, meets bool) { g.done = !meets })
	for i, g := range s.Seen {
		if g.Measured && !g.done && s.Bound(i) < s.cost {
			left++
		}
	}
	return left
}

// ask runs each panel that may still cost less than the best with a battery of
// some size, and tells whether it meets the target with it.
func (s *Selection) ask(size func(Pair) (float64, bool), tell func(g *rung, meets bool)) {
	var stores []*store
	var carriers []carrier
	var whose []int
	for i, g := range s.Seen {
		if !g.Measured || g.done || !(s.Bound(i) < s.cost) {
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
	s.Passes += sweep(s.r, s.n, carriers)
	for k, i := range whose {
		tell(&s.Seen[i], s.t.meets(stores[k].balance()))
	}
}

// dearest returns a size that decides on p: one that buy tries, so that where it
// misses the target every size that costs less than the best is too small. False
// where there is none.
func (s *Selection) dearest(p Pair) (size float64, ok bool) {
	less := func(wh float64) bool { return s.Worth(p.PanelW, wh, math.Inf(1)) < s.cost }
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
