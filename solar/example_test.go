package solar_test

import (
	"fmt"

	"sunrill/data/units"
	"sunrill/solar"
)

// Reda & Andreas 2004 (NREL/TP-560-34302), worked example: 17 October 2003,
// 12:30:30 at UTC-7, 39.742476 N 105.1786 W. Without refraction the report's
// algorithm gives a zenith of 50.128 and an azimuth of 194.340 degrees.
func ExampleSunAt() {
	jd := solar.JulianDate(2003, 10, 17) + (19+30.0/60+30.0/3600)/24
	p := solar.SunAt(jd, 39.742476*units.Degree, -105.1786*units.Degree)
	fmt.Printf("zenith %.1f, azimuth %.1f\n", p.Zenith.In(units.Degree), p.Azimuth.In(units.Degree))
	// Output: zenith 50.1, azimuth 194.3
}

// Duffie & Beckman, example 2.19.1: Madison, 43 N, a collector at 60 degrees
// facing south. The book has 13.7 MJ/m2 a day in January.
func ExampleMonthlyTilted() {
	const latitude, h, h0 = 43 * units.Degree, 6.44, 13.37
	plane := solar.Plane{Tilt: 60 * units.Degree, Azimuth: 180 * units.Degree, Albedo: 0.7}
	declination := solar.DeclinationCooper(solar.KleinDays[0])
	diffuse := solar.ErbsMonthly(solar.SunsetAngle(latitude, declination), h/h0)
	ratio := solar.MonthlyBeamRatio(latitude, declination, plane.Tilt)
	fmt.Printf("Rb %.2f, %.1f MJ/m2\n", ratio, solar.MonthlyTilted(h, diffuse, ratio, plane))
	// Output: Rb 2.79, 13.7 MJ/m2
}
