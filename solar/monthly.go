package solar

import (
	"math"

	"sunrill/data/units"
)

// MonthlyBeamRatio returns Rb, the ratio of a mean day's beam on a plane that
// faces the equator to that on the horizontal, outside the atmosphere.
//
//	Rb = [cos(phi-b) cos d sin ws' + ws' sin(phi-b) sin d] / [cos phi cos d sin ws + ws sin phi sin d]
//	ws' = min(ws, acos(-tan(phi-b) tan d)), phi + b in the southern half
//
// Liu & Jordan 1962, Klein 1977. 0 where the day has no sun. For checks: the
// engine works by the hour.
func MonthlyBeamRatio(latitude, declination, tilt units.Angle) float64 {
	if latitude < 0 { // mirror the sky instead of the panel
		latitude, declination = -latitude, -declination
	}
	ws := SunsetAngle(latitude, declination)
	horizontal := dayUp(latitude, declination, ws)
	if !(horizontal > 0) {
		return 0
	}
	facing := latitude - tilt
	return math.Max(dayUp(facing, declination, min(ws, SunsetAngle(facing, declination))), 0) / horizontal
}

// dayUp returns the integral of the zenith cosine from noon to hour angle ws
// for a horizontal plane at a latitude.
func dayUp(latitude, declination, ws units.Angle) float64 {
	sinPhi, cosPhi := math.Sincos(float64(latitude))
	sinDelta, cosDelta := math.Sincos(float64(declination))
	return cosPhi*cosDelta*math.Sin(float64(ws)) + float64(ws)*sinPhi*sinDelta
}

// MonthlyTilted returns a month's mean irradiation on a plane that faces the
// equator [in the unit of h], from its mean h on the horizontal and its
// diffuse share fd, under an even sky.
//
//	HT = H [(1 - fd) Rb + fd (1 + cos b)/2 + albedo (1 - cos b)/2]
//
// Klein 1977; Duffie & Beckman eq. 2.19.1. For checks.
func MonthlyTilted(h, fd, rb float64, plane Plane) float64 {
	return h * ((1-fd)*rb + fd*plane.SkyView() + plane.Albedo*plane.GroundView())
}
