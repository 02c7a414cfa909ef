package pumps

import (
	"math"
	"sort"
)

// sounded returns the layers of a pond whose soundings each stand for an equal
// share of the surface: as the level falls past a sounding, its share is dry.
func (s PondSpec) sounded() []slice {
	depths := make([]float64, len(s.Depths))
	for i, d := range s.Depths {
		depths[i] = float64(d)
	}
	sort.Sort(sort.Reverse(sort.Float64Slice(depths)))
	share := s.top() / float64(len(depths))
	deepest := depths[0]
	var layers []slice
	for i, d := range depths {
		next := 0.0 // up to the surface
		if i+1 < len(depths) {
			next = depths[i+1]
		}
		if d > next {
			layers = append(layers, slice{z0: deepest - d, z1: deepest - next, a0: share * float64(i+1)})
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
		r0 := math.Sqrt(float64(s.Areas[i]))
		g := (math.Sqrt(float64(s.Areas[i-1])) - r0) / (z1 - z0)
		layers = append(layers, slice{z0: z0, z1: z1, a0: r0 * r0, a1: 2 * r0 * g, a2: g * g})
	}
	return layers
}
