package battery

import (
	"math"

	"sunrill/data/units"
)

// RateShare returns the share of its nominal energy that b gives when it is
// emptied at a steady power, by Peukert's law in the form for a capacity that is
// rated at H hours, as labels state it, with energies in place of charges (the
// voltage cancels):
//
//	t = H (C / (P H))^k
//	share = P t / C = (C / (P H))^(k-1), at most 1
//
// The textbook form, t = C / I^k, takes C as the capacity at 1 A, whatever the
// label says, and is far off with a label's. Source: Peukert 1897 as taught;
// checks PK2 and PK3.
//
// It is a caution, not part of the size: a pump's load is far below the rated
// current, and the usable share stops well before the end that the rate effect
// brings nearer. Slower than rated it is 1; the little gained there is not
// counted.
func (b Battery) RateShare(nominal units.Energy, load units.Power) float64 {
	if b.RatedHours <= 0 || b.Peukert <= 1 || load <= 0 || nominal <= 0 {
		return 1
	}
	rated := nominal.In(units.WattHour) / b.RatedHours
	return min(1, math.Pow(rated/float64(load), b.Peukert-1))
}

// FastShare is the RateShare below which it is said that a battery is drawn too
// fast. Common practice, no source.
const FastShare = 0.95
