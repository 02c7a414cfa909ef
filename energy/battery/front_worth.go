package battery

import (
	"fmt"
	"math"
)

// darkRatio is what the largest panel of the built-in ladder must make over the
// load in the worst month: below it the battery is not carried through days but
// through a season, at any price. A stated rule, no source.
const darkRatio = 1.0

// tooDark reports whether no panel of the built-in ladder makes darkRatio times
// the load in its worst month, so that there is no answer, with prices or without.
func (s *selection) tooDark() bool {
	return len(s.o.Panels) == 0 && !math.IsInf(s.ratio, 1) && s.panels[len(s.panels)-1]*s.ratio < darkRatio
}

// rule says how the choice was made.
func (s *selection) rule() string {
	rule := "the least cost a year as bought, each part paid off over its life"
	if s.o.Shop.NoMoney != "" {
		rule = "the least cost a year by planning prices, each part paid off over its life"
	}
	if n := len(s.panels); len(s.o.Panels) == 0 && n > 1 && s.best.PanelW == s.panels[n-1] {
		rule += fmt.Sprintf("; it is the largest panel looked at, %d times the load's energy of a year, and a larger one may cost less",
			ladderLast)
	}
	return rule
}

// A tie goes to the smaller panel, whichever is looked at first.
const tie = 1e-9

// worth returns what a choice makes least of: the cost a year of a panel with a
// battery that lasts some years, which a larger battery never lowers.
func (s *selection) worth(w, wh, years float64) float64 {
	if math.IsInf(wh, 1) {
		return wh
	}
	return float64(s.o.Shop.CostOf(w, wh, years).PerYear) + tie*w
}

// bound returns what panel i costs at least, +Inf where it cannot be bought: with the
// least battery that is not ruled out for it, which ages as one that does no work.
func (s *selection) bound(i int) float64 {
	wh := s.o.Shop.OnSale(s.panels[i], s.leastOf(i)/s.b.UsableOfNominal())
	return s.worth(s.panels[i], wh, s.life(wh, 0))
}

// leastOf returns usable energy [Wh] that any battery has which meets the target with
// panel i, from what is known so far: a smaller panel needs no less battery.
func (s *selection) leastOf(i int) float64 {
	for j := i; j < len(s.rungs); j++ {
		if s.rungs[j].measured {
			return max(s.nightly, s.rungs[j].floor)
		}
	}
	return s.nightly
}
