package money

import (
	"math"

	"sunrill/data/figure"
)

// Payback returns in how many years spending cost more now is back by saving saving in the
// first year, at its end, the saving growing by rise a year and each discounted at rate:
//
//	n = ln(1 - P (r-g)/A) / ln((1+g)/(1+r)),  P (1+r)/A at r = g
//
// A cost of zero or less is back at once. Where nothing is saved, or the
// discounted savings never add up to the cost, the figure is unknown and says
// so. Source: the growing annuity of Panneerselvam, Engineering Economics, ch. 3 and 6.
func Payback(cost, saving Money, rate, rise float64) figure.Maybe[float64] {
	p, a, r, g := float64(cost), float64(saving), rate, rise
	switch {
	case p <= 0:
		return figure.Known(0.0)
	case a <= 0:
		return figure.Unknown[float64]("never: it saves nothing a year")
	case r == g:
		return figure.Known(p * (1 + r) / a)
	}
	// Log1p keeps the digits where the two rates are nearly equal.
	spent := p * (r - g) / a
	return figure.Given(spent < 1, math.Log1p(-spent)/math.Log1p(-(r-g)/(1+r)), "never: the discounted savings do not add up to the cost")
}
