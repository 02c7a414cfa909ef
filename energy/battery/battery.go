package battery

import (
	"fmt"
	"math"

	"sunrill/data"
	"sunrill/data/units"
)

// Battery is what a kind of battery does to the energy put into it. It says
// nothing of its size. All shares are 0 to 1.
//
// The zero value is not a battery; begin with IdealBattery, BatteryOf or BatteryFrom.
type Battery struct {
	Kind string `json:"kind"`
	// Voltage is the nominal voltage; 0 where only energy is reckoned.
	// CellVoltage is that of one cell; 0 where any voltage will do.
	Voltage, CellVoltage units.Voltage

	UsableShare    float64           `json:"usable_fraction"`                   // of the capacity that may be taken out
	ColdShare      float64           `json:"left_in_the_cold_fraction"`         // of the capacity left at its lowest working temperature
	EndOfLifeShare float64           `json:"left_at_end_of_life_fraction"`      // of the capacity left when it is called worn out
	ChargeShare    float64           `json:"charge_efficiency_fraction"`        // stored per energy sent to charge
	DischargeShare float64           `json:"discharge_efficiency_fraction"`     // delivered per energy taken from the store
	SelfDischarge  float64           `json:"self_discharge_fraction_per_month"` // of the usable charge, lost in a month of 730 h
	CutOff         float64           `json:"cut_off_fraction"`                  // charge, of capacity, at which the load is disconnected
	Reconnect      float64           `json:"reconnect_fraction"`                // charge at which it is connected again
	ChargeLimit    float64           // largest charging power over nominal energy [1/h]; 0: none
	DischargeLimit float64           // largest power given over nominal energy [1/h]; 0: none
	NoChargeBelow  units.Temperature // 0 (absolute zero): charges at any
	Lead           bool              // suffers when it is not filled: days since full count
	Peukert        float64           // exponent k of the rate effect; 1: none
	RatedHours     float64           // discharge time [h] for which capacity is stated; 0: none
	FullCycles     float64           // energy it gives in its life over its nominal energy; 0: not known
	CalendarYears  float64           // life at 25 °C without any use; 0: not known
	Cold           []ColdCapacity    // capacity left by temperature, the warmest first; nil: all
}

// ColdCapacity is the capacity that a battery has left at a temperature, as a
// share of what its label states.
type ColdCapacity struct{ TempC, Share float64 }

// IdealBattery returns a battery without losses or limits, for checks with a
// pencil.
func IdealBattery() Battery {
	return Battery{
		Kind: "ideal", UsableShare: 1, ColdShare: 1, EndOfLifeShare: 1,
		ChargeShare: 1, DischargeShare: 1, Peukert: 1,
	}
}

// Usable returns the energy that can be taken from a full battery of a nominal
// size:
//
//	usable = nominal UsableShare ColdShare EndOfLifeShare
func (b Battery) Usable(nominal units.Energy) units.Energy {
	return nominal * units.Energy(b.UsableOfNominal())
}

// Nominal returns the nominal size that gives a usable energy: the inverse of
// Usable.
func (b Battery) Nominal(usable units.Energy) units.Energy {
	return usable / units.Energy(b.UsableOfNominal())
}

// UsableOfNominal returns the share of the nominal size that is used, by depth, cold and age.
func (b Battery) UsableOfNominal() float64 { return b.UsableShare * b.ColdShare * b.EndOfLifeShare }

// keptEachHour returns the share of the charge that an hour leaves.
func (b Battery) keptEachHour() float64 {
	return math.Pow(1-b.SelfDischarge, units.Hour.In(units.Month))
}

// charge returns the charge, as a share of capacity, of a battery with s of
// its usable energy u left: 1 when full, 1 - UsableShare when used up. While
// cold and age take nothing it is the share of nominal capacity.
func (b Battery) charge(s, u float64) float64 {
	if u == 0 {
		return 1 - b.UsableShare
	}
	return 1 - b.UsableShare*(1-s/u)
}

// left is the inverse of charge, held to 0 and u.
func (b Battery) left(charge, u float64) float64 {
	return min(u, max(0, u*(charge-(1-b.UsableShare))/b.UsableShare))
}

// Check returns every fault of b, joined, as *data.Error with the plan key.
func (b Battery) Check() error {
	var faults data.FaultList
	share := func(key string, x float64) {
		faults.Want(x > 0 && x <= 1, "battery."+key, percent(x), "above 0 and up to 100 %, such as 80 %")
	}
	rate := func(key string, x float64) {
		faults.Want(x >= 0 && !math.IsInf(x, 0), "battery."+key, x, "a share of the capacity an hour, such as 0.5, or 0 for none")
	}
	share("usable", b.UsableShare)
	share("capacity_at_0c", b.ColdShare)
	share("end_of_life", b.EndOfLifeShare)
	share("charge_efficiency", b.ChargeShare)
	share("discharge_efficiency", b.DischargeShare)
	faults.Want(b.SelfDischarge >= 0 && b.SelfDischarge < 1, "battery.self_discharge", percent(b.SelfDischarge),
		"0 to below 100 % a month, such as 3 %")
	faults.Want(b.CutOff >= 0 && b.CutOff < 1, "battery.cut_off", percent(b.CutOff), "0 to below 100 %, such as 20 %")
	if !(b.Reconnect <= 1) || b.Reconnect < b.CutOff {
		faults.Add(&data.Error{Key: "battery.reconnect", Message: "the load would be connected again below the charge that disconnects it",
			Found: percent(b.Reconnect), Allowed: fmt.Sprintf("from the cut-off, %s, to 100 %%", percent(b.CutOff))})
	}
	rate("charge_rate", b.ChargeLimit)
	rate("discharge_rate", b.DischargeLimit)
	if err := b.checkVoltage(); err != nil {
		faults.Add(err)
	}
	return faults.Err()
}

// checkVoltage refuses a voltage that no whole number of cells makes.
func (b Battery) checkVoltage() *data.Error {
	v, cell := float64(b.Voltage), float64(b.CellVoltage)
	if !(v >= 0) || math.IsInf(v, 0) {
		return &data.Error{Key: "battery.voltage", Message: "a battery cannot have this voltage", Found: units.Sprintf("%g V", v),
			Allowed: "such as 12.8 V"}
	}
	if v == 0 || cell == 0 {
		return nil
	}
	n := max(1, math.Round(v/cell))
	if math.Abs(v-n*cell) <= cellTolerance*v {
		return nil
	}
	return &data.Error{
		Key:     "battery.voltage",
		Message: units.Sprintf("cells of %g V cannot make this voltage (%s)", cell, b.Kind),
		Found:   units.Sprintf("%g V", v),
		Allowed: units.Sprintf("a whole number of cells, such as %.4g V (%g cells)", n*cell, n),
		Hint:    units.Sprintf("%.4g V", n*cell),
	}
}

// cellTolerance lets a label round its voltage: 51 V is 16 cells of 3.2 V.
const cellTolerance = 0.01

func percent(x float64) string { return units.Sprintf("%.4g %%", 100*x) }
