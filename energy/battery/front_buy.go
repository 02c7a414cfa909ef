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

// buy returns p at the size on sale that makes it cost least among those from
// least on, which all meet the target with cut-off and reconnect, without its
// Bought.
func (s *Selection) buy(p Pair, least *store) Choice {
	c := Choice{Pair: p, LeastWh: least.nominal, Connected: least.balance()}
	c.BoughtWh, _ = s.cheapest(p, c.LeastWh)
	if c.BoughtWh > c.LeastWh {
		more := s.connected(p.PanelW, c.BoughtWh)
		s.Passes += sweep(s.r, s.n, []carrier{more})
		if run := more.balance(); s.t.meets(run) {
			c.Connected = run
		} else {
			c.BoughtWh = c.LeastWh
		}
	}
	c.price(s.b, s.o, c.BoughtWh)
	return c
}

// connected returns a store of a nominal size with cut-off and reconnect.
func (s *Selection) connected(panelW, wh float64) *store {
	return newStore(s.r, panelW, s.b, wh, BalanceOptions{StartCharge: 1, Connected: true})
}

// leastConnected returns, for each pair, the least size on sale from which on all
// meet the target with cut-off and reconnect, as it ran; nil: none.
func (s *Selection) leastConnected(pairs ...Pair) []*store {
	listed := slices.Compact(slices.Sorted(slices.Values(s.o.SaleWh)))
	coarser := make([]*scan, len(pairs))
	for i, p := range pairs {
		c := &scan{panelW: p.PanelW}
		coarser[i] = c
		switch {
		case math.IsInf(p.OnSaleWh, 1):
		case s.b.Reconnect == 0: // nothing is ever cut off
			c.sizes = []float64{p.OnSaleWh}
		case len(listed) > 0:
			first, _ := slices.BinarySearch(listed, p.OnSaleWh)
			c.sizes = listed[first:]
		default:
			c.sizes = coarse(p.OnSaleWh)
		}
	}
	s.scan(coarser)
	finer := make([]*scan, len(pairs))
	for i, c := range coarser {
		finer[i] = &scan{panelW: c.panelW}
		if c.least != nil && c.least.nominal > 0 && len(listed) == 0 && s.b.Reconnect > 0 {
			finer[i].sizes = between(max(pairs[i].OnSaleWh, coarseBelow(c.least.nominal)+saleStep/2), c.least.nominal)
		}
	}
	s.scan(finer)
	least := make([]*store, len(pairs))
	for i := range pairs {
		if least[i] = finer[i].least; least[i] == nil {
			least[i] = coarser[i].least
		}
	}
	return least
}

// scan looks for the least of some sizes, rising, from which on all meet the
// target with cut-off and reconnect.
type scan struct {
	panelW float64
	sizes  []float64 // those left
	least  *store    // nil while the largest run does not meet it
}

// scanSizes is how many sizes of a scan are run in one sweep.
const scanSizes = 16

// scan runs scans together. Each stops at the first size whose cut-off is never
// reached: for that one and all beyond it the cut-off changes nothing.
func (s *Selection) scan(all []*scan) {
	for {
		var carriers []carrier
		var stores [][]*store
		for _, c := range all {
			n := min(scanSizes, len(c.sizes))
			run := make([]*store, n)
			for i, size := range c.sizes[:n] {
				run[i] = s.connected(c.panelW, size)
				carriers = append(carriers, run[i])
			}
			c.sizes = c.sizes[n:]
			stores = append(stores, run)
		}
		if len(carriers) == 0 {
			return
		}
		s.Passes += sweep(s.r, s.n, carriers)
		for k, c := range all {
			for _, st := range stores[k] {
				switch {
				case !s.t.meets(st.balance()):
					c.least = nil
					continue
				case c.least == nil:
					c.least = st
				}
				if st.log.Hours == 0 && st.low > st.cut+unmetLeast {
					c.sizes = nil
					break
				}
			}
		}
	}
}
