package pumps

import (
	"math"

	"sunrill/data/units"
)

// Water is fresh water of one temperature.
type Water struct {
	Density   float64 // rho [kg/m³]
	Viscosity float64 // dynamic, mu [Pa s]
}

// Kinematic returns the kinematic viscosity nu = mu/rho [m²/s].
func (w Water) Kinematic() float64 { return w.Viscosity / w.Density }

// HydraulicPower returns the power given to the water, P = rho g Q H.
func HydraulicPower(q units.Flow, h units.Length, w Water) units.Power {
	return units.Power(w.Density * gravity * float64(q) * float64(h))
}

// WarmestWater is the upper end of the formulas of water [C].
const WarmestWater = 45

// WaterAt returns density and viscosity of fresh water at t and 1 atm.
//
//	rho = (999.83952 + 16.945176 t - 7.9870401e-3 t² - 46.170461e-6 t³
//	       + 105.56302e-9 t⁴ - 280.54253e-12 t⁵) / (1 + 16.879850e-3 t)
//	mu  = 1e-6 sum a_i (T/300)^b_i
//
// with t in C and T in K. Valid from 0 C to WarmestWater. Both agree with IAPWS-95
// and IAPWS 2008 to within 1e-4 from 0 to 40 C, where Vogel's form is 2 % low at 0 C.
//
// Sources: G. S. Kell, J. Chem. Eng. Data 20 (1975) 97, for the density;
// IAPWS SR6-08, liquid water at 0.1 MPa, for the viscosity.
func WaterAt(t units.Temperature) Water {
	c := t.InCelsius()
	rho := (999.83952 + c*(16.945176+c*(-7.9870401e-3+c*(-46.170461e-6+c*(105.56302e-9-c*280.54253e-12))))) /
		(1 + 16.879850e-3*c)
	x := float64(t) / 300
	mu := 1e-6 * (280.68*math.Pow(x, -1.9) + 511.45*math.Pow(x, -7.7) +
		61.131*math.Pow(x, -19.6) + 0.45903*math.Pow(x, -40))
	return Water{Density: rho, Viscosity: mu}
}

// Pascal is an air pressure [Pa].
type Pascal float64

// String returns the pressure with its unit.
func (p Pascal) String() string { return units.Sprintf("%g Pa", float64(p)) }

// Atmosphere is the standard atmosphere [Pa].
const Atmosphere Pascal = 101325

// AirPressure returns the mean pressure of the air at altitude:
//
//	P = 100 ((44331.514 - z) / 11880.516)^(1/0.1902632) Pa
//
// Range -500 to 11,000 m. Source: the standard atmosphere as fitted in pvlib's
// alt2pres, after the Portland State Aerospace Society.
func AirPressure(altitude units.Length) Pascal {
	return Pascal(100 * math.Pow((44331.514-float64(altitude))/11880.516, 1/0.1902632))
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
