package solar

import (
	"math"

	"sunrill/data"
	"sunrill/data/units"
)

// SolarConstant is the irradiance outside the atmosphere at 1 au [W/m²]
// (Kopp & Lean 2011, Geophysical Research Letters 38). Older handbooks use 1367.
const SolarConstant units.Irradiance = 1361

// DeclinationSpencer returns the declination on day n of the year by the
// Fourier series of Spencer 1971; off by up to 0.33 degrees.
func DeclinationSpencer(n float64) units.Angle {
	b := 2 * math.Pi * (n - 1) / 365
	return units.Angle(0.006918 - 0.399912*math.Cos(b) + 0.070257*math.Sin(b) -
		0.006758*math.Cos(2*b) + 0.000907*math.Sin(2*b) - 0.002697*math.Cos(3*b) + 0.00148*math.Sin(3*b))
}

// EccentricitySpencer returns (mean distance/distance)² on day n of the year
// by the Fourier series of Spencer 1971.
func EccentricitySpencer(n float64) float64 {
	b := 2 * math.Pi * (n - 1) / 365
	return 1.00011 + 0.034221*math.Cos(b) + 0.00128*math.Sin(b) + 0.000719*math.Cos(2*b) + 0.000077*math.Sin(2*b)
}

// SunsetAngle returns the hour angle of sunset of the sun's centre without
// refraction: 0 in polar night, 180 degrees in polar day.
//
//	cos ws = -tan phi tan delta
func SunsetAngle(latitude, declination units.Angle) units.Angle {
	return units.Angle(math.Acos(clamp(-math.Tan(float64(latitude))*math.Tan(float64(declination)), -1, 1)))
}

// DailyExtraterrestrial returns the irradiation of a horizontal plane outside
// the atmosphere in one day [kWh/m²].
//
//	H0 = (24/pi) Gsc E (cos phi cos delta sin ws + ws sin phi sin delta)
//
// Duffie & Beckman eq. 1.10.3, with ws of SunsetAngle, so it holds in polar
// night (0) and polar day too.
func DailyExtraterrestrial(latitude, declination units.Angle, eccentricity float64, gsc units.Irradiance) float64 {
	sinPhi, cosPhi := math.Sincos(float64(latitude))
	sinDelta, cosDelta := math.Sincos(float64(declination))
	ws := float64(SunsetAngle(latitude, declination))
	h0 := 24 / math.Pi * float64(gsc) / 1000 * eccentricity * (cosPhi*cosDelta*math.Sin(ws) + ws*sinPhi*sinDelta)
	return math.Max(h0, 0)
}

// KleinDays is the day of the year, for each month, whose extraterrestrial
// irradiation is closest to the month's mean (Klein 1977). Not for latitudes
// beyond 66.5 degrees.
var KleinDays = [12]float64{17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344}

// MonthlyExtraterrestrial returns the mean over the days of each month of
// DailyExtraterrestrial [kWh/m² a day], with Spencer's declination and
// distance and SolarConstant.
func MonthlyExtraterrestrial(latitude units.Angle) [12]float64 {
	var h0 [12]float64
	n := 0.0
	for m, days := range data.MonthDays {
		for range days {
			n++
			h0[m] += DailyExtraterrestrial(latitude, DeclinationSpencer(n), EccentricitySpencer(n), SolarConstant)
		}
		h0[m] /= float64(days)
	}
	return h0
}

// clamp returns x held between low and high.
func clamp(x, low, high float64) float64 { return math.Min(math.Max(x, low), high) }
