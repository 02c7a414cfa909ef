package battery

import (
	"fmt"
	"math"

	"sunrill/data/units"
)

// DesignRatio is what a panel should make over its load in the worst month.
// IEEE 1562 asks for 1.3 to 1.4 where the load is critical or the winter poor;
// from memory.
const DesignRatio = 1.3

// darkRatio is what the largest panel of the built-in ladder must make over the
// load in the worst month: below it the battery is not carried through days but
// through a season, at any price. A stated rule, no source.
const darkRatio = 1.0

// enough reports whether a panel makes designRatio times the load in its worst
// month.
func (s *selection) enough(w float64) bool {
	return math.IsInf(s.ratio, 1) || w*s.ratio >= DesignRatio*(1-1e-9)
}

// tooDark reports whether no panel of the built-in ladder makes darkRatio times
// the load in its worst month, so that there is no answer, with prices or without.
func (s *selection) tooDark() bool {
	return len(s.o.Panels) == 0 && !math.IsInf(s.ratio, 1) && s.panels[len(s.panels)-1]*s.ratio < darkRatio
}

// dim reports whether, without prices, none of the panels makes enough.
func (s *selection) dim() bool {
	return s.o.Cost == nil && !s.enough(s.panels[len(s.panels)-1])
}

// rule says how the choice was made.
func (s *selection) rule() string {
	switch {
	case s.o.Cost != nil:
		rule := "the least cost a year as bought: on the sale list, with cut-off and reconnect"
		if s.o.Years > 0 {
			rule += fmt.Sprintf(", reckoned over %d years with nothing counted for what is left of it then", s.o.Years)
		}
		if len(s.o.Panels) == 0 && s.best.PanelW == s.panels[len(s.panels)-1] {
			rule += fmt.Sprintf("; it is the largest panel looked at, %d times the load's energy of a year, and a larger one "+
				"may cost less", ladderLast)
		}
		return rule
	case s.dim():
		return units.Sprintf("no prices given: the largest panel looked at, as none makes %.1f times the load in its worst month",
			DesignRatio)
	}
	return units.Sprintf("no prices given: the pair of least W plus Wh as bought whose panel makes %.1f times the load in its "+
		"worst month, as a watt of panel and a watt-hour of battery cost about the same a year", DesignRatio)
}

// A tie goes to the smaller panel, whichever is looked at first.
const tie = 1e-9

// worth returns what a choice makes least of: the cost a year of a panel with a
// battery that lasts some years. Without prices it is W plus Wh, as a watt of
// panel and a watt-hour of battery cost about the same for each year of their
// lives (common practice, no source); where none of the panels makes enough,
// the largest goes first.
func (s *selection) worth(w, wh, years float64) float64 {
	switch {
	case math.IsInf(wh, 1):
		return math.Inf(1)
	case s.o.Cost != nil:
		_, perYear := s.o.Cost(w, wh, years)
		return float64(perYear) + tie*w
	case s.dim():
		return -w + tie*wh
	case !s.enough(w):
		return math.Inf(1)
	}
	return w + wh + tie*w
}

// lasting returns, where none are listed, the sizes beyond wh whose life is one
// replacement fewer where so much is taken in a year [Wh].
func (s *selection) lasting(taken, wh float64) (sizes []float64) {
	if s.o.Cost == nil || len(s.o.SaleWh) > 0 || s.b.FullCycles <= 0 || taken <= 0 {
		return nil
	}
	for lives := 1.0; ; lives++ {
		v := evenWh(float64(s.o.Years) / lives * taken / s.b.FullCycles)
		if v <= wh {
			return sizes
		}
		sizes = append(sizes, v)
	}
}

// bound returns what panel i costs at least, +Inf where it cannot be bought: with the
// least battery that is not ruled out for it, which ages as one that does no work.
func (s *selection) bound(i int) float64 {
	wh := s.o.OnSale(s.leastOf(i) / s.b.UsableOfNominal())
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
