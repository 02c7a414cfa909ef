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

// evenUpTo is the size [Wh] up to which those that are run go in steps of saleStep
// where none are listed; each doubling doubles the step. No target and no panel moves
// them, so that a target easier to meet never ends at a larger one.
const evenUpTo = 2000

// evenWh rounds a size up to the next one that may be run: a step of a hundredth
// or less, but no less than saleStep.
func evenWh(wh float64) float64 {
	step := float64(saleStep)
	if wh > evenUpTo {
		step *= math.Pow(2, math.Ceil(math.Log2(wh/evenUpTo)-1e-9))
	}
	return math.Ceil(wh/step-1e-9) * step
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
func (s *selection) leastConnected(g *rung) (least *store) {
	if math.IsInf(g.least, 1) || math.IsInf(g.pair.OnSaleWh, 1) || g.drains {
		return nil
	}
	sizes := []float64{g.pair.OnSaleWh}
	if listed := slices.Compact(slices.Sorted(slices.Values(s.o.SaleWh))); len(listed) > 0 {
		first, _ := slices.BinarySearch(listed, g.pair.OnSaleWh)
		sizes = listed[first:]
	} else if s.b.Reconnect > 0 { // else nothing is ever cut off
		sizes[0] = evenWh(sizes[0])
		for v, most := sizes[0], g.neverCut(); v <= most; {
			v = evenWh(v + saleStep)
			sizes = append(sizes, v)
		}
	}
	for _, size := range slices.Backward(sizes) {
		st := g.run(size, true)
		if !s.t.meets(st.balance()) {
			return least
		}
		least = st
	}
	return least
}

// neverCut returns a nominal size [Wh] whose cut-off is never reached, so that for it
// and all beyond it the cut-off changes nothing; four times the least where nothing
// need ever be full.
func (g *rung) neverCut() float64 {
	least := g.pair.BatteryWh
	above := (1 - max(0, g.b.left(g.b.CutOff, 1))) * g.b.UsableOfNominal()
	for wh := least; ; {
		c := g.at(wh*g.b.UsableOfNominal(), cellOf(g.b, wh).limIn)
		more := (c.deepest() + 1) / above
		if !c.closed || above <= 0 {
			return 4 * least
		}
		if more <= wh {
			return more
		}
		wh = more
	}
}
