package energy

import (
	"errors"

	"sunrill/data/units"
)

// Spread is how one choice fares in other weather of the same climate: one
// entry for each record, in their order.
type Spread struct {
	LeastWh []float64 // least nominal battery for the chosen panel; +Inf: none
	Bought  []Balance // of the size bought, with cut-off and reconnect
}

// Range returns the least and the largest of LeastWh.
func (s Spread) Range() (low, high units.Energy) {
	if len(s.LeastWh) == 0 {
		return 0, 0
	}
	low, high = wattHours(s.LeastWh[0]), wattHours(s.LeastWh[0])
	for _, wh := range s.LeastWh[1:] {
		low, high = min(low, wattHours(wh)), max(high, wattHours(wh))
	}
	return low, high
}

// SpreadOf runs a choice through other records, such as those of five seeds:
// the least battery that its panel would need in each, and what the size bought
// does there. The records are as for Size.
func SpreadOf(records []Record, b Battery, o SizeOptions, c Choice) (Spread, error) {
	faults := []error{b.Check(), o.check()}
	for _, r := range records {
		faults = append(faults, r.Check())
	}
	if err := errors.Join(faults...); err != nil {
		return Spread{}, err
	}
	n := readings(!o.Once)
	var s Spread
	for _, r := range records {
		least, _ := leastUsable(r, []float64{c.PanelW}, b, o.target(), n)
		s.LeastWh = append(s.LeastWh, least[0]/b.usableShare())
		run := newStore(r, c.PanelW, b, c.BoughtWh, BalanceOptions{StartCharge: 1, Connected: true})
		sweep(r, n, []carrier{run})
		s.Bought = append(s.Bought, run.balance())
	}
	return s, nil
}
