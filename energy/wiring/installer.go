package wiring

import (
	"errors"
	"fmt"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
)

// The factors an installer's figures are made with.
const (
	// continuousFactor is kept between a continuous current and a protective
	// device's rating, and once more for sun above 1000 W/m² (NEC 690.8 and 690.9,
	// IEC 62548, from memory).
	continuousFactor = 1.25
	// voltagePerK is the change of a panel's open-circuit voltage with its temperature
	// [1/K] (common practice, no source).
	voltagePerK = -0.003
	// interrupting is the rating that a fuse at a lithium battery is asked for [A], as
	// its short circuit may reach thousands of amperes (class T, from memory).
	interrupting = 20000
)

// PVFuse returns the least rating of a fuse or breaker for a string of
// short-circuit current isc:
//
//	I = 1.25 × 1.25 × I_sc
//
// once for sun above 1000 W/m² and once for continuous load. Source: the factor
// 1.56 of fuse makers' papers.
func PVFuse(isc units.Current) units.Current { return isc * continuousFactor * continuousFactor }

// backfeed returns the current that the other strings in parallel drive into one that
// is short-circuited:
//
//	I = (n - 1) × 1.25 × I_sc
//
// Strings need fuses of their own where it exceeds the module's fuse rating. Source:
// NEC 690.9, IEC 62548, from memory.
func backfeed(strings int, isc units.Current) units.Current {
	return units.Current(max(0, strings-1)) * continuousFactor * isc
}

// ColdVoltage returns the open-circuit voltage of a panel at the coldest cell, which the
// controller must stand:
//
//	V = V_oc (1 - 0.003 (T - 25))
func ColdVoltage(voc units.Voltage, coldest units.Temperature) units.Voltage {
	return voc * units.Voltage(1+voltagePerK*(coldest.InCelsius()-25))
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

// LoadCurrent returns the largest continuous current of a load that takes p [W] at the
// battery's terminals at rest:
//
//	constant power   I = P / V_cut-off
//	follows voltage  I = P / V_rest (V_highest / V_rest)², if that is more
//
// the second as the power of a pump grows with the cube of its speed.
func LoadCurrent(p units.Power, b data.BatteryVolts, follows bool) units.Current {
	i := float64(p) / float64(b.CutOff)
	if r := float64(b.Highest / b.Rest); follows {
		i = max(i, float64(p)/float64(b.Rest)*r*r)
	}
	return units.Current(i)
}

// InverterCurrent returns the direct current that an inverter takes at its rated
// output when the battery is down to the voltage at which it lets go:
//
//	I = P_rated / (eta V_cut-off)
//
// The conductor from the battery and its fuse follow this current and not the
// pump's: whatever else is plugged in passes through them too.
func InverterCurrent(rated units.Power, efficiency float64, cutOff units.Voltage) units.Current {
	return units.Current(float64(rated) / (efficiency * float64(cutOff)))
}

// Surge is how many times its running watts an AC pump may draw for a moment
// when it starts (common practice, no source).
const Surge = 3

// InverterSurge returns the momentary power an inverter must give to start an
// AC pump.
func InverterSurge(running units.Power) units.Power { return running * Surge }

// apparent returns the volt-amperes of an AC pump, by which an inverter is bought.
func apparent(running units.Power, factor float64) figure.Maybe[float64] {
	return figure.Given(running > 0 && factor > 0, float64(running)/factor, noInverter)
}

const noInverter = "there is no AC pump on an inverter"
