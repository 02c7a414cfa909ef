package energy

import (
	"math"

	"sunrill/data"
	"sunrill/data/units"
)

// PWMShare returns what a switching (PWM) controller passes to the battery, the
// module's current at the battery's voltage, over the module's own power:
//
//	I_mp V_bat / (I_mp V_mp) = V_bat / V_mp
//
// To be multiplied into the irradiance share of rated power without any
// temperature loss: the module is tied to the battery, so its own voltage, and
// what heat takes from it, no longer count, and there is no further efficiency.
// A module whose working voltage at the hottest cell is below the battery's
// charges nothing: the share is 0. The battery's is its nominal voltage; what a
// charging one stands above it is left out, here and in the energy it stores.
// Source: common practice of stand-alone systems, no standard.
func PWMShare(working, workingHot, battery units.Voltage) (float64, error) {
	for _, v := range []units.Voltage{working, workingHot, battery} {
		if !(v > 0) || math.IsInf(float64(v), 0) {
			return 0, &data.Error{Key: "controller", Message: "a PWM controller needs the panel's working voltage and the battery's, above 0 V", Found: units.Sprintf("%g V", float64(v)), Allowed: "such as 18 V and 12.8 V"}
		}
	}
	if workingHot < battery {
		return 0, nil
	}
	return float64(battery / working), nil
}
