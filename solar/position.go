package solar

import "math"

// deltaT is terrestrial less universal time [s]. It was 29 s in 1950 and 69 s
// in 2023; 40 s of it move the sun by 0.0005 degrees.
const deltaT = 69

// solarParallax is the sun's equatorial horizontal parallax at 1 au [rad].
const solarParallax = 8.794 / 3600 * math.Pi / 180

// sunState is the sun among the stars at one instant.
type sunState struct {
	sinDelta, cosDelta float64 // of the apparent declination
	eqTime             float64 // apparent less mean solar time [rad]
}

// apparentSun returns the apparent place of the sun at a Julian date of
// universal time.
//
//	L = L0 + C, lambda = L - 0.00569 - 0.00478 sin Omega
//	tan alpha = cos eps sin lambda / cos lambda, sin delta = sin eps sin lambda
//
// The low-accuracy theory of Meeus, Astronomical Algorithms, chapter 25
// (eq. 25.2 to 25.8: 0.01 degrees), and his equation of time 28.1. With the
// parallax in altitude of 8.794" it is good to 0.02 degrees of NREL SPA for 1900
// to 2100.
func apparentSun(jd float64) sunState {
	const deg = math.Pi / 180
	t := (jd - 2451545 + deltaT/86400.0) / 36525
	l0 := (280.46646 + t*(36000.76983+t*0.0003032)) * deg // 25.2
	m := (357.52911 + t*(35999.05029-t*0.0001537)) * deg  // 25.3
	sinM, cosM := math.Sincos(m)
	c := (1.914602-t*(0.004817+t*0.000014))*sinM +
		(0.019993-0.000101*t)*2*sinM*cosM +
		0.000289*sinM*(3-4*sinM*sinM) // sin 2M and sin 3M by multiple angles
	c *= deg
	sinOmega, cosOmega := math.Sincos((125.04 - 1934.136*t) * deg)
	nutation := -0.00478 * deg * sinOmega
	lambda := l0 + c - 0.00569*deg + nutation
	eps := (23.4392911-t*(0.0130042+t*1.64e-7))*deg + 0.00256*deg*cosOmega // 22.2, 25.8
	sinEps, cosEps := math.Sincos(eps)
	sinLambda, cosLambda := math.Sincos(lambda)
	alpha := math.Atan2(cosEps*sinLambda, cosLambda) // 25.6
	sinDelta := sinEps * sinLambda                   // 25.7
	return sunState{
		sinDelta: sinDelta, cosDelta: math.Sqrt(1 - sinDelta*sinDelta),
		eqTime: math.Remainder(l0-0.0057183*deg-alpha+nutation*cosEps, 2*math.Pi), // 28.1
	}
}

// JulianDate returns the Julian date of 00:00 universal time on a day of the
// Gregorian calendar (Meeus eq. 7.1), which is valid from 1583.
func JulianDate(year, month, day int) float64 {
	y, m := float64(year), float64(month)
	if month <= 2 {
		y--
		m += 12
	}
	a := math.Floor(y / 100)
	return math.Floor(365.25*(y+4716)) + math.Floor(30.6001*(m+1)) + float64(day) + 2 - a + math.Floor(a/4) - 1524.5
}
