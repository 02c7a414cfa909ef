package solar

import "math"

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

// diffuse returns r_d, the share of a day's diffuse irradiation in the hour whose
// middle is at the hour angle of that cosine; 0 outside sunrise to sunset.
//
//	r_d = (pi/24) (cos w - cos ws) / (sin ws - ws cos ws)
//
// Liu & Jordan 1960. It is also the share of extraterrestrial irradiation.
func (d dayShares) diffuse(cosW float64) float64 { return math.Max(cosW-d.cosWs, 0) * d.perDay }

// global returns r_t, the same share of a day's global irradiation.
//
//	r_t = (a + b cos w) r_d
//	a = 0.409 + 0.5016 sin(ws - 60), b = 0.6609 - 0.4767 sin(ws - 60)
//
// Collares-Pereira & Rabl 1979. The shares of a day sum to 1 within 1 %:
// Geometry.Share holds them normalised.
func (d dayShares) global(cosW float64) float64 { return (d.a + d.b*cosW) * d.diffuse(cosW) }
