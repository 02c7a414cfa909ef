package solar

import (
	"math"

	"sunrill/data/units"
)

// Plane is how a panel lies.
type Plane struct {
	Tilt    units.Angle `json:"tilt_deg"`    // from the horizontal
	Azimuth units.Angle `json:"azimuth_deg"` // that it faces, clockwise from north
	Albedo  float64     // of the ground before it

	// AlbedoByMonth, where not nil, is used by an Array instead of Albedo: snow on
	// the ground.
	AlbedoByMonth *[12]float64
}

// albedo returns that of a month, 0 to 11.
func (p Plane) albedo(month int) float64 {
	if p.AlbedoByMonth != nil {
		return p.AlbedoByMonth[month]
	}
	return p.Albedo
}

// Normal returns the unit vector that stands on the plane.
func (p Plane) Normal() (east, north, up float64) {
	sinTilt, cosTilt := math.Sincos(float64(p.Tilt))
	sinAz, cosAz := math.Sincos(float64(p.Azimuth))
	return sinTilt * sinAz, sinTilt * cosAz, cosTilt
}

// SkyView and GroundView are the shares of the plane's view that an even sky
// and an even ground fill: (1 + cos b)/2 and (1 - cos b)/2.
func (p Plane) SkyView() float64 { return (1 + math.Cos(float64(p.Tilt))) / 2 }

// GroundView is the other share: see SkyView.
func (p Plane) GroundView() float64 { return (1 - math.Cos(float64(p.Tilt))) / 2 }

// leastCosZenith bounds Rb = cos theta/cos z at low sun (89 degrees).
const leastCosZenith = 0.01745
