package data

import (
	"math"
	"slices"

	"sunrill/data/figure"
	"sunrill/data/units"
)

var (
	batteryShelf     = shelve[BatteryKind]("batteries", "What each kind of battery takes, gives and lasts")
	batteryColdShelf = shelve[ColdPoint]("battery_cold", "How much larger a battery must be in the cold")
	leadFreezeShelf  = shelve[FreezePoint]("lead_freezing", "Where the acid of a lead battery freezes")
)

// BatteryKind is a row of batteries.csv. Usable, EndOfLife, Reconnect and
// CycleDepth are shares of the nominal size, the efficiencies of energy, 0 to 1.
type BatteryKind struct {
	Kind                string                `csv:"kind"`
	CellVolts           figure.Maybe[float64] `csv:"cell_v,omitempty"`
	RestVolts           figure.Maybe[float64] `csv:"rest_v,omitempty"`
	AbsorptionVolts     figure.Maybe[float64] `csv:"absorption_v,omitempty"`
	HighestVolts        figure.Maybe[float64] `csv:"highest_v,omitempty"`
	CutOffVolts         figure.Maybe[float64] `csv:"cut_off_v,omitempty"`
	Usable              float64               `csv:"usable"`
	ChargeEfficiency    float64               `csv:"charge_efficiency"`
	DischargeEfficiency float64               `csv:"discharge_efficiency"`
	SelfDischarge       float64               `csv:"self_discharge"`           // a month
	ChargeRate          figure.Maybe[float64] `csv:"charge_rate,omitempty"`    // 1/h; unknown: no limit
	DischargeRate       figure.Maybe[float64] `csv:"discharge_rate,omitempty"` // 1/h; unknown: no limit
	Peukert             float64               `csv:"peukert"`
	RatedHours          figure.Maybe[float64] `csv:"rated_h,omitempty"`
	LeastChargingC      figure.Maybe[float64] `csv:"least_charging_c,omitempty"` // unknown: charges at any
	Reconnect           float64               `csv:"reconnect"`
	EndOfLife           float64               `csv:"end_of_life"`
	Cycles              figure.Maybe[float64] `csv:"cycles,omitempty"` // of CycleDepth each
	CycleDepth          figure.Maybe[float64] `csv:"cycle_depth,omitempty"`
	LifeYears           figure.Maybe[float64] `csv:"life_years,omitempty"`
	Lead                bool                  `csv:"lead"`
	Source              string                `csv:"source"`
}

// BatteryVolts are the voltages at a battery's terminals.
type BatteryVolts struct {
	Nominal    units.Voltage // that its size is reckoned with
	Rest       units.Voltage // under a small load
	Absorption units.Voltage // that a controller should charge to at most
	Highest    units.Voltage // that what hangs on it has to stand
	CutOff     units.Voltage // at which an inverter or a load switch lets go
}

// Volts returns the voltages of cells in series that come to nominal; all are
// nominal where nothing is known of the cell.
func (k BatteryKind) Volts(nominal units.Voltage) BatteryVolts {
	of := func(v figure.Maybe[float64]) units.Voltage {
		if !v.Known || !k.CellVolts.Known {
			return nominal
		}
		return nominal * units.Voltage(v.Value/k.CellVolts.Value)
	}
	return BatteryVolts{nominal, of(k.RestVolts), of(k.AbsorptionVolts), of(k.HighestVolts), of(k.CutOffVolts)}
}

// Near returns the voltage nearest to want that whole cells in series come to; want where
// nothing is known of the cell.
func (k BatteryKind) Near(want units.Voltage) units.Voltage {
	if !k.CellVolts.Known {
		return want
	}
	cell := units.Voltage(k.CellVolts.Value)
	return cell * units.Voltage(math.Max(1, math.Round(float64(want/cell))))
}

// ColdPoint is a row of battery_cold.csv: by how much a battery must be larger
// at a temperature to give what its label says.
type ColdPoint struct {
	Kind           string  `csv:"kind"` // lead, or a kind of batteries.csv
	TempC          float64 `csv:"temp_c"`
	SizeMultiplier float64 `csv:"size_multiplier"`
	Source         string  `csv:"source"`
}

// BatteryCold returns how much larger batteries must be in the cold, each kind
// from the warmest down.
func BatteryCold() []ColdPoint { return slices.Clone(batteryColdShelf()) }

// BatteryKindOf returns the row of a kind, whatever its capitals. The error is an
// *Error that lists the kinds there are.
func BatteryKindOf(kind string) (BatteryKind, error) {
	return rowOf("battery.kind", "kind of battery", kind, batteryShelf(), func(b BatteryKind) string { return b.Kind })
}

// FreezePoint is a row of lead_freezing.csv: where the acid freezes at a charge, as a
// share of the nominal size.
type FreezePoint struct {
	Charge   float64 `csv:"charge"`
	FreezesC float64 `csv:"freezes_c"`
	Source   string  `csv:"source"`
}

// LeadFreezing returns where lead batteries freeze, by rising charge.
func LeadFreezing() []FreezePoint { return slices.Clone(leadFreezeShelf()) }
