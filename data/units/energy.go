package units

// EnergyPerDay is the energy of a mean day, EnergyPerMonth that of a calendar
// month and EnergyPerYear that of 365 days. They are types of their own, so
// that one is never added to, or printed as, another.
type (
	EnergyPerDay   Energy
	EnergyPerMonth Energy
	EnergyPerYear  Energy
)

// WattHours returns e [Wh a day].
func (e EnergyPerDay) WattHours() float64 { return Energy(e).In(WattHour) }

// KilowattHours returns e [kWh a day].
func (e EnergyPerDay) KilowattHours() float64 { return Energy(e).In(KilowattHour) }

// KilowattHours returns e [kWh a month].
func (e EnergyPerMonth) KilowattHours() float64 { return Energy(e).In(KilowattHour) }

// KilowattHours returns e [kWh a year].
func (e EnergyPerYear) KilowattHours() float64 { return Energy(e).In(KilowattHour) }
