package money

import (
	"math"

	"sunrill/data/units"
)

// Money is an amount in the plan's own currency. Sunrill knows no exchange
// rates and no sign.
type Money float64

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
