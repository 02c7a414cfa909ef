package solar

import (
	"math"

	"sunrill/data/units"
)

// Loss is one named loss, as the share of power that it takes.
type Loss struct {
	Name  string  `json:"name"`
	Share float64 `json:"fraction"`
}

// LossProduct returns the share that all losses take together.
//
//	L = 1 - (1 - L1)(1 - L2)...
//
// Dobos 2014, NREL/TP-6A20-62641.
func LossProduct(losses []Loss) float64 {
	left := 1.0
	for _, l := range losses {
		left *= 1 - l.Share
	}
	return 1 - left
}

// Incidence is a model of what the glass turns away as the sun comes in at a
// slant.
type Incidence int

// The models of incidence loss.
const (
	IncidencePhysical Incidence = iota // glass of refractive index 1.526, 4 /m, 2 mm: De Soto et al. 2006
	IncidenceNone                      // counted elsewhere
)

// Modifier returns the share of beam that passes at incidence cosine c.
func (m Incidence) Modifier(c float64) float64 {
	switch {
	case m == IncidenceNone:
		return 1
	case !(c > 0):
		return 0
	}
	return ModifierPhysical(c)
}

// ModifierPhysical returns the transmittance of a glass cover at the incidence
// cosine c over that at right angles, by Snell, Fresnel and Bouguer.
//
//	tau = exp(-K L/cos r) [1 - (sin²(r - i)/sin²(r + i) + tan²(r - i)/tan²(r + i))/2]
//
// De Soto, Klein & Beckman 2006, with n 1.526, K 4 /m, L 2 mm.
func ModifierPhysical(c float64) float64 {
	const n, kl = 1.526, 4 * 0.002
	if !(c > 0) {
		return 0
	}
	c = math.Min(c, 1)
	cosR := math.Sqrt(1 - (1-c*c)/(n*n))
	// Fresnel in cosines: the same as the sine and tangent form, and finite at 0.
	perpendicular := (c - n*cosR) / (c + n*cosR)
	parallel := (n*c - cosR) / (n*c + cosR)
	passed := 1 - (perpendicular*perpendicular+parallel*parallel)/2
	straight := (n - 1) / (n + 1)
	return math.Exp(-kl*(1/cosR-1)) * passed / (1 - straight*straight)
}

// diffuseCosines returns the incidence cosines at which even sky and even
// ground light pass like beam.
//
//	sky 59.7 - 0.1388 b + 0.001497 b², ground 90 - 0.5788 b + 0.002693 b² degrees
//
// Brandemuehl & Beckman 1980 (Duffie & Beckman eq. 5.4.1, 5.4.2; from memory).
func diffuseCosines(tilt units.Angle) (sky, ground float64) {
	b := tilt.In(units.Degree)
	return math.Cos((59.7 - 0.1388*b + 0.001497*b*b) * math.Pi / 180),
		math.Cos((90 - 0.5788*b + 0.002693*b*b) * math.Pi / 180)
}

// CellTemperature returns the temperature of a panel's cells [°C].
//
//	Tc = Ta + (NOCT - 20) G/800
//
// Ross 1980; G in W/m² on the panel, wind not counted.
func CellTemperature(tempC, poa, noctC float64) float64 {
	return tempC + (noctC-20)/800*poa
}

// PowerRatio returns the power of a panel over its nameplate at irradiance poa
// [W/m²] and cell temperature cellC [°C]; gamma is the temperature coefficient
// [1/K]. Never below 0.
//
//	P/Pstc = G/1000 [1 + gamma (Tc - 25)]
//
// Dobos 2014.
func PowerRatio(poa, cellC, gamma float64) float64 {
	return math.Max(poa/1000*(1+gamma*(cellC-25)), 0)
}

// Shade is the share of light that trees and walls take, by calendar month and
// by clock hour; the two multiply. It takes the beam only, or with Whole the
// light from everywhere, as a cell string in part shade does.
type Shade struct {
	ByMonth [12]float64
	ByHour  [24]float64
	Whole   bool
}

// left returns what the shade leaves.
func (s *Shade) left(month, hour int) float64 { return (1 - s.ByMonth[month]) * (1 - s.ByHour[hour]) }

// Panel is what a panel makes of the light on it, for each watt of nameplate.
type Panel struct {
	Gamma     float64     // temperature coefficient of power [1/K], negative
	NOCT      float64     // nominal operating cell temperature [°C]
	Incidence Incidence   // loss of slanting light
	Losses    []Loss      // soiling, mismatch, wiring, age and so on
	Shade     Shade       // trees and walls
	Snow      [12]float64 // share of each month's yield that snow on the panel takes
}
