package sky

import (
	"math"

	"sunrill/data"
	"sunrill/data/plan"
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
// The voltages are above 0. Source: common practice of stand-alone systems, no standard.
func PWMShare(working, workingHot, battery units.Voltage) float64 {
	if workingHot < battery {
		return 0
	}
	return float64(battery / working)
}

// BatteryVoltage returns the nominal voltage of a plan's battery: the given
// one, else that of the kind's cells nearest the chosen or first DC pump's
// voltage, else nearest 12 V.
func BatteryVoltage(p *plan.Plan) units.Voltage {
	if p.Battery.Voltage != nil {
		return *p.Battery.Voltage
	}
	want := float64(nearestVoltage)
	for i := len(p.Pumps) - 1; i >= 0; i-- {
		m := p.Pumps[i]
		if m.Supply == "DC" && m.Voltage != nil && (p.Choice.Pump == "" || m.Name == p.Choice.Pump) {
			want = float64(*m.Voltage)
		}
	}
	return voltageNear(p.Battery.Kind, want)
}

// BatteryVolts returns the voltages at which the battery of a plan works.
func BatteryVolts(p *plan.Plan) data.BatteryVolts {
	row, _ := data.BatteryKindOf(p.Battery.Kind) // without a cell for a kind that is none
	return row.Volts(BatteryVoltage(p))
}

// voltageNear returns the voltage nearest to want that whole cells of a kind
// come to.
func voltageNear(kind string, want float64) units.Voltage {
	row, err := data.BatteryKindOf(kind)
	if err != nil || !row.CellVolts.Known {
		return units.Voltage(want)
	}
	cell := row.CellVolts.Value
	return units.Voltage(cell * math.Max(1, math.Round(want/cell)))
}

// nearestVoltage is the battery voltage where no pump asks for another
// (data/keys.csv, battery.voltage).
const nearestVoltage = 12
