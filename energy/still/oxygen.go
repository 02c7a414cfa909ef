package still

import (
	"math"

	"sunrill/data"
	"sunrill/data/units"
	"sunrill/pumps"
)

// Oxygen is a concentration of dissolved oxygen [mg/L], the same number in
// g/m³.
type Oxygen float64

// OxygenSaturation returns the dissolved oxygen of fresh water in balance with
// air at temperature t and pressure p:
//
//	ln C = -139.34411 + 1.575701e5/T - 6.642308e7/T² + 1.2438e10/T³ - 8.621949e11/T⁴
//	C_P  = C P (1 - u/P)(1 - theta P) / ((1 - u)(1 - theta))
//
// with T in K, P in atmospheres, u as in VapourPressure, and theta = 0.000975 -
// 1.426e-5 t + 6.436e-8 t². Range 0 to 40 °C and 0.1 to 1.5 atmospheres. Source:
// Benson and Krause 1984, Limnology and Oceanography 29, 620-632, as adopted by
// APHA Standard Methods and the USGS.
func OxygenSaturation(t units.Temperature, p pumps.Pascal) (Oxygen, error) {
	c := t.InCelsius()
	var faults data.FaultList
	faults.Want(c >= -1e-9 && c <= 40+1e-9, "water.temperature", t, "0 C to 40 C, where the oxygen equation holds")
	faults.Want(p > 0.1*pumps.Atmosphere && p < 1.5*pumps.Atmosphere, "site.altitude", p, "10 to 150 kPa")
	if err := faults.Err(); err != nil {
		return 0, err
	}
	T := float64(t)
	lnC := -139.34411 + 1.575701e5/T - 6.642308e7/(T*T) + 1.2438e10/(T*T*T) - 8.621949e11/(T*T*T*T)
	P := float64(p / pumps.Atmosphere)
	u := pumps.VapourPressure(t)
	theta := 0.000975 - 1.426e-5*c + 6.436e-8*c*c
	return Oxygen(math.Exp(lnC) * P * (1 - u/P) * (1 - theta*P) / ((1 - u) * (1 - theta))), nil
}

// AmmoniaFromFeed returns the nitrogen that feed becomes as ammonia:
//
//	TAN = share × protein × feed
//
// with share 0.092 after Timmons and Ebeling (from memory).
func AmmoniaFromFeed(feed units.Mass, protein, share float64) units.Mass {
	return units.Mass(share * protein * float64(feed))
}

// SpecificSurface returns the surface of grain in each volume of bed [m²/m³]:
//
//	a = 6 (1-e) / d
//
// for spheres of size d with voids e.
func SpecificSurface(grain units.Length, voids float64) float64 {
	return 6 * (1 - voids) / float64(grain)
}
