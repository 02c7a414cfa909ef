package pumps

import (
	"math"

	"sunrill/data/units"
)

// HydraulicPower returns the power given to the water, P = rho g Q H.
func HydraulicPower(q units.Flow, h units.Length, w Water) units.Power {
	return units.Power(w.Density * gravity * float64(q) * float64(h))
}

// WireToWater returns hydraulic over electric power, from 0 to 1; 0 where the
// electric power is not known.
func WireToWater(hydraulic, electric units.Power) float64 {
	if electric <= 0 {
		return 0
	}
	return float64(hydraulic / electric)
}

// ReferencePower returns the electric power that the EU's reference circulator
// draws for a hydraulic power of 1 to 2500 W at its best point.
//
//	Pref = 1.7 Ph + 17 (1 - exp(-0.3 Ph))   [W]
//
// It describes heating circulators with a wet rotor. Beside a pond pump it is a
// yardstick of what small pumps reach, not a target: false outside its range.
//
// Source: Commission Regulation (EC) No 641/2009, annex II.
func ReferencePower(hydraulic units.Power) (units.Power, bool) {
	p := float64(hydraulic)
	if !(p >= 1 && p <= 2500) {
		return 0, false
	}
	return units.Power(1.7*p + 17*(1-math.Exp(-0.3*p))), true
}
