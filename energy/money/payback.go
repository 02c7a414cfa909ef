package money

import (
	"math"

	"sunrill/data/figure"
)

// Payback is how long an extra first cost takes to come back [years].
type Payback struct {
	Simple figure.Maybe[float64] `json:"payback_years"` // cost over the first year's saving
	// Discounted counts whole years at the discounted saving of each and the
	// last one in proportion.
	Discounted figure.Maybe[float64] `json:"discounted_payback_years"`
}

// PaybackOf returns the payback of spending cost more now to save saving in the
// first year, at its end, the saving growing by rise a year:
//
//	simple      n = P / A
//	discounted  P = sum over k of A (1+g)^(k-1) / (1+r)^k
//	closed      n = ln(1 - P (r-g)/A) / ln((1+g)/(1+r)),  P (1+r)/A at r = g
//
// A cost of zero or less is back at once. Where nothing is saved, or the
// discounted savings never add up to the cost, the figure is unknown and says
// so. Source: Panneerselvam, Engineering Economics, ch. 3 and 6.
func PaybackOf(cost, saving Money, rate, rise float64) Payback {
	p, a := float64(cost), float64(saving)
	switch {
	case p <= 0:
		return Payback{figure.Known(0.0), figure.Known(0.0)}
	case a <= 0:
		never := figure.Unknown[float64]("never: it saves nothing a year")
		return Payback{never, never}
	}
	years := closedPayback(p, a, rate, rise)
	if years.Known {
		years.Value = linearPayback(p, a, rate, rise, years.Value)
	}
	return Payback{figure.Known(p / a), years}
}

// closedPayback solves the growing-annuity formula for a real number of years.
func closedPayback(p, a, r, g float64) figure.Maybe[float64] {
	var n float64
	if r == g {
		n = p * (1 + r) / a
	} else {
		spent := p * (r - g) / a
		if spent >= 1 {
			return figure.Unknown[float64]("never: the discounted savings do not add up to the cost")
		}
		// Log1p keeps the digits where the two rates are nearly equal.
		n = math.Log1p(-spent) / math.Log1p(-(r-g)/(1+r))
	}
	if math.IsNaN(n) || math.IsInf(n, 0) {
		return figure.Unknown[float64]("never: the discounted savings do not add up to the cost")
	}
	return figure.Known(n)
}

// linearPayback returns the whole years before closed and the last one in
// proportion. The sum of the whole years has a closed form, so a payback of a
// million years costs no loop.
func linearPayback(p, a, r, g, closed float64) float64 {
	whole := math.Floor(closed + 1e-9)
	paid := a / (1 + r) * whole
	fade := whole * math.Log1p(-(r-g)/(1+r)) // ln of ((1+g)/(1+r))^whole
	if r != g {
		paid = -a * math.Expm1(fade) / (r - g)
	}
	next := a / (1 + r) * math.Exp(fade)
	left := math.Max(0, p-paid)
	if !(next > 0) {
		return closed
	}
	return whole + left/next
}
