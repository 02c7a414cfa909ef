package pumps

import (
	"cmp"
	"math"
	"slices"

	"sunrill/data"
	"sunrill/data/units"
)

// PondSpec describes a pond, within the ranges that a plan takes.
type PondSpec struct {
	// Shape is how the volume is worked out, as a plan names it: rectangle, round and oval
	// have upright sides, a frustum of either has sloping ones, a bowl is dished, and depths
	// are soundings spread evenly over the surface, or belong to Areas, the surface first.
	Shape                     string
	Volume                    units.Volume // beats every shape
	Length, Width, Diameter   units.Length
	Depth                     units.Length // greatest
	BottomLength, BottomWidth units.Length
	BottomDiameter            units.Length
	Depths                    []units.Length
	Areas                     []units.Area
	// Surface is needed where the shape does not give it. It overrides that of
	// a shape, and with upright sides and bowls the volume follows it.
	Surface units.Area
	// Error is the share by which the volume may be wrong either way.
	Error float64
}

// Pond is a body of water whose area is known at every height. It does not
// change once made; NewPond makes one.
type Pond struct {
	spec   PondSpec
	slices []slice // from the floor up
}

// slice is a layer of the pond between heights z0 and z1 above the floor [m],
// with area a0 + a1 z + a2 z² [m²] at height z above z0.
type slice struct {
	z0, z1, a0, a1, a2 float64
}

// layer returns the slice of the areas at its floor, half way up and at its top, between
// which straight sides of any plan have that area.
func layer(z0, z1, floor, middle, top float64) slice {
	h := z1 - z0
	return slice{z0, z1, floor, (4*middle - 3*floor - top) / h, 2 * (floor + top - 2*middle) / (h * h)}
}

func (s slice) volume(z float64) float64 {
	x := min(max(z, s.z0), s.z1) - s.z0
	return x * (s.a0 + x*(s.a1/2+x*s.a2/3))
}

// NewPond returns the pond that spec describes, or why it holds no water.
//
// A pond with sloping sides is integrated over its depth, which for straight
// sides is the prismoidal formula; length times width times depth would say up
// to 70 % too much. Between contours the sides are taken as those of a cone,
//
//	V = h/3 (A1 + A2 + sqrt(A1 A2))
//
// and soundings are averaged over the surface. A bowl holds half of area times
// depth. Where only the volume is known, the sides are taken as upright over
// Surface, else down to Depth, else one metre deep.
func NewPond(spec PondSpec) (*Pond, error) {
	p := &Pond{spec: spec, slices: spec.slices()}
	v := units.Volume(0)
	if len(p.slices) > 0 {
		v = p.Volume()
	}
	if !(v > 0 && v < 1e9) {
		return nil, data.Outside("pond.volume", v, "above 0 m³, below 1e9 m³")
	}
	return p, nil
}

// top returns the area of the surface from the dimensions [m²], 0 where they do not tell.
func (s PondSpec) top() float64 {
	switch {
	case s.Surface > 0:
		return float64(s.Surface)
	case len(s.Areas) > 0:
		return float64(s.Areas[0])
	case s.Diameter > 0:
		return circle(float64(s.Diameter))
	case s.Shape == "oval" || s.Shape == "bowl":
		return math.Pi / 4 * float64(s.Length*s.Width)
	}
	return float64(s.Length * s.Width)
}

func (s PondSpec) slices() []slice {
	h, a := float64(s.Depth), s.top()
	switch {
	case s.Volume > 0:
		v := float64(s.Volume)
		if a == 0 {
			a = v / cmp.Or(h, 1)
		}
		return []slice{{z1: v / a, a0: a}}
	case s.Shape == "bowl":
		return []slice{layer(0, h, 0, a/2, a)}
	case len(s.Areas) > 0:
		return s.contoured()
	case s.Shape == "depths":
		return s.sounded()
	case s.Shape == "frustum":
		at := func(x float64) float64 { // share of the way up
			between := func(bottom, top units.Length) float64 { return float64(bottom) + x*float64(top-bottom) }
			if s.Diameter > 0 {
				return circle(between(s.BottomDiameter, s.Diameter))
			}
			return between(s.BottomLength, s.Length) * between(s.BottomWidth, s.Width)
		}
		return []slice{layer(0, h, at(0), at(0.5), at(1))}
	}
	return []slice{{z1: h, a0: a}}
}

// Volume returns the water in the pond.
func (p *Pond) Volume() units.Volume { return p.VolumeBelow(p.Depth()) }

// Range returns the volume less and more its error.
func (p *Pond) Range() (low, high units.Volume) {
	v := p.Volume()
	return v * units.Volume(1-p.spec.Error), v * units.Volume(1+p.spec.Error)
}

// Depth returns the greatest depth.
func (p *Pond) Depth() units.Length { return units.Length(p.slices[len(p.slices)-1].z1) }

// Surface returns the area of the full pond.
func (p *Pond) Surface() units.Area {
	if p.spec.Surface > 0 {
		return p.spec.Surface
	}
	s := p.slices[len(p.slices)-1]
	x := s.z1 - s.z0
	return units.Area(s.a0 + x*(s.a1+x*s.a2))
}

// SurfaceKnown reports whether the surface was given or follows from the shape;
// a bare volume has none and is taken as one metre deep.
func (p *Pond) SurfaceKnown() bool { return p.spec.top() > 0 }

// VolumeBelow returns the water below height z above the deepest floor: what
// stays when the level has fallen to there.
func (p *Pond) VolumeBelow(z units.Length) units.Volume {
	sum := 0.0
	for _, s := range p.slices {
		sum += s.volume(float64(z))
	}
	return units.Volume(sum)
}

// sounded returns the layers of a pond whose soundings each stand for an equal
// share of the surface: as the level falls past a sounding, its share is dry.
func (s PondSpec) sounded() []slice {
	depths := append([]units.Length{0}, s.Depths...) // up to the surface
	slices.Sort(depths)
	share := s.top() / float64(len(s.Depths))
	deepest := depths[len(s.Depths)]
	var layers []slice
	for i := len(s.Depths); i > 0; i-- {
		d, next := depths[i], depths[i-1]
		if d > next {
			layers = append(layers, slice{z0: float64(deepest - d), z1: float64(deepest - next), a0: share * float64(len(s.Depths)+1-i)})
		}
	}
	return layers
}

// contoured returns the layers between areas at depths. The side of each layer
// is straight in the square root of its area, as in a cone, so that its volume
// is h/3 (A1 + A2 + sqrt(A1 A2)).
func (s PondSpec) contoured() []slice {
	n := len(s.Depths) - 1
	deepest := float64(s.Depths[n])
	var layers []slice
	for i := n; i > 0; i-- {
		z0, z1 := deepest-float64(s.Depths[i]), deepest-float64(s.Depths[i-1])
		half := (math.Sqrt(float64(s.Areas[i])) + math.Sqrt(float64(s.Areas[i-1]))) / 2
		layers = append(layers, layer(z0, z1, float64(s.Areas[i]), half*half, float64(s.Areas[i-1])))
	}
	return layers
}
