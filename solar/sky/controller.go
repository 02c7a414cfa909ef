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

// systemVolts are the battery voltages to choose from where nothing settles it, rising.
var systemVolts = [...]units.Voltage{12, 24, 48}

// BatteryVoltages returns the nominal voltages that a plan's battery may have: the given
// one, else whole batteries in series nearest the chosen or first DC pump's voltage, for a
// lower one the kind's cells nearest it, else whole batteries nearest systemVolts; the lowest
// where panel or battery hang on it.
func BatteryVoltages(p *plan.Plan) (volts []units.Voltage) {
	if p.Battery.Voltage != nil {
		return []units.Voltage{*p.Battery.Voltage}
	}
	many := systemVolts[:]
	if size := p.Battery.Size; size != nil && size.Charge > 0 || p.Controller.Kind == "PWM" || p.Controller.Kind == "none" {
		many = many[:1]
	}
	unit := p.Battery.UnitVolts()
	inSeries := func(v units.Voltage) float64 { return math.Round(float64(v / unit)) }
	for _, v := range many {
		volts = append(volts, unit*units.Voltage(max(1, inSeries(v))))
	}
	for i := len(p.Pumps) - 1; i >= 0; i-- {
		m := p.Pumps[i]
		if m.Supply != "DC" || p.Choice.Pump != "" && m.Name != p.Choice.Pump {
			continue
		}
		if volts = volts[:1]; m.Voltage == nil {
			continue
		}
		if volts[0] = unit * units.Voltage(inSeries(*m.Voltage)); volts[0] == 0 {
			kind, _ := data.BatteryKindOf(p.Battery.Kind) // without a cell for a kind that is none
			volts[0] = kind.Near(*m.Voltage)
		}
	}
	return volts
}

// BatteryVolts returns the voltages at which the battery of a plan works.
func BatteryVolts(p *plan.Plan) data.BatteryVolts {
	row, _ := data.BatteryKindOf(p.Battery.Kind) // likewise
	return row.Volts(BatteryVoltage(p))
}

// BatteryVoltage returns the lowest of BatteryVoltages.
func BatteryVoltage(p *plan.Plan) units.Voltage { return BatteryVoltages(p)[0] }
