package energy

import (
	"math"

	"sunrill/data"
	"sunrill/data/units"
)

// nearestVoltage is the battery voltage where no pump asks for another
// (data/keys.csv, battery.voltage).
const nearestVoltage = 12

// batteryVoltage returns the nominal voltage of a plan's battery: the given
// one, else that of the kind's cells nearest the chosen or first DC pump's
// voltage, else nearest 12 V.
func batteryVoltage(p *data.Plan) units.Voltage {
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

// BatteryVoltage returns the nominal voltage of the battery.
func (s *Storage) BatteryVoltage() units.Voltage { return batteryVoltage(s.plan) }
