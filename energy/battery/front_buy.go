package battery

import (
	"math"
	"slices"
)

// saleStep is the step of sizes [Wh] where none are listed.
const saleStep = 10

// OnSale returns the least size on sale of at least wh; +Inf: none.
func (o SizeOptions) OnSale(wh float64) float64 {
	if len(o.SaleWh) == 0 {
		return math.Ceil(wh/saleStep-1e-9) * saleStep
	}
	best := math.Inf(1)
	for _, s := range o.SaleWh {
		if s >= wh-1e-9*wh && s < best {
			best = s
		}
	}
	return best
}

// Where no sizes are listed, those that are run with cut-off and reconnect are
// fixed: no target and no panel moves them, so that a target easier to meet
// never ends at a larger one. They are evenWh apart, and coarseStep in the first
// round.
const (
	coarseStep = 1.08
	mostCoarse = 48
	evenUpTo   = 2000 // [Wh] in steps of saleStep; each doubling doubles the step
)

// evenWh rounds a size up to the next one that may be run: a step of a hundredth
// or less, but no less than saleStep.
func evenWh(wh float64) float64 {
	step := float64(saleStep)
	if wh > evenUpTo {
		step *= math.Pow(2, math.Ceil(math.Log2(wh/evenUpTo)-1e-9))
	}
	return math.Ceil(wh/step-1e-9) * step
}

// coarse returns the sizes of the first round from wh on.
func coarse(wh float64) []float64 {
	var sizes []float64
	if wh <= 0 {
		sizes = append(sizes, 0)
	}
	k := 0.0
	if wh > saleStep {
		k = max(0, math.Floor(math.Log(wh/saleStep)/math.Log(coarseStep))-1)
	}
	for ; len(sizes) < mostCoarse; k++ {
		v := evenWh(saleStep * math.Pow(coarseStep, k))
		if v >= wh && (len(sizes) == 0 || v > sizes[len(sizes)-1]) {
			sizes = append(sizes, v)
		}
	}
	return sizes
}

// coarseBelow returns the size of the first round before c, 0 where c is the
// least.
func coarseBelow(c float64) float64 {
	below := 0.0
	for k := max(0, math.Floor(math.Log(max(1, c/saleStep))/math.Log(coarseStep))-2); ; k++ {
		v := evenWh(saleStep * math.Pow(coarseStep, k))
		if v >= c {
			return below
		}
		below = v
	}
}

// between returns the sizes from lo, or above it, to below hi.
func between(lo, hi float64) (sizes []float64) {
	for v := evenWh(lo); v < hi; v = evenWh(v + saleStep) {
		sizes = append(sizes, v)
	}
	return sizes
}

// buy returns the panel of g with the size on sale that makes it cost least among
// those from least on, which all meet the target with cut-off and reconnect.
func (s *selection) buy(g *rung, least *store) Choice {
	c := Choice{Pair: g.pair, LeastWh: least.nominal, Connected: least.balance()}
	c.BoughtWh, _ = s.cheapest(g.pair, c.LeastWh)
	if c.BoughtWh > c.LeastWh {
		if run := g.run(c.BoughtWh, true).balance(); s.t.meets(run) {
			c.Connected = run
		} else {
			c.BoughtWh = c.LeastWh
		}
	}
	c.price(s.b, s.o, c.BoughtWh)
	return c
}

// leastConnected returns the least size on sale from which on all meet the target
// with cut-off and reconnect, as it ran; nil: none, or the panel cannot keep up.
func (s *selection) leastConnected(g *rung) *store {
	from := g.pair.OnSaleWh
	if math.IsInf(g.least, 1) || g.drains {
		return nil
	}
	switch listed := slices.Compact(slices.Sorted(slices.Values(s.o.SaleWh))); {
	case math.IsInf(from, 1):
		return nil
	case s.b.Reconnect == 0: // nothing is ever cut off
		return s.scan(g, []float64{from})
	case len(listed) > 0:
		first, _ := slices.BinarySearch(listed, from)
		return s.scan(g, listed[first:])
	}
	least := s.scan(g, coarse(from))
	if least == nil || least.nominal <= 0 {
		return least
	}
	if finer := s.scan(g, between(max(from, coarseBelow(least.nominal)+saleStep/2), least.nominal)); finer != nil {
		return finer
	}
	return least
}

// scan returns the least of some sizes, rising, from which on all meet the target with
// cut-off and reconnect; nil where the largest does not. It stops at the first whose
// cut-off is never reached: for that one and all beyond it the cut-off changes nothing.
func (s *selection) scan(g *rung, sizes []float64) (least *store) {
	for _, size := range sizes {
		st := g.run(size, true)
		switch {
		case !s.t.meets(st.balance()):
			least = nil
			continue
		case least == nil:
			least = st
		}
		if st.log.Hours == 0 && st.low > st.cut+unmetLeast {
			break
		}
	}
	return least
}
