package battery

import (
	"math"
	"runtime"
	"slices"
	"sync"

	"sunrill/energy/supply"
)

// Selection looks for the pair to buy among the panels of a ladder: the one that
// costs least as bought. What a panel costs with its exact least battery is a
// lower bound of that, so that few have to be bought to know (branch and bound),
// and the order in which panels are looked at changes nothing.
type Selection struct {
	*loaded
	o SizeOptions
	t Target

	Ratio  float64 // what a watt makes over the load in the worst month
	Panels []float64
	Seen   []rung

	Best Choice
	cost float64 // of best, +Inf while there is none

	nightly float64 // usable energy that every battery holds at least, where that was looked for
}

// rung is what is known of a panel.
type rung struct {
	*trial
	Measured bool
	least    float64 // usable energy [Wh]; +Inf: no battery carries it
	pair     Pair
	drains   bool
	done     bool // bought
}

// NewSelection returns the choice for battery b on record r, before any panel is measured.
func NewSelection(r supply.Record, b Battery, o SizeOptions) *Selection {
	s := &Selection{loaded: newLoaded(r, b), o: o, t: o.Target(), Ratio: supply.WorstMonthRatio(r), cost: math.Inf(1)}
	s.lookAt(s.ladder(o.Panels))
	return s
}

// lookAt makes panels those to choose from.
func (s *Selection) lookAt(panels []float64) {
	s.Panels, s.Seen = panels, make([]rung, len(panels))
	for i, w := range panels {
		s.Seen[i].trial = s.trial(w)
	}
}

// measure finds the least battery of panels that were not looked at.
func (s *Selection) measure(which ...int) {
	inParallel(len(which), func(k int) {
		if g := &s.Seen[which[k]]; !s.o.stopped() {
			g.least, g.Measured = g.trial.least(s.t), true
		}
	})
	smallest := math.Inf(1)
	for i := range s.Seen {
		if s.Seen[i].Measured { // what carries a smaller panel carries a larger one
			smallest = min(smallest, s.Seen[i].least)
			s.Seen[i].least = smallest
		}
	}
	inParallel(len(which), func(k int) {
		g := &s.Seen[which[k]]
		if !g.Measured || math.IsInf(g.least, 1) {
			return
		}
		wh := g.least / s.b.UsableOfNominal()
		run := g.run(wh, false).balance()
		g.pair = Pair{PanelW: g.w, BatteryWh: wh, OnSaleWh: s.o.OnSale(wh), Free: run}
		g.pair.price(s.b, s.o, g.pair.OnSaleWh)
		g.drains = s.n > 1 && run.Drains()
	})
}

// All measures every panel.
func (s *Selection) All() {
	which := make([]int, len(s.Panels))
	for i := range which {
		which[i] = i
	}
	s.measure(which...)
}

// Front returns the useful pairs among the panels measured, and what was
// dropped.
func (s *Selection) Front() Front {
	f := Front{Passes: s.passes(), Chosen: s.Best}
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

// passes returns how many readings of the record the panel took that was asked most.
func (s *Selection) passes() (most int) {
	for _, g := range s.Seen {
		most = max(most, (g.read+s.r.Hours()-1)/s.r.Hours())
	}
	return most
}

func (f *Front) drop(w float64, why string) { f.Dropped = append(f.Dropped, Dropped{w, why}) }

// next returns the panel measured that may cost least and less than the best, -1 for
// none.
func (s *Selection) next() int {
	next, least := -1, s.cost
	for i, g := range s.Seen {
		if g.Measured && !g.done {
			if bound := s.Bound(i); bound < least {
				next, least = i, bound
			}
		}
	}
	return next
}

// Choose buys among the panels measured until no other can cost less; false
// where none can be bought.
func (s *Selection) Choose() bool {
	for i := s.next(); i >= 0 && !s.o.stopped(); i = s.next() {
		s.Take(i)
	}
	return !math.IsInf(s.cost, 1) && !s.o.stopped()
}

// Account fills in every account of the choice.
func (s *Selection) Account() {
	chosen := s.Seen[slices.Index(s.Panels, s.Best.PanelW)]
	s.Best.Connected = chosen.whole(s.Best.BoughtWh, true).balance()
	s.Best.Bought = chosen.whole(s.Best.BoughtWh, false).balance()
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
	s.measure(first...)
	if i := s.next(); i >= 0 {
		s.Take(i)
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
		s.measure(open...)
	}
}

// Take buys a panel and keeps it where it is the best so far.
func (s *Selection) Take(i int) {
	g := &s.Seen[i]
	g.done = true
	least := s.leastConnected(g)
	if least == nil {
		return
	}
	c := s.buy(g, least)
	if cost := s.Worth(c.PanelW, c.BoughtWh, c.Life.Years()); cost < s.cost {
		s.Best, s.cost = c, cost
	}
}

// startRatio is about what a panel that is chosen makes over its load in the worst
// month: where Closely begins to look.
const startRatio = 2

// Closely chooses as Choose does among all panels, from those looked at one by one
// around the best so far: what another needs at least is known from its neighbours
// and from the longest night.
func (s *Selection) Closely() bool {
	at := 0
	s.nightly = s.night(s.t)
	for at < len(s.Panels)-1 && s.Panels[at]*s.Ratio < startRatio {
		at++
	}
	for next := at; next >= 0 && !s.o.stopped(); {
		if s.measure(next); s.Bound(next) < s.cost {
			s.Take(next)
		}
		at = next
		if !math.IsInf(s.cost, 1) {
			at = slices.Index(s.Panels, s.Best.PanelW)
		}
		next = -1
		for i, g := range s.Seen {
			if !g.Measured && s.Bound(i) < s.cost && (next < 0 || abs(i-at) <= abs(next-at)) {
				next = i
			}
		}
	}
	return s.Choose()
}

func abs(i int) int { return max(i, -i) }

// inParallel calls do for 0 to n-1 on all cores. Each call must write only what is
// its own, so that the result does not depend on their order.
func inParallel(n int, do func(i int)) {
	cores := min(runtime.GOMAXPROCS(0), n)
	var wait sync.WaitGroup
	for core := 1; core < cores; core++ {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for i := core; i < n; i += cores {
				do(i)
			}
		}()
	}
	for i := 0; i < n; i += max(1, cores) {
		do(i)
	}
	wait.Wait()
}
