package pumps

import (
	"cmp"
	"math"

	"sunrill/data"
	"sunrill/data/units"
)

// PondSpec describes a pond, within the ranges that a plan takes.
type PondSpec struct {
	// Shape is how the volume is worked out, as a plan names it: rectangle, round and oval
	// have upright sides, a frustum of either has sloping ones, a bowl is dished, and depths
	// are soundings spread evenly over the surface.
	Shape                     string
	Volume                    units.Volume // beats every shape
	Length, Width, Diameter   units.Length
	Depth                     units.Length // greatest
	BottomLength, BottomWidth units.Length
	BottomDiameter            units.Length
	Depths                    []units.Length
	// Surface is needed where the shape does not give it. It overrides that of
	// a shape, and with upright sides and bowls the volume follows it.
	Surface units.Area
	// Error is the share by which the volume may be wrong either way.
	Error float64
}

// Pond is a body of water whose volume is known below every height. It does not
// change once made; NewPond makes one.
type Pond struct {
	spec      PondSpec
	depth     float64 // [m]
	surface   float64 // [m²]
	volume, n float64 // of sides by a power law [m³]
}

// NewPond returns the pond that spec describes, or why it holds no water.
//
// A frustum is integrated over its depth, which for straight sides is the prismoidal
// formula; length times width times depth would say up to 70 % too much. As the level
// falls past a sounding, its share of the surface is dry. All others have sides by a power
// law, so that
//
//	V(z) = V (z/D)^(n+1)
//
// with n = 0 for upright sides and 1 for a bowl, which holds half of area times depth. A
// given volume with surface As and depth D known has n = As D/V - 1, so that what lies below
// an intake is not taken for more than it is; above As D its sides are upright over As, and
// where As is not known down to D, else one metre deep.
func NewPond(spec PondSpec) (*Pond, error) {
	p := &Pond{spec: spec, depth: float64(spec.Depth), surface: spec.top()}
	p.volume = p.surface * p.depth
	switch {
	case spec.Volume > 0:
		p.volume = float64(spec.Volume)
		p.n = p.surface*p.depth/p.volume - 1
		const steepest = 8 // beyond it depth is that of one spot
		if p.n <= 0 || p.n > steepest {
			p.surface = cmp.Or(p.surface, p.volume/cmp.Or(p.depth, 1))
			p.n, p.depth = 0, p.volume/p.surface
		}
	case spec.Shape == "bowl":
		p.volume, p.n = p.volume/2, 1
	case spec.Shape == "depths":
		p.depth = 0
		for _, d := range spec.Depths {
			p.depth = max(p.depth, float64(d))
		}
	}
	if v := p.Volume(); !(v > 0 && v < 1e9) {
		return nil, data.Outside("pond.volume", v, "above 0 m³, below 1e9 m³")
	}
	return p, nil
}

// top returns the area of the surface from the dimensions [m²], 0 where they do not tell.
func (s PondSpec) top() float64 {
	switch {
	case s.Surface > 0:
		return float64(s.Surface)
	case s.Diameter > 0:
		return circle(float64(s.Diameter))
	case s.Shape == "oval" || s.Shape == "bowl":
		return math.Pi / 4 * float64(s.Length*s.Width)
	}
	return float64(s.Length * s.Width)
}

// below returns the water below a height from 0 to the depth [m³].
func (p *Pond) below(z float64) (v float64) {
	switch {
	case p.spec.Volume > 0:
	case p.spec.Shape == "depths":
		for _, d := range p.spec.Depths {
			v += p.surface / float64(len(p.spec.Depths)) * max(0, z-(p.depth-float64(d)))
		}
		return v
	case p.spec.Shape == "frustum":
		return z / 6 * (p.spec.area(0) + 4*p.spec.area(z/p.depth/2) + p.spec.area(z/p.depth))
	}
	return p.volume * math.Pow(z/p.depth, p.n+1)
}

// area returns that of a frustum at a share of the way up [m²].
func (s PondSpec) area(x float64) float64 {
	between := func(bottom, top units.Length) float64 { return float64(bottom) + x*float64(top-bottom) }
	if s.Diameter > 0 {
		return circle(between(s.BottomDiameter, s.Diameter))
	}
	return between(s.BottomLength, s.Length) * between(s.BottomWidth, s.Width)
}

// Volume returns the water in the pond.
func (p *Pond) Volume() units.Volume { return units.Volume(p.below(p.depth)) }

// Range returns the volume less and more its error.
func (p *Pond) Range() (low, high units.Volume) {
	v := p.Volume()
	return v * units.Volume(1-p.spec.Error), v * units.Volume(1+p.spec.Error)
}

// Depth returns the greatest depth.
func (p *Pond) Depth() units.Length { return units.Length(p.depth) }

// Surface returns the area of the full pond.
func (p *Pond) Surface() units.Area { return units.Area(p.surface) }

// SurfaceKnown reports whether the surface was given or follows from the shape;
// a bare volume has none and is taken as one metre deep.
func (p *Pond) SurfaceKnown() bool { return p.spec.top() > 0 }

// VolumeBelow returns the water below height z above the deepest floor: what
// stays when the level has fallen to there.
func (p *Pond) VolumeBelow(z units.Length) units.Volume {
	return units.Volume(p.below(min(max(0, float64(z)), p.depth)))
}
