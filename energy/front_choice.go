package energy

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// saleStep is the step of sizes [Wh] where none are listed.
const saleStep = 10

// onSale returns the least size on sale of at least wh; +Inf: none.
func (o SizeOptions) onSale(wh float64) float64 {
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

// designRatio is what a panel should make over its load in the worst month.
// IEEE 1562 asks for 1.3 to 1.4 where the load is critical or the winter poor;
// from memory.
const designRatio = 1.3

// choose picks a pair, moves it up the sizes on sale, and marks it; false where
// none can be bought that meets the target.
func (f *Front) choose(r Record, b Battery, o SizeOptions, t target, n int) bool {
	order := make([]int, len(f.Pairs))
	for i := range order {
		order[i] = i
	}
	if o.Cost != nil {
		f.Rule = "the least cost a year"
		slices.SortStableFunc(order, func(a, b int) int {
			return compareMaybe(f.Pairs[a].PerYear, f.Pairs[b].PerYear)
		})
	} else {
		ratio := worstMonthRatio(r)
		f.Rule = fmt.Sprintf("no prices given: the pair of least W plus Wh whose panel makes %.1f times the load in its worst month, as a watt of panel and a watt-hour of battery cost about the same a year", designRatio)
		slices.SortStableFunc(order, func(a, b int) int { return rank(f.Pairs[a], f.Pairs[b], ratio) })
	}
	for _, i := range order {
		p := f.Pairs[i]
		if math.IsInf(p.OnSaleWh, 1) {
			continue
		}
		if c, ok := f.buy(r, b, o, t, n, p); ok {
			f.Chosen = c
			return true
		}
	}
	return false
}

// rank orders pairs without prices. Those whose panel makes enough come first,
// the least sum of W and Wh ahead: a watt of panel and a watt-hour of battery
// cost about the same for each year of their lives (common practice, no source),
// so no pair is bought from the steep end of the front, where a little more
// panel saves several times as much battery. The others follow, the largest
// panel first.
func rank(a, b Pair, ratio float64) int {
	enoughA, enoughB := a.PanelW*ratio >= designRatio, b.PanelW*ratio >= designRatio
	switch {
	case enoughA && enoughB:
		return cmp.Compare(a.PanelW+a.BatteryWh, b.PanelW+b.BatteryWh)
	case enoughA:
		return -1
	case enoughB:
		return 1
	}
	return cmp.Compare(b.PanelW, a.PanelW)
}

func compareMaybe(a, b Maybe[Money]) int {
	switch {
	case a.Known != b.Known && a.Known:
		return -1
	case a.Known != b.Known:
		return 1
	}
	return cmp.Compare(a.Value, b.Value)
}

// mostLarger is how many larger sizes are run where none are listed; they
// stand in equal ratios between the choice and the size that never stops.
const mostLarger = 32

// buy runs p with cut-off and reconnect at its size on sale and every larger
// one, up to the first whose cut-off is never reached: for that one and all
// beyond it the cut-off changes nothing. It returns the size from which on all
// meet the target.
func (f *Front) buy(r Record, b Battery, o SizeOptions, t target, n int, p Pair) (Choice, bool) {
	never, passes := leastUsable(r, []float64{p.PanelW}, b, target{stopMax: -1}, n)
	f.Passes += passes
	// Charge above the cut-off, as a share of the usable energy.
	above := 1 - b.left(b.CutOff, 1)
	var stores []*store
	var carriers []carrier
	for _, size := range o.larger(p.OnSaleWh, never[0]/above/b.usableShare()) {
		s := newStore(r, p.PanelW, b, size, BalanceOptions{StartCharge: 1, Connected: true})
		stores, carriers = append(stores, s), append(carriers, s)
	}
	f.Passes += sweep(r, n, carriers)
	first := len(stores)
	for first > 0 && t.meets(stores[first-1].balance()) {
		first--
	}
	if first == len(stores) {
		return Choice{}, false
	}
	c := Choice{Pair: p, BoughtWh: stores[first].nominal, Connected: stores[first].balance()}
	free := newStore(r, p.PanelW, b, c.BoughtWh, BalanceOptions{StartCharge: 1})
	f.Passes += sweep(r, n, []carrier{free})
	c.Bought = free.balance()
	c.price(b, o, c.BoughtWh)
	return c, true
}

// larger returns the sizes on sale from size up to the first that is at least
// enough.
func (o SizeOptions) larger(size, enough float64) []float64 {
	if len(o.SaleWh) == 0 {
		sizes := []float64{size}
		enough = min(enough, 100*max(size, saleStep)) // a panel that cannot keep up has no such size
		for i := 1; i <= mostLarger && sizes[len(sizes)-1] < enough; i++ {
			next := o.onSale(max(size, saleStep) * math.Pow(enough/max(size, saleStep), float64(i)/mostLarger))
			sizes = append(sizes, next)
		}
		return slices.Compact(sizes)
	}
	var sizes []float64
	for _, s := range slices.Sorted(slices.Values(o.SaleWh)) {
		if s >= size {
			sizes = append(sizes, s)
		}
		if s >= size && s >= enough {
			break
		}
	}
	return slices.Compact(sizes)
}
