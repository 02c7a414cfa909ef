package solar

import (
	"math"

	"sunrill/data/units"
)

// Position is where the sun stands, seen from a site, without refraction.
type Position struct {
	Zenith         units.Angle    // topocentric
	Azimuth        units.Angle    // clockwise from north, 0 to 360 degrees
	Declination    units.Angle    // apparent, geocentric
	HourAngle      units.Angle    // afternoon positive, -180 to 180 degrees
	EquationOfTime units.Duration // apparent less mean solar time
	Distance       float64        // Sun to Earth [au]
}

// deltaT is terrestrial less universal time [s]. It was 29 s in 1950 and 69 s
// in 2023; 40 s of it move the sun by 0.0005 degrees.
const deltaT = 69

// SunAt returns the position of the sun at a Julian date of universal time.
//
//	L = L0 + C, lambda = L - 0.00569 - 0.00478 sin Omega
//	tan alpha = cos eps sin lambda / cos lambda, sin delta = sin eps sin lambda
//
// The low-accuracy theory of Meeus, Astronomical Algorithms, chapter 25
// (eq. 25.2 to 25.8: 0.01 degrees), sidereal time 12.4, equation of time 28.1,
// horizontal coordinates 13.5 and 13.6, parallax in altitude by 8.794"/R. Good
// to 0.02 degrees of NREL SPA for 1900 to 2100; the azimuth has no meaning
// within that distance of the zenith.
func SunAt(jd float64, latitude, longitude units.Angle) Position {
	s := apparentSun(jd)
	h := math.Remainder(s.sidereal+float64(longitude)-s.alpha, 2*math.Pi)
	sinPhi, cosPhi := math.Sincos(float64(latitude))
	east, north, up := horizontal(s.sinDelta, s.cosDelta, h, sinPhi, cosPhi)
	zenith := math.Atan2(math.Hypot(east, north), up)
	zenith += solarParallax / s.r * math.Sin(zenith)
	azimuth := math.Atan2(east, north)
	if azimuth < 0 {
		azimuth += 2 * math.Pi
	}
	return Position{
		Zenith:         units.Angle(zenith),
		Azimuth:        units.Angle(azimuth),
		Declination:    units.Angle(math.Atan2(s.sinDelta, s.cosDelta)),
		HourAngle:      units.Angle(h),
		EquationOfTime: units.Duration(s.eqTime/(2*math.Pi)) * units.Day,
		Distance:       s.r,
	}
}

// solarParallax is the sun's equatorial horizontal parallax at 1 au [rad].
const solarParallax = 8.794 / 3600 * math.Pi / 180

// sunState is the sun among the stars at one instant.
type sunState struct {
	alpha              float64 // right ascension [rad]
	sinDelta, cosDelta float64
	sidereal           float64 // apparent, at Greenwich [rad]
	eqTime             float64 // [rad]
	r                  float64 // [au]
}

// apparentSun returns the apparent place of the sun at a Julian date of
// universal time.
func apparentSun(jd float64) sunState {
	const deg = math.Pi / 180
	d := jd - 2451545
	t := (d + deltaT/86400.0) / 36525
	l0 := (280.46646 + t*(36000.76983+t*0.0003032)) * deg // 25.2
	m := (357.52911 + t*(35999.05029-t*0.0001537)) * deg  // 25.3
	e := 0.016708634 - t*(0.000042037+t*0.0000001267)     // 25.4
	sinM, cosM := math.Sincos(m)
	c := (1.914602-t*(0.004817+t*0.000014))*sinM +
		(0.019993-0.000101*t)*2*sinM*cosM +
		0.000289*sinM*(3-4*sinM*sinM) // sin 2M and sin 3M by multiple angles
	c *= deg
	r := 1.000001018 * (1 - e*e) / (1 + e*math.Cos(m+c)) // 25.5
	sinOmega, cosOmega := math.Sincos((125.04 - 1934.136*t) * deg)
	nutation := -0.00478 * deg * sinOmega
	lambda := l0 + c - 0.00569*deg + nutation
	eps := (23.4392911-t*(0.0130042+t*1.64e-7))*deg + 0.00256*deg*cosOmega // 22.2, 25.8
	sinEps, cosEps := math.Sincos(eps)
	sinLambda, cosLambda := math.Sincos(lambda)
	alpha := math.Atan2(cosEps*sinLambda, cosLambda) // 25.6
	sinDelta := sinEps * sinLambda                   // 25.7
	tu := d / 36525
	sidereal := math.Mod(280.46061837+360.98564736629*d+tu*tu*0.000387933, 360) * deg // 12.4
	equinoxes := nutation * cosEps
	return sunState{
		alpha: alpha, sinDelta: sinDelta, cosDelta: math.Sqrt(1 - sinDelta*sinDelta),
		sidereal: sidereal + equinoxes,
		eqTime:   math.Remainder(l0-0.0057183*deg-alpha+equinoxes, 2*math.Pi), // 28.1
		r:        r,
	}
}

// horizontal returns the unit vector towards the sun for an hour angle [rad,
// afternoon positive].
//
//	east  = -cos delta sin h
//	north = sin delta cos phi - cos delta cos h sin phi
//	up    = sin phi sin delta + cos phi cos delta cos h
func horizontal(sinDelta, cosDelta, h, sinPhi, cosPhi float64) (east, north, up float64) {
	sinH, cosH := math.Sincos(h)
	return -cosDelta * sinH,
		sinDelta*cosPhi - cosDelta*cosH*sinPhi,
		sinPhi*sinDelta + cosPhi*cosDelta*cosH
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
