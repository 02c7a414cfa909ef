package battery

import (
	"math"
	"slices"

	"sunrill/energy/bill"
)

// lookAt makes panels those to choose from.
func (s *selection) lookAt(panels []float64) {
	s.panels, s.rungs = panels, make([]rung, len(panels))
	for i, w := range panels {
		s.rungs[i].trial, s.rungs[i].ran = s.trial(w), map[float64]Balance{}
	}
}

// again makes s look for the choice at the prices of a shop that sells the same: what is
// known of panels stays.
func (s *selection) again(shop bill.Shop) {
	s.o.Shop, s.best, s.bought, s.cost = shop, Choice{}, false, s.o.most()
	for i := range s.rungs {
		s.rungs[i].measured, s.rungs[i].out = false, false
	}
}

// between is how many steps the panels take from one rung of the ladder to the next,
// where any panel can be bought: some 1.4 % each.
const between = 8

// lookBetween adds the panels between two rungs to those to choose from.
func (s *selection) lookBetween() {
	rungs, all := s.panels, s.panels[:1:1]
	for i, w := range rungs[1:] {
		for k := 1; k < between; k++ {
			if v := threeFigures(rungs[i] * math.Pow(w/rungs[i], float64(k)/between)); v > all[len(all)-1] && v < w {
				all = append(all, v)
			}
		}
		all = append(all, w)
	}
	s.lookAt(all)
	s.stepBetween(rungs)
}

// lookAtFew makes some of many panels rungs of the ladder, and the others panels between
// two of them.
func (s *selection) lookAtFew() {
	const apart = 1.1 // a stated rule, no source
	rungs := s.panels[:1:1]
	for _, w := range s.panels[1 : len(s.panels)-1] {
		if w >= apart*rungs[len(rungs)-1] {
			rungs = append(rungs, w)
		}
	}
	s.stepBetween(append(rungs, s.panels[len(s.panels)-1]))
}

// stepBetween numbers the steps of the panels between two rungs: one is halfway, two are
// halfway to that, and so on.
func (s *selection) stepBetween(rungs []float64) {
	var halve func(lo, hi, step int)
	halve = func(lo, hi, step int) {
		if mid := (lo + hi) / 2; mid > lo {
			s.rungs[mid].step = step
			halve(lo, mid, step+1)
			halve(mid, hi, step+1)
		}
	}
	last := 0
	for _, w := range rungs[1:] {
		i, _ := slices.BinarySearch(s.panels, w)
		halve(last, i, 1)
		s.near = max(s.near, nearSteps*(i-last))
		last = i
	}
}

// nearSteps is how many rungs from the best so far the panels between two are looked at.
const nearSteps = 1

// coarse reports whether the batteries on sale lie further apart than sizes that are run, so
// that what a panel costs goes up and down by them.
func (s *selection) coarse(at int) bool {
	return len(s.o.Shop.Batteries) > 0 && s.o.Shop.OnSale(s.panels[at], anyBattery) > evenStep(s.best.BoughtWh)
}
