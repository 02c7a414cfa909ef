package data

import "slices"

var (
	batteryShelf     = shelve[BatteryKind]("batteries", "What each kind of battery takes, gives and lasts")
	batteryColdShelf = shelve[ColdPoint]("battery_cold", "How much larger a battery must be in the cold")
)

// BatteryKind is a row of batteries.csv. Usable, EndOfLife, Reconnect and
// CycleDepth are shares of the nominal size, the efficiencies of energy, 0 to 1.
type BatteryKind struct {
	Kind                string   `csv:"kind"`
	CellVolts           Optional `csv:"cell_v,omitempty"`
	Usable              Number   `csv:"usable"`
	ChargeEfficiency    Number   `csv:"charge_efficiency"`
	DischargeEfficiency Number   `csv:"discharge_efficiency"`
	SelfDischarge       Number   `csv:"self_discharge"`           // a month
	ChargeRate          Optional `csv:"charge_rate,omitempty"`    // 1/h; unknown: no limit
	DischargeRate       Optional `csv:"discharge_rate,omitempty"` // 1/h; unknown: no limit
	Peukert             Number   `csv:"peukert"`
	RatedHours          Optional `csv:"rated_h,omitempty"`
	LeastChargingC      Optional `csv:"least_charging_c,omitempty"` // unknown: charges at any
	Reconnect           Number   `csv:"reconnect"`
	EndOfLife           Number   `csv:"end_of_life"`
	Cycles              Optional `csv:"cycles,omitempty"` // of CycleDepth each
	CycleDepth          Optional `csv:"cycle_depth,omitempty"`
	LifeYears           Optional `csv:"life_years,omitempty"`
	Lead                string   `csv:"lead"` // yes or no
	Source              string   `csv:"source"`
}

// ColdPoint is a row of battery_cold.csv: by how much a battery must be larger
// at a temperature to give what its label says.
type ColdPoint struct {
	Kind           string `csv:"kind"` // lead, or a kind of batteries.csv
	TempC          Number `csv:"temp_c"`
	SizeMultiplier Number `csv:"size_multiplier"`
	Source         string `csv:"source"`
}

// BatteryCold returns how much larger batteries must be in the cold, each kind
// from the warmest down.
func BatteryCold() []ColdPoint { return slices.Clone(batteryColdShelf.rows()) }

// BatteryKindOf returns the row of a kind, whatever its capitals. The error is an
// *Error that lists the kinds there are.
func BatteryKindOf(kind string) (BatteryKind, error) {
	return rowOf("battery.kind", "kind of battery", kind, batteryShelf.rows(), func(b BatteryKind) string { return b.Kind })
}
