package energy

import (
	"fmt"
	"math"

	"sunrill/data"
	"sunrill/data/units"
)

// PWMPower returns the power [W] that a switching (PWM) controller passes to
// the battery: the module's current at the battery's voltage,
//
//	P = I_mp V_bat
//
// The module is tied to the battery, so its own voltage, and what heat takes
// from it, no longer count, and there is no further efficiency. It holds while
// the module's working voltage, hot, is above the battery's; below that the
// current collapses and PWMShare returns 0. Source: methods of stand-alone
// practice, check PV5.
func PWMPower(current units.Current, battery units.Voltage) units.Power {
	return units.Power(float64(current) * float64(battery))
}

// PWMShare returns the power of PWMPower over the module's own P_mp = I_mp V_mp:
//
//	V_bat / V_mp
//
// To be multiplied into the irradiance share of rated power without any
// temperature loss. A module whose working voltage at the hottest cell is below
// the battery's charges nothing through PWM: the share is 0.
func PWMShare(working, workingHot, battery units.Voltage) (float64, error) {
	for _, v := range []units.Voltage{working, workingHot, battery} {
		if !(v > 0) || math.IsInf(float64(v), 0) {
			return 0, &data.Error{Key: "controller", Message: "a PWM controller needs the panel's working voltage and the battery's, above 0 V", Found: fmt.Sprintf("%g V", float64(v)), Allowed: "such as 18 V and 12.8 V"}
		}
	}
	if workingHot < battery {
		return 0, nil
	}
	return float64(battery / working), nil
}

// MPPTPower returns the power [W] that a tracking (MPPT) controller passes to
// the battery: the module's best power, temperature loss included, times the
// controller's efficiency. Usual efficiencies are 0.92 to 0.97.
func MPPTPower(panel units.Power, efficiency float64) units.Power {
	return panel * units.Power(efficiency)
}
