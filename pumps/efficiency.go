package pumps

import "sunrill/data/units"

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
