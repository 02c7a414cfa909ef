package energy

import (
	"fmt"
	"math"

	"sunrill/data"
	"sunrill/data/units"
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

// PerDay returns the energy of a day in which p is drawn for hours.
func PerDay(p units.Power, hours units.Duration) EnergyPerDay {
	return EnergyPerDay(float64(p) * float64(hours))
}

// PerYear returns the energy of 365 such days.
func (e EnergyPerDay) PerYear() EnergyPerYear { return EnergyPerYear(e * 365) }

// SpecificEnergy returns the energy that each volume of water costs
// [Wh/m³]: P/Q. It is unknown where no water flows.
func SpecificEnergy(p units.Power, q units.Flow) Maybe[float64] {
	if q <= 0 {
		return Unknown[float64]("no water flows")
	}
	return Known(float64(p) / q.In(units.CubicMetrePerHour))
}

// PowerBasis says where a pump's watts come from.
type PowerBasis string

// The bases, the most trusted first.
const (
	Metered   PowerBasis = "metered"
	FromCurve PowerBasis = "curve"
	FromLabel PowerBasis = "label"
)

// PowerScale returns the factor that turns the watts a curve gives into the
// watts used, and where they come from: metered watts before the curve's, the
// curve's before the label's. meter is the reading at the clean duty at full
// speed, where the curve says curve; 0 stands for not given.
//
// Where only a label is known the factor is 1 and the label's watts are the
// power at every flow, which is on the high side for most small pumps.
func PowerScale(meter, curve, label units.Power) (factor float64, basis PowerBasis, err error) {
	for _, p := range []units.Power{meter, curve, label} {
		if !(p >= 0) || math.IsInf(float64(p), 0) {
			return 0, "", &data.Error{Key: "pump.metered_power", Message: "the power cannot be negative", Found: fmt.Sprintf("%g W", float64(p)), Allowed: "more than 0 W"}
		}
	}
	switch {
	case meter > 0 && curve > 0:
		return float64(meter / curve), Metered, nil
	case meter > 0:
		return 1, Metered, nil
	case curve > 0:
		return 1, FromCurve, nil
	case label > 0:
		return 1, FromLabel, nil
	}
	return 0, "", &data.Error{Key: "pump.power", Message: "nothing says what the pump draws", Allowed: "metered_power, a power column in the curve, or the label's watts"}
}

// Duty is where a pump at some speed meets the system.
type Duty struct {
	Flow  units.Flow
	Head  units.Length
	Power units.Power // at the pump's own leads
}

// Solve returns the duty at a speed, as a share of the curve's; Flow is 0 where
// the pump does not lift.
type Solve func(speed float64) (Duty, error)

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
	// FixedLow and FixedHigh bracket the watts that do not fall with speed:
	// electronics, bearings, magnetising. At full speed they change nothing.
	FixedLow, FixedHigh units.Power
	Count               int // pumps in parallel; 0 is 1
}
