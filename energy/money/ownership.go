package money

import (
	"cmp"
	"math"

	"sunrill/data/figure"
	"sunrill/data/units"
)

// Money is an amount in the plan's own currency. Sunrill knows no exchange
// rates and no sign.
type Money float64

// Part is something bought once and replaced when worn out.
type Part struct {
	Name  string              // such as "pump" or "battery"
	Price figure.Maybe[Money] // of one purchase
	Life  float64             // years until it is replaced; 0: it outlives the reckoning
}

// Ownership is what it takes to reckon the cost of years of running.
type Ownership struct {
	Parts        []Part
	Running      figure.Maybe[Money] // cost of the first year's energy
	Years        int                 // reckoned ahead, at least 1
	DiscountRate float64             // share a year, above -1
	PriceRise    float64             // of the running cost, share a year, above -1
	ExtraFirst   Money               // first cost that is never replaced, such as cable
}

// OwnershipCost is what Own returns. Everything is discounted to today but
// EquivalentAnnual, the level sum paid at each year's end that is worth the same.
type OwnershipCost struct {
	First            Money
	Running          Money
	Replacements     int
	ReplacementCost  Money
	PresentValue     Money   `json:"present_value"`
	CapitalRecovery  float64 // 1/year
	EquivalentAnnual Money   `json:"per_year"`
}

// Own returns the cost of owning and running over o.Years:
//
//	running      = sum over k of C (1+g)^(k-1) / (1+r)^k,  k = 1..n
//	replacements = sum over j of P / (1+r)^(j m),          j m < n
//	equal yearly = (first + running + replacements) r / (1 - (1+r)^-n)
//
// with C the first year's running cost paid at its end, g the price rise, r
// the discount rate, P and m a part's price and life. A part is not replaced
// in the last year, and its price does not rise. A missing price makes the
// cost unknown, with the names of what is missing; it is not taken as zero.
// Source: Panneerselvam, Engineering Economics, ch. 3 (present worth and
// equal-payment series).
func Own(o Ownership) figure.Maybe[OwnershipCost] {
	if !o.Running.Known {
		return figure.Unknown[OwnershipCost](o.Running.Why)
	}
	n, r := float64(o.Years), o.DiscountRate
	c := OwnershipCost{First: o.ExtraFirst, CapitalRecovery: CapitalRecovery(r, n)}
	pay := float64(o.Running.Value)
	for k := 1; k <= o.Years; k++ {
		c.Running += Worth(Money(pay), r, float64(k))
		pay *= 1 + o.PriceRise
	}
	for _, p := range o.Parts {
		if !p.Price.Known {
			return figure.Unknown[OwnershipCost](units.Say("%s: %s", p.Name, cmp.Or(p.Price.Why, "no price")))
		}
		c.First += p.Price.Value
		if p.Life <= 0 {
			continue
		}
		// The margin keeps a life that divides the years, such as 0.1 in 1, from
		// being replaced once more by rounding.
		for j := 1.0; j*p.Life < n*(1-1e-12); j++ {
			c.Replacements++
			c.ReplacementCost += Worth(p.Price.Value, r, j*p.Life)
		}
	}
	c.PresentValue = c.First + c.Running + c.ReplacementCost
	c.EquivalentAnnual = c.PresentValue * Money(c.CapitalRecovery)
	return figure.Known(c)
}

// CapitalRecovery returns the share of a sum that equal payments, one a year, must each be
// to repay it in so many years, or parts of years, at rate r:
//
//	r / (1 - (1+r)^-n),  1/n at r = 0
//
// Source: Panneerselvam, Engineering Economics, section 3.6 (equal-payment
// series capital recovery). It needs r > -1 and years above 0.
func CapitalRecovery(r, years float64) float64 {
	if r == 0 {
		return 1 / years
	}
	// Expm1 and Log1p keep the digits at rates near 0.
	return r / -math.Expm1(-years*math.Log1p(r))
}

// Worth returns what p, due in so many years, is worth today at rate r a
// year:
//
//	P = F / (1+r)^n
//
// Source: Panneerselvam, Engineering Economics, section 3.3 (single-payment
// present worth). It needs r > -1.
func Worth(p Money, r, years float64) Money { return p / Money(math.Pow(1+r, years)) }

// Carbon returns the mass of carbon dioxide [kg a year] let out for the energy
// of a year at factor kg/kWh of the grid.
func Carbon(e units.EnergyPerYear, factor float64) float64 { return e.KilowattHours() * factor }
