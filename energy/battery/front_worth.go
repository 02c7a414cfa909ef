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

// cheapest returns the size on sale of at least wh that makes p cost least, and
// what that is. A larger battery may cost less a year where it has to be
// replaced once less.
func (s *selection) cheapest(p Pair, wh float64) (size, cost float64) {
	worth := func(wh float64) float64 {
		p.price(s.b, s.o, wh)
		return s.worth(p.PanelW, wh, p.Life.Years())
	}
	size = s.o.OnSale(wh)
	if cost = worth(size); s.o.Cost == nil || math.IsInf(size, 1) {
		return size, cost
	}
	for _, more := range s.lasting(p, size) {
		if c := worth(more); c < cost {
			size, cost = more, c
		}
	}
	return size, cost
}

// lasting returns the sizes beyond wh that are worth a look: those on the list,
// else those whose life is one replacement fewer.
func (s *selection) lasting(p Pair, wh float64) (sizes []float64) {
	for _, v := range s.o.SaleWh {
		if v > wh {
			sizes = append(sizes, v)
		}
	}
	taken := p.Free.PerYear(p.Free.TakenWh)
	if len(s.o.SaleWh) > 0 || s.b.FullCycles <= 0 || taken <= 0 {
		return sizes
	}
	for lives := 1.0; ; lives++ {
		v := evenWh(float64(s.o.Years) / lives * taken / s.b.FullCycles)
		if v <= wh {
			return sizes
		}
		sizes = append(sizes, v)
	}
}

// bound returns what panel i costs at least, +Inf where it cannot be bought.
func (s *selection) bound(i int) float64 {
	if g := s.rungs[i]; g.measured {
		if g.drains || math.IsInf(g.least, 1) {
			return math.Inf(1)
		}
		_, cost := s.cheapest(g.pair, g.pair.OnSaleWh)
		return cost
	}
	for j := i + 1; j < len(s.rungs); j++ {
		if s.rungs[j].measured { // a smaller panel needs no less battery
			return s.worth(s.panels[i], s.o.OnSale(s.rungs[j].least/s.b.UsableOfNominal()), math.Inf(1))
		}
	}
	return s.worth(s.panels[i], s.o.OnSale(s.nightly/s.b.UsableOfNominal()), math.Inf(1))
}
