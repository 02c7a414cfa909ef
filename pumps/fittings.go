package pumps

import (
	"math"

	"sunrill/data/units"
)

// Loss is a sum of minor losses on the velocity head of one bore.
//
//	h = ( K + K1/Re + Kinf (1 + 1 inch/D) ) V²/2g
//
// K holds fittings with one coefficient, K1 and KInf those of the two-K
// method, which also holds at the low Reynolds numbers of small pumps. The
// zero value is no loss.
//
// Source of the two-K form: W. B. Hooper, Chemical Engineering 88 (1981),
// no. 17, p. 96.
type Loss struct {
	K, K1, KInf float64
}

// ExitLoss is the velocity head given up where the last pipe opens into a tank
// or over the water: K = 1.0, whatever the shape of the end. Books that print
// 1.06 multiply it by the kinetic-energy factor of turbulent flow.
const ExitLoss = 1.0

// Plus returns l with n of another loss added.
func (l Loss) Plus(n int, other Loss) Loss {
	c := float64(n)
	return Loss{K: l.K + c*other.K, K1: l.K1 + c*other.K1, KInf: l.KInf + c*other.KInf}
}

// At returns the coefficient that l comes to in bore d at Reynolds number re
// above 0.
func (l Loss) At(d units.Length, re float64) float64 {
	return l.K + TwoK(l.K1, l.KInf, d, re)
}

func (l Loss) validate(key string) []error {
	r := ranges{under: key + "."}
	for _, sum := range []float64{l.K, l.K1, l.KInf} { // one coefficient alone is never so large
		r.check(sum >= 0 && sum <= 1e6, "fittings", sum, "", "loss coefficients that add up to 0 to 1e6")
	}
	return r.faults
}

// TwoK returns Hooper's coefficient K = K1/Re + Kinf (1 + 1/D_inch) for a
// fitting of bore d at Reynolds number re above 0.
//
// Source: W. B. Hooper, Chemical Engineering 88 (1981), no. 17, p. 96.
func TwoK(k1, kinf float64, d units.Length, re float64) float64 {
	return k1/re + kinf*(1+1/d.In(units.Inch))
}

// SuddenExpansion returns the coefficient of a sudden widening from bore d1 to
// d2, on the velocity head of the smaller bore d1 (Borda-Carnot).
//
//	K = (1 - d1²/d2²)²
//
// 0 where d2 is not wider.
func SuddenExpansion(d1, d2 units.Length) float64 {
	if d2 <= d1 {
		return 0
	}
	x := 1 - float64(d1*d1/(d2*d2))
	return x * x
}

// SuddenContraction returns the coefficient of a sudden narrowing from bore d1
// to d2, on the velocity head of the smaller bore d2.
//
//	K = 0.5 (1 - d2²/d1²)
//
// 0 where d2 is not narrower. Rennels and Hudson give up to a third more.
//
// Source: Crane TP-410, sudden contraction.
func SuddenContraction(d1, d2 units.Length) float64 {
	if d2 >= d1 {
		return 0
	}
	return 0.5 * (1 - float64(d2*d2/(d1*d1)))
}

// MoveK returns coefficient k of bore from as a coefficient of bore to, for
// the same head lost at the same flow.
//
//	K_to = K_from (D_to/D_from)^4
func MoveK(k float64, from, to units.Length) float64 {
	r := float64(to / from)
	return k * r * r * r * r
}

// CraneFT returns the fully turbulent friction factor of clean commercial
// steel pipe of bore d, on which Crane's multiples (30 fT for an elbow) rest.
//
//	fT = 0.25 / [ log10( (eps/D)/3.7 ) ]²,  eps = 0.0018 inch
//
// Source: Crane TP-410, 2009 edition, appendix A; from memory.
func CraneFT(d units.Length) float64 {
	const eps = 0.0018 * units.Inch
	x := math.Log10(float64(eps/d) / 3.7)
	return 0.25 / (x * x)
}

// Orifice returns the flow through an opening of area a under head h,
// Q = Cd A sqrt(2 g h). A vent hole that lets air into a riser to break a
// siphon leaks this much while the pump runs.
func Orifice(cd float64, a units.Area, h units.Length) units.Flow {
	if h <= 0 {
		return 0
	}
	return units.Flow(cd * float64(a) * math.Sqrt(2*gravity*float64(h)))
}
