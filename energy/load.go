package energy

import (
	"sunrill/data"
	"sunrill/data/units"
	"sunrill/pumps"
)

// EnergyPerDay is the energy of a mean day, EnergyPerMonth that of a calendar
// month and EnergyPerYear that of 365 days. They are types of their own, so
// that one is never added to, or printed as, another.
type (
	EnergyPerDay   units.Energy
	EnergyPerMonth units.Energy
	EnergyPerYear  units.Energy
)

// WattHours returns e [Wh a day].
func (e EnergyPerDay) WattHours() float64 { return units.Energy(e).In(units.WattHour) }

// KilowattHours returns e [kWh a day].
func (e EnergyPerDay) KilowattHours() float64 { return units.Energy(e).In(units.KilowattHour) }

// KilowattHours returns e [kWh a month].
func (e EnergyPerMonth) KilowattHours() float64 { return units.Energy(e).In(units.KilowattHour) }

// KilowattHours returns e [kWh a year].
func (e EnergyPerYear) KilowattHours() float64 { return units.Energy(e).In(units.KilowattHour) }

// noPower returns the fault of a pump whose watts nothing says.
func noPower(p pumps.Pump) error {
	return &data.Error{Key: "pump.metered_power", Message: "nothing says what " + p.Name() + " draws", Allowed: "metered_power, a power column in the curve, or the label's watts"}
}

// VoltageBehaviour says what a DC pump does when its voltage changes.
type VoltageBehaviour string

// The behaviours.
const (
	Follows   VoltageBehaviour = "follows"   // speed in proportion to voltage
	Regulated VoltageBehaviour = "regulated" // electronics hold the speed
)

// Motor is the electrical side of a pump.
type Motor struct {
	Name      string
	AC        bool
	Voltage   units.Voltage    // rated: the one its curve was taken at
	Behaviour VoltageBehaviour // of a DC pump
	// Slows reports whether the pump can be slowed at all; LeastSpeed is the
	// lowest share of the curve's speed that its electronics allow.
	Slows      bool
	LeastSpeed float64
}
