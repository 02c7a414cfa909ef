package wiring

import (
	"errors"
	"fmt"

	"sunrill/data/figure"
	"sunrill/data/units"
)

// The factors an installer's figures are made with.
const (
	// continuousFactor is kept between a continuous current and a protective
	// device's rating, and once more for sun above 1000 W/m².
	continuousFactor = 1.25
	// voltagePerK is the change of a panel's open-circuit voltage with its temperature
	// [1/K] (common practice, no source).
	voltagePerK = -0.003
	// coldMargin is taken below the coldest month's mean to reach a cold clear
	// dawn [°C] (common practice, no source: record lows lie some 15 below it).
	coldMargin = 15
)

// PVFuse returns the least rating of a fuse or breaker for a string of
// short-circuit current isc:
//
//	I = 1.25 × 1.25 × I_sc
//
// once for sun above 1000 W/m² and once for continuous load. Source: the factor
// 1.56 of fuse makers' papers.
func PVFuse(isc units.Current) units.Current { return isc * continuousFactor * continuousFactor }

// ControllerCurrent returns the current a charge controller must carry towards
// the battery:
//
//	MPPT  I = 1.25 P / V_battery
//	PWM   I = 1.25 I_sc
//
// with V_battery the nominal voltage; the margin covers the little less of an
// empty battery. It is unknown where the
// figure it needs is not given.
func ControllerCurrent(mppt bool, panel units.Power, isc units.Current, battery units.Voltage) figure.Maybe[units.Current] {
	switch {
	case mppt && panel > 0 && battery > 0:
		return figure.Known(units.Current(continuousFactor * float64(panel) / float64(battery)))
	case !mppt && isc > 0:
		return figure.Known(isc * continuousFactor)
	case mppt:
		return figure.Unknown[units.Current]("the panel's watts or the battery's voltage are not known")
	}
	return figure.Unknown[units.Current]("the panel's short-circuit current is not known")
}

// ColdVoltage returns the open-circuit voltage of modules in series on the
// coldest morning, which the controller must stand, and that temperature:
//
//	V = n V_oc (1 - 0.003 (T - 25)),  T = coldest month's mean - 15 °C
//
// The rule for T is common practice, no source: a local record low goes before it.
func ColdVoltage(voc units.Voltage, series int, coldestMonth units.Temperature) (units.Voltage, units.Temperature) {
	t := units.Celsius(coldestMonth.InCelsius() - coldMargin)
	return voc * units.Voltage(series) * units.Voltage(1+voltagePerK*(t.InCelsius()-25)), t
}

// fuseSizes are usual ratings of DC fuses [A] (after the preferred numbers of
// IEC 60269 and the steps on sale; from memory).
var fuseSizes = [...]units.Current{1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 80, 100, 125, 150, 200, 250, 300, 400}

// ErrNoFuse is returned where no usual fuse lies between the load and what the
// cable may carry.
var ErrNoFuse = errors.New("no fuse both carries the load and protects the cable")

// FuseFor returns the smallest usual fuse of at least 1.25 times the continuous
// current.
func FuseFor(continuous units.Current) (units.Current, error) {
	need := continuous * continuousFactor
	for _, f := range fuseSizes {
		if f >= need*(1-1e-9) {
			return f, nil
		}
	}
	return 0, units.Errorf("%w: %.0f A or more is needed, the largest usual fuse is %.0f A: "+
		"a higher battery voltage, or several circuits with a fuse each",
		ErrNoFuse, float64(need), float64(fuseSizes[len(fuseSizes)-1]))
}

// BatteryFuse returns the fuse of FuseFor if it does not exceed the cable's
// ampacity. It sits at the battery and is rated for DC. An ampacity of 0 is not
// known, which is an error: the fuse protects the cable.
func BatteryFuse(continuous, ampacity units.Current) (units.Current, error) {
	if ampacity <= 0 {
		return 0, fmt.Errorf("%w: the cable's rating is not known", ErrNoFuse)
	}
	if f, err := FuseFor(continuous); err != nil || f <= ampacity {
		return f, err
	}
	return 0, units.Errorf("%w: the load needs %.3g A or more, the cable takes %.3g A: use a thicker cable",
		ErrNoFuse, float64(continuous*continuousFactor), float64(ampacity))
}

// lowBattery is how far an inverter lets the battery's voltage fall, as a share
// of the nominal one: 10.5 V of 12 V, 1.75 V a lead cell (from memory).
const lowBattery = 0.875

// InverterCurrent returns the direct current that an inverter takes at its rated
// output when the battery is low:
//
//	I = P_rated / (eta 0.875 V_battery)
//
// The conductor from the battery and its fuse follow this current and not the
// pump's: whatever else is plugged in passes through them too. Source: power over
// voltage; the share is 10.5 V of 12 V, from memory.
func InverterCurrent(rated units.Power, efficiency float64, battery units.Voltage) units.Current {
	return units.Current(float64(rated) / (efficiency * lowBattery * float64(battery)))
}

// singleController is the largest charge current that one controller on sale
// takes [A]; small ones end at 60 A (common practice, no source).
const singleController = 100

// Surge is how many times its running watts an AC pump may draw for a moment
// when it starts (common practice, no source).
const Surge = 3

// InverterSurge returns the momentary power an inverter must give to start an
// AC pump.
func InverterSurge(running units.Power) units.Power { return running * Surge }
