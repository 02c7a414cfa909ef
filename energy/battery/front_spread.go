package battery

import (
	"errors"
	"math"
	"slices"

	"sunrill/data/units"
	"sunrill/energy/supply"
)

// Spread is how one choice fares in other weather of the same climate: one
// entry for each record, in their order.
type Spread struct {
	LeastWh []float64 // least nominal battery for the chosen panel; +Inf: none
	BuyWh   []float64 // the size that would be bought there for that panel; +Inf: none
	Bought  []Balance // of the size bought, with cut-off and reconnect
	Misses  int       // records in which that misses the target
}

// Range returns the least and the largest of LeastWh.
func (s Spread) Range() (low, high units.Energy) { return rangeOf(s.LeastWh) }

// BuyRange returns the least and the largest of BuyWh.
func (s Spread) BuyRange() (low, high units.Energy) { return rangeOf(s.BuyWh) }

func rangeOf(wh []float64) (low, high units.Energy) {
	if len(wh) == 0 {
		return 0, 0
	}
	return WattHours(slices.Min(wh)), WattHours(slices.Max(wh))
}

// SpreadOf runs a choice through other records, such as those of five seeds:
// the least battery that its panel would need in each, the size that would be
// bought there, and what the size bought does. The records are as for Size.
func SpreadOf(records []supply.Record, b Battery, o SizeOptions, c Choice) (Spread, error) {
	faults := []error{b.Check(), o.check()}
	for _, r := range records {
		faults = append(faults, r.Check())
	}
	if err := errors.Join(faults...); err != nil {
		return Spread{}, err
	}
	o.Panels = []float64{c.PanelW}
	var s Spread
	for _, r := range records {
		one := NewSelection(r, b, o)
		one.All()
		g, buy := &one.Seen[0], math.Inf(1)
		s.LeastWh = append(s.LeastWh, g.least/b.UsableOfNominal())
		if !math.IsInf(g.least, 1) && !g.drains {
			if st := one.leastConnected(g); st != nil {
				buy = st.nominal
			}
		}
		s.BuyWh = append(s.BuyWh, buy)
		balance := g.whole(c.BoughtWh, true).balance()
		s.Bought = append(s.Bought, balance)
		if !one.t.meets(balance) {
			s.Misses++
		}
	}
	return s, nil
}
