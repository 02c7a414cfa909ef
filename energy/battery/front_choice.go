package battery

import (
	"math"
	"slices"

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

	ratio  float64 // what a watt makes over the load in the worst month
	panels []float64
	rungs  []rung

	best Choice
	cost float64 // of best, +Inf while there is none

	nightly float64 // usable energy that every battery holds at least, where that was looked for
}

// rung is what is known of a panel.
type rung struct {
	*trial
	measured bool
	least    float64 // usable energy [Wh]; +Inf: no battery carries it
	pair     Pair
	drains   bool
	done     bool // bought
}

// newSelection returns the choice for battery b on record r, before any panel is measured.
func newSelection(r supply.Record, b Battery, o SizeOptions) *selection {
	s := &selection{loaded: newLoaded(r, b), o: o, t: o.Target(), ratio: supply.WorstMonthRatio(r), cost: math.Inf(1)}
	s.lookAt(s.ladder(o.Panels))
	return s
}

// lookAt makes panels those to choose from.
func (s *selection) lookAt(panels []float64) {
	s.panels, s.rungs = panels, make([]rung, len(panels))
	for i, w := range panels {
		s.rungs[i].trial = s.trial(w)
	}
}

// measure finds the least battery of panels that were not looked at.
func (s *selection) measure(which ...int) {
	supply.InParallel(len(which), func(k int) {
		if g := &s.rungs[which[k]]; !s.o.stopped() {
			g.least, g.measured = g.trial.least(s.t), true
		}
	})
	smallest := math.Inf(1)
	for i := range s.rungs {
		if s.rungs[i].measured { // what carries a smaller panel carries a larger one
			smallest = min(smallest, s.rungs[i].least)
			s.rungs[i].least = smallest
		}
	}
	supply.InParallel(len(which), func(k int) {
		g := &s.rungs[which[k]]
		if !g.measured || math.IsInf(g.least, 1) {
			return
		}
		wh := g.least / s.b.UsableOfNominal()
		run := g.run(wh, false).balance()
		g.pair = Pair{PanelW: g.w, BatteryWh: wh, OnSaleWh: s.o.OnSale(wh), Free: run}
		g.pair.price(s.b, s.o, g.pair.OnSaleWh)
		g.drains = s.n > 1 && run.Drains()
	})
}

// every returns the places of all panels.
func (s *selection) every() []int {
	which := make([]int, len(s.panels))
	for i := range which {
		which[i] = i
	}
	return which
}

// front returns the useful pairs among the panels measured, and what was
// dropped; with account every account of the choice.
func (s *selection) front(account bool) Front {
	if account {
		chosen := s.rungs[slices.Index(s.panels, s.best.PanelW)]
		s.best.Connected = chosen.whole(s.best.BoughtWh, true).balance()
		s.best.Bought = chosen.whole(s.best.BoughtWh, false).balance()
		s.best.Connected.warn(s.b, BalanceOptions{StartCharge: 1, Repeat: s.n > 1, Connected: true})
	}
	f := Front{Passes: s.passes(), Chosen: s.best}
	last := math.Inf(1)
	for i, w := range s.panels {
		switch g := s.rungs[i]; {
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

// passes returns how many readings of the record the panel took that was asked most.
func (s *selection) passes() (most int) {
	for _, g := range s.rungs {
		most = max(most, (g.read+s.r.Hours()-1)/s.r.Hours())
	}
	return most
}

func (f *Front) drop(w float64, why string) { f.Dropped = append(f.Dropped, Dropped{w, why}) }

// next returns the panel measured that may cost least and less than the best, -1 for
// none.
func (s *selection) next() int {
	next, least := -1, s.cost
	for i, g := range s.rungs {
		if g.measured && !g.done {
			if bound := s.bound(i); bound < least {
				next, least = i, bound
			}
		}
	}
	return next
}

// choose buys among the panels measured until no other can cost less; false
// where none can be bought.
func (s *selection) choose() bool {
	for i := s.next(); i >= 0 && !s.o.stopped(); i = s.next() {
		s.take(i)
	}
	return !math.IsInf(s.cost, 1) && !s.o.stopped()
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
	s.measure(first...)
	if i := s.next(); i >= 0 {
		s.take(i)
	}
	for {
		var open []int
		for i, g := range s.rungs {
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
		s.measure(open...)
	}
}

// take buys a panel and keeps it where it is the best so far.
func (s *selection) take(i int) {
	g := &s.rungs[i]
	g.done = true
	least := s.leastConnected(g)
	if least == nil {
		return
	}
	c := s.buy(g, least)
	if cost := s.worth(c.PanelW, c.BoughtWh, c.Life.Years()); cost < s.cost {
		s.best, s.cost = c, cost
	}
}

// startRatio is about what a panel that is chosen makes over its load in the worst
// month: where closely begins to look.
const startRatio = 2

// closely chooses as Choose does among all panels, from those looked at one by one
// around the best so far: what another needs at least is known from its neighbours
// and from the longest night.
func (s *selection) closely() bool {
	at := 0
	s.nightly = s.night(s.t)
	for at < len(s.panels)-1 && s.panels[at]*s.ratio < startRatio {
		at++
	}
	for next := at; next >= 0 && !s.o.stopped(); {
		if s.measure(next); s.bound(next) < s.cost {
			s.take(next)
		}
		at = next
		if !math.IsInf(s.cost, 1) {
			at = slices.Index(s.panels, s.best.PanelW)
		}
		next = -1
		for i, g := range s.rungs {
			if !g.measured && s.bound(i) < s.cost && (next < 0 || abs(i-at) <= abs(next-at)) {
				next = i
			}
		}
	}
	return s.choose()
}

func abs(i int) int { return max(i, -i) }
