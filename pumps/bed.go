package pumps

import (
	"sunrill/data"
	"sunrill/data/units"
)

// Bed is a gravel filter with water rising through all of its area. The zero
// value is no bed.
type Bed struct {
	Area  units.Area
	Depth units.Length // of gravel that the water passes
	Grain units.Length // particle size d
	Voids float64      // share of the bed that is water, e
}

// Present reports whether there is a bed at all.
func (b Bed) Present() bool { return b != Bed{} }

// Volume returns gravel and water together, area times depth.
func (b Bed) Volume() units.Volume { return units.Volume(float64(b.Area) * float64(b.Depth)) }

// RiseRate returns the upflow velocity Q/A on the whole area.
//
// Gravel upflow roughing filters are run at about 0.3 to 1.5 m/h (after
// Wegelin 1996, from memory).
func (b Bed) RiseRate(q units.Flow) units.Velocity {
	return units.Velocity(float64(q) / float64(b.Area))
}

// HeadLoss returns the head lost in the clean bed at flow q (Ergun).
//
//	dp/L = 150 mu (1-e)² v/(e³ d²) + 1.75 (1-e) rho v²/(e³ d)
//
// v is the rise rate and d the grain, taken as spheres. Valid for about
// 1 < Re/(1-e) < 2300; below, the second term vanishes, and nothing is lost by
// using both.
//
// A clean bed of gravel costs millimetres, one of fine grain centimetres. Clogging
// shows as less flow where the water rises through it, as a rising level where it
// sinks, and a bed in use passes 10 to 30 times less than a clean one (EPA Region 6,
// 1993, against this formula).
//
// Source: S. Ergun, Chem. Eng. Progress 48 (1952) 89.
func (b Bed) HeadLoss(q units.Flow, w Water) units.Length {
	linear, square := b.resistance(w)
	return units.Length(float64(q) * (linear + square*float64(q)))
}

// resistance returns h = linear Q + square Q² of the bed.
func (b Bed) resistance(w Water) (linear, square float64) {
	if !b.Present() {
		return 0, 0
	}
	e, d, a := b.Voids, float64(b.Grain), float64(b.Area)
	weight := w.Density * gravity
	deep := float64(b.Depth) / (e * e * e * weight)
	linear = deep * 150 * w.Viscosity * (1 - e) * (1 - e) / (d * d * a)
	square = deep * 1.75 * (1 - e) * w.Density / (d * a * a)
	return linear, square
}

func (b Bed) notes(q units.Flow, w Water) []data.Warning {
	if !b.Present() || q <= 0 {
		return nil
	}
	var notes data.Doubts
	notes.Say("filter", "a clean bed costs the pump {%.2g mm} of head, as water rises through it; "+
		"when it clogs less flows, or, fed from above, the level in the tank rises", b.HeadLoss(q, w).In(units.Millimetre))
	return notes
}
