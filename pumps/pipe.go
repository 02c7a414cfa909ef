package pumps

import (
	"math"

	"sunrill/data/units"
)

const gravity = units.StandardGravity

// Feed is one run of pipe or hose of one bore, with its fittings. Feeds in
// series make a System.
type Feed struct {
	Bore      units.Length // true inside diameter D
	Length    units.Length // L
	Roughness units.Length // eps; about 0.0015 mm for clean plastic
	Pitch     units.Length // distance of the ribs inside a ribbed hose; 0 for a smooth bore
	Loss      Loss         // minor losses on the velocity head of this bore
	Parts     float64      // of what sits in the run and is told by its own loss, as PartLoss [s²/m⁵]
	Cracking  units.Length // head below which a spring check valve stays shut; 0 for none
}

// PartLoss returns the resistance of a device in the line, such as a UV unit, a
// pressure filter or a strainer, whose maker tells the head that it takes at a flow
// above 0: k = h/Q² [s²/m⁵].
func PartLoss(head units.Length, flow units.Flow) float64 { return float64(head) / float64(flow*flow) }

// Area returns the cross-section pi D²/4.
func (f Feed) Area() units.Area { return units.Area(circle(float64(f.Bore))) }

// Contents returns the water that the run holds.
func (f Feed) Contents() units.Volume { return units.Volume(float64(f.Area()) * float64(f.Length)) }

// Velocity returns the mean velocity at flow q, V = Q/A.
func (f Feed) Velocity(q units.Flow) units.Velocity {
	return units.Velocity(float64(q) / circle(float64(f.Bore)))
}

// Reynolds returns the Reynolds number V D/nu at flow q.
func (f Feed) Reynolds(q units.Flow, w Water) float64 {
	return float64(f.Velocity(q)) * float64(f.Bore) / w.Kinematic()
}

// HeadLoss returns the head lost in the run at flow q (Darcy-Weisbach).
//
//	h = ( f L/D + K + K1/Re + Kinf (1 + 1 inch/D) ) V²/2g + parts
//
// Source: any textbook of hydraulics; the minor losses at Loss.
func (f Feed) HeadLoss(q units.Flow, w Water) units.Length {
	l := newLine(f, w)
	return units.Length(l.head(float64(q)))
}

// line is a Feed made ready for repeated solving.
type line struct {
	area      float64 // m²
	perV      float64 // Re = perV V, that is D/nu [s/m]
	roughness float64 // eps/D
	ribbed    float64 // friction factor of the ribs, 0 if smooth
	slender   float64 // L/D
	k         float64 // constant part of the minor losses
	k1        float64 // part divided by Re
	square    float64 // of parts, h = square Q² [s²/m⁵]
}

func newLine(f Feed, w Water) line {
	d := float64(f.Bore)
	l := line{
		area:      circle(d),
		perV:      d / w.Kinematic(),
		roughness: float64(f.Roughness) / d,
		slender:   float64(f.Length) / d,
		k:         f.Loss.K + f.Loss.KInf*(1+float64(units.Inch)/d),
		k1:        f.Loss.K1,
		square:    f.Parts,
	}
	if f.Pitch > 0 {
		l.ribbed = RibbedFriction(d, float64(f.Pitch))
	}
	return l
}

// friction returns the Darcy friction factor: Churchill's for a smooth bore,
// Hawthorne and von Helms' for a ribbed one.
func (l *line) friction(re float64) float64 {
	if l.ribbed > 0 {
		return max(l.ribbed, laminarFriction(re))
	}
	return Churchill(re, l.roughness)
}

// minor returns the coefficient of the minor losses at Reynolds number re above 0.
func (l *line) minor(re float64) float64 { return l.k + l.k1/re }

// head returns the head lost [m] at flow q [m³/s].
func (l *line) head(q float64) float64 {
	if q <= 0 {
		return 0
	}
	v := q / l.area
	re := v * l.perV
	if re < 1e-100 {
		return 0 // too little to divide by
	}
	loss := l.minor(re)
	if l.slender > 0 {
		loss += l.friction(re) * l.slender
	}
	return loss*v*v/(2*gravity) + l.square*q*q
}

func circle(d float64) float64 { return math.Pi / 4 * d * d }
