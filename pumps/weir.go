package pumps

import (
	"math"

	"sunrill/data/units"
)

// What an overflow takes. No key of a plan asks for it yet.

// Weir returns the flow over a sharp straight crest of width b under head h.
//
//	Q = (2/3) Cd b sqrt(2g) h^1.5
//
// Cd is 0.60 to 0.62. Respected authors disagree by far more at the small heads
// of a pond, so an overflow needs margin, not decimals.
//
// Source: Poleni's formula, any textbook of hydraulics.
func Weir(cd float64, b, h units.Length) units.Flow {
	x := max(0, float64(h))
	return units.Flow(2.0 / 3 * cd * float64(b) * math.Sqrt(2*gravity) * x * math.Sqrt(x))
}

// RehbockWeir returns the flow over a sharp crest as wide as its channel, of
// width b, with the sill p above the floor, under head h.
//
//	Q = (2/3) (0.602 + 0.0832 h/p) b sqrt(2g) (h + 0.00125 m)^1.5
//
// Valid for 30 mm < h < 0.75 m, p > 0.1 m, h/p < 1, b > 0.3 m.
//
// Source: T. Rehbock, discussion in Trans. ASCE 93 (1929) 1143.
func RehbockWeir(b, p, h units.Length) units.Flow {
	cd := 0.602 + 0.0832*float64(h/p)
	return Weir(cd, b, h+0.00125)
}

// VNotch returns the flow through a 90 degree notch under head h.
//
//	Q = (8/15) Cd sqrt(2g) (h + kh)^2.5
//
// With Cd 0.578 and kh 0.85 mm it is Kindsvater and Shen's, held to be good for
// heads from 50 mm.
//
// Source: ISO 1438, 90 degree notch; constants from memory.
func VNotch(cd float64, kh, h units.Length) units.Flow {
	if h <= 0 {
		return 0
	}
	return units.Flow(8.0 / 15 * cd * math.Sqrt(2*gravity) * math.Pow(float64(h+kh), 2.5))
}

// VNotchUSBR returns the flow through a 90 degree notch under head h by the
// empirical form of the US Bureau of Reclamation, Q = 2.49 h^2.48 in feet and
// seconds. From memory of its Water Measurement Manual.
func VNotchUSBR(h units.Length) units.Flow {
	if h <= 0 {
		return 0
	}
	const cubicFoot = 0.3048 * 0.3048 * 0.3048
	return units.Flow(2.49 * math.Pow(h.In(units.Foot), 2.48) * cubicFoot)
}

// Standpipe returns what an open upright pipe of bore d takes when the water
// stands h above its lip: the weir of its rim or the orifice of its bore,
// whichever passes less.
//
//	Q = min( (2/3) Cw pi D sqrt(2g) h^1.5,  Co (pi/4) D² sqrt(2gh) )
//
// Cw and Co are 0.60 to 0.62. A design convention: vortices and leaves take
// from it, so an overflow is given twice the flow it has to pass (common
// practice, no source).
func Standpipe(cw, co float64, d, h units.Length) (q units.Flow, orifice bool) {
	weir := Weir(cw, units.Length(math.Pi)*d, h)
	hole := Orifice(co, units.Area(circle(float64(d))), h)
	if hole < weir {
		return hole, true
	}
	return weir, false
}

// Level returns the head at which take passes flow q, between 0 and most; false
// where it does not. take must rise with the head: a weir, a notch, a standpipe.
func Level(take func(units.Length) units.Flow, q units.Flow, most units.Length) (units.Length, bool) {
	h, err := root(func(h float64) float64 { return float64(take(units.Length(h)) - q) }, 0, float64(most), 1e-9)
	return units.Length(h), err == nil
}
