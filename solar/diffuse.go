package solar

import (
	"math"

	"sunrill/data/units"
)

// ErbsHourly returns the diffuse share of hourly global irradiance for hourly
// clearness kt = G/G0.
//
//	kt <= 0.22: 1 - 0.09 kt
//	kt <= 0.80: 0.9511 - 0.1604 kt + 4.388 kt² - 16.638 kt³ + 12.336 kt⁴
//	above:      0.165
//
// Erbs, Klein & Duffie 1982 eq. 1.
func ErbsHourly(kt float64) float64 {
	switch {
	case kt <= 0:
		return 1
	case kt <= 0.22:
		return 1 - 0.09*kt
	case kt <= 0.80:
		return 0.9511 + kt*(-0.1604+kt*(4.388+kt*(-16.638+kt*12.336)))
	}
	return 0.165
}

// erbsSunset parts the two seasons of the daily and monthly correlations.
const erbsSunset = 81.4 * units.Degree

// ErbsDaily returns the diffuse share of one day's irradiation for daily
// clearness kt = H/H0 and sunset angle ws. It is constant from kt 0.715 (ws up
// to 81.4 degrees: 0.143) or 0.722 (above: 0.175). Erbs, Klein & Duffie 1982.
func ErbsDaily(ws units.Angle, kt float64) float64 {
	kt = math.Max(kt, 0)
	if ws <= erbsSunset {
		if kt >= 0.715 {
			return 0.143
		}
		return 1 + kt*(-0.2727+kt*(2.4495+kt*(-11.9514+kt*9.3879)))
	}
	if kt >= 0.722 {
		return 0.175
	}
	return 1 + kt*(0.2832+kt*(-2.5557+kt*0.8448))
}

// ErbsMonthly returns the diffuse share of a month's mean irradiation for
// monthly clearness kt = H/H0 and the sunset angle of the mean day.
//
//	ws <= 81.4 deg: 1.391 - 3.560 kt + 4.189 kt² - 2.137 kt³
//	above:          1.311 - 3.022 kt + 3.427 kt² - 1.821 kt³
//
// Erbs, Klein & Duffie 1982; published for kt 0.3 to 0.8, held at the ends
// outside.
func ErbsMonthly(ws units.Angle, kt float64) float64 {
	kt = clamp(kt, 0.3, 0.8)
	if ws <= erbsSunset {
		return 1.391 + kt*(-3.560+kt*(4.189-kt*2.137))
	}
	return 1.311 + kt*(-3.022+kt*(3.427-kt*1.821))
}

// ShareGlobal returns r_t, the share of a day's global irradiation in the hour
// whose middle is at hour angle w, for sunset angle ws.
//
//	r_t = (pi/24) (a + b cos w) (cos w - cos ws) / (sin ws - ws cos ws)
//	a = 0.409 + 0.5016 sin(ws - 60), b = 0.6609 - 0.4767 sin(ws - 60)
//
// Collares-Pereira & Rabl 1979. The shares of a day sum to 1 within 1 %:
// Geometry.Share holds them normalised. 0 outside sunrise to sunset.
func ShareGlobal(w, ws units.Angle) float64 {
	return newDayShares(float64(ws)).global(math.Cos(float64(w)))
}

// ShareDiffuse returns r_d, the share of a day's diffuse irradiation in the
// hour whose middle is at hour angle w, for sunset angle ws.
//
//	r_d = (pi/24) (cos w - cos ws) / (sin ws - ws cos ws)
//
// Liu & Jordan 1960. It is also the share of extraterrestrial irradiation.
// 0 outside sunrise to sunset.
func ShareDiffuse(w, ws units.Angle) float64 {
	return newDayShares(float64(ws)).diffuse(math.Cos(float64(w)))
}

// dayShares holds what the hour shares of one day have in common.
type dayShares struct{ a, b, cosWs, perDay float64 }

// newDayShares returns the shares of the day with sunset angle ws [rad].
func newDayShares(ws float64) dayShares {
	sinWs, cosWs := math.Sincos(ws)
	s := math.Sin(ws - math.Pi/3)
	d := dayShares{a: 0.409 + 0.5016*s, b: 0.6609 - 0.4767*s, cosWs: cosWs}
	if day := sinWs - ws*cosWs; day > 0 {
		d.perDay = math.Pi / 24 / day
	}
	return d
}

// diffuse returns r_d for the cosine of an hour angle.
func (d dayShares) diffuse(cosW float64) float64 { return math.Max(cosW-d.cosWs, 0) * d.perDay }

// global returns r_t for the cosine of an hour angle.
func (d dayShares) global(cosW float64) float64 { return (d.a + d.b*cosW) * d.diffuse(cosW) }
