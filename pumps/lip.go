package pumps

import (
	"math"

	"sunrill/data/units"
)

// Weir returns the flow over a sharp straight crest of width b under head h, 0 where
// that is below the crest.
//
//	Q = (2/3) Cd b sqrt(2g) h^1.5
//
// Cd is 0.60 to 0.62. Respected authors disagree by far more at the small heads of a
// pond, so a lip needs margin, not decimals.
//
// Source: Poleni's formula, any textbook of hydraulics.
func Weir(cd float64, b, h units.Length) units.Flow {
	x := max(0, float64(h))
	return units.Flow(2.0 / 3 * cd * float64(b) * math.Sqrt(2*gravity) * x * math.Sqrt(x))
}

// lipCd is the lower end of Weir's, as a tank should not spill.
const lipCd = 0.60

// overLip returns the head at which a lip of width b passes flow q.
func overLip(b units.Length, q units.Flow) units.Length {
	return units.Length(math.Pow(float64(q)/float64(Weir(lipCd, b, 1)), 2.0/3))
}
