package energy

import (
	"math"

	"sunrill/data"
	"sunrill/data/units"
)

// Pascal is an air pressure [Pa].
type Pascal float64

// Atmosphere is the standard atmosphere [Pa].
const Atmosphere Pascal = 101325

// AirPressure returns the mean pressure of the air at altitude:
//
//	P = 100 ((44331.514 - z) / 11880.516)^(1/0.1902632) Pa
//
// Range -500 to 11,000 m. Source: the standard atmosphere as fitted in pvlib's
// alt2pres, after the Portland State Aerospace Society.
func AirPressure(altitude units.Length) (Pascal, error) {
	z := float64(altitude)
	if !(z >= -500 && z <= 11000) {
		return 0, &data.Error{Key: "site.altitude", Message: "the altitude is out of range", Found: units.Sprintf("%g m", z), Allowed: "-500 m to 11000 m"}
	}
	return Pascal(100 * math.Pow((44331.514-z)/11880.516, 1/0.1902632)), nil
}

// VapourPressure returns the pressure of the vapour over water at temperature t
// [standard atmospheres]:
//
//	ln u = 11.8571 - 3840.70/T - 216961/T²,  T in K
//
// Range 0 to 40 °C. Source: Benson and Krause 1984, as OxygenSaturation.
func VapourPressure(t units.Temperature) float64 {
	T := float64(t)
	return math.Exp(11.8571 - 3840.70/T - 216961/(T*T))
}
