package pumps

import (
	"math"

	"sunrill/data/units"
)

// section is the water in a round pipe of diameter d filled to depth y [m].
//
//	theta = 2 acos(1 - 2y/D),  A = D²/8 (theta - sin theta),  P = D theta/2
type section struct {
	area      float64 // A [m²]
	perimeter float64 // P, wetted [m]
	width     float64 // T, of the free surface [m]; 0 when full
}

func sectionAt(d, y float64) section {
	if y >= d {
		return section{area: circle(d), perimeter: math.Pi * d}
	}
	if y <= 0 {
		return section{}
	}
	theta := 2 * math.Acos(1-2*y/d)
	return section{
		area:      d * d / 8 * (theta - math.Sin(theta)),
		perimeter: d * theta / 2,
		width:     d * math.Sin(theta/2),
	}
}

// manning returns the flow per square root of slope, A R^(2/3)/n [m³/s].
func (s section) manning(n float64) float64 {
	if s.perimeter == 0 {
		return 0
	}
	radius := s.area / s.perimeter
	return s.area * math.Cbrt(radius*radius) / n
}

// conveyance returns Manning's flow per square root of slope in s, capped at the full
// pipe's so that more depth is never less flow.
func (r Return) conveyance(s section) float64 {
	d := float64(r.Bore)
	return min(s.manning(r.Manning), sectionAt(d, d).manning(r.Manning))
}

// NormalDepth returns the depth of uniform flow q, and false where the pipe
// does not carry q with a free surface.
func (r Return) NormalDepth(q units.Flow) (units.Length, bool) {
	d, root2 := float64(r.Bore), math.Sqrt(max(0, r.Fall))
	if q <= 0 {
		return 0, true
	}
	if r.conveyance(sectionAt(d, d))*root2 <= float64(q) {
		return 0, false
	}
	return units.Length(root(func(y float64) float64 { return r.conveyance(sectionAt(d, y))*root2 - float64(q) }, 0, d, 1e-9)), true
}

// CriticalFlow returns the flow that runs at critical depth y in a round pipe of bore d.
//
//	Q = sqrt(g A³/T)
//
// Valid below a full pipe.
//
// Source: any textbook of open-channel flow, for example Chow 1959, chapter 4.
func CriticalFlow(d, y units.Length) units.Flow {
	s := sectionAt(float64(d), float64(y))
	if s.width == 0 {
		return 0
	}
	return units.Flow(math.Sqrt(gravity * s.area * s.area * s.area / s.width))
}

// CriticalDepth returns the depth at which flow q runs critical in a round pipe
// of bore d. It comes ever nearer to the bore as the flow grows.
func CriticalDepth(d units.Length, q units.Flow) units.Length {
	if q <= 0 {
		return 0
	}
	// Above this depth the surface is too narrow to compute with.
	full := float64(d) * (1 - 1e-9)
	if q >= CriticalFlow(d, units.Length(full)) {
		return units.Length(full)
	}
	return units.Length(root(func(y float64) float64 {
		return float64(CriticalFlow(d, units.Length(y)) - q)
	}, 0, full, 1e-10))
}
