package money

// Purchase is something that wears out and is bought again and again.
type Purchase struct {
	Price Money
	Life  float64 // years, above 0
	Due   float64 // years until it is first bought: 0 for now, more for what runs already and is paid for
}

// Yearly returns the equivalent yearly cost over so many years: the first year's running
// cost, that rises by rise, as a level sum, and each purchase as the level payments of
// its own lives, counted from when it is due. Nothing is cut off at the horizon, so that
// what has just been bought in the last year is not charged in full.
//
//	(1+g)^(k-1)/(1+r)^k summed × A(n) × C  +  sum of P × A(m) × (1 - A(n)/A(d))
//
// with A(n) = r/(1 - (1+r)^-n), the annuity that recovers 1 in n years. Source: the
// equal-payment series of Panneerselvam, Engineering Economics, ch. 3.
func Yearly(running Money, purchases []Purchase, years int, rate, rise float64) Money {
	n := float64(years)
	worth, pay := 0.0, float64(running)
	for k := 1; k <= years; k++ {
		worth += float64(Worth(Money(pay), rate, float64(k)))
		pay *= 1 + rise
	}
	sum := worth * CapitalRecovery(rate, n)
	for _, p := range purchases {
		share := 1.0
		if p.Due > 0 {
			share = 1 - CapitalRecovery(rate, n)/CapitalRecovery(rate, min(p.Due, n))
		}
		sum += float64(Level(p, rate)) * share
	}
	return Money(sum)
}

// Level returns the level sum a year that buys p again whenever its life ends. A thing that
// lasts for ever costs the interest on its price. Source: as Yearly.
func Level(p Purchase, rate float64) Money { return p.Price * Money(CapitalRecovery(rate, p.Life)) }
