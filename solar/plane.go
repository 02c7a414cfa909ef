package solar

import (
	"math"

	"sunrill/data/units"
)

// Plane is how a panel lies.
type Plane struct {
	Tilt    units.Angle // from the horizontal
	Azimuth units.Angle // that it faces, clockwise from north
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

// Parts is irradiance on a tilted plane by where it comes from [W/m²].
type Parts struct{ Beam, Circumsolar, Sky, Ground float64 }

// Isotropic returns the irradiance on a plane under an even sky.
//
//	beam = DNI cos theta, sky = DHI (1 + cos b)/2, ground = GHI albedo (1 - cos b)/2
//
// Liu & Jordan 1963. cosTheta below 0 counts as 0.
func Isotropic(p Plane, ghi, dni, dhi, cosTheta float64) Parts {
	return Parts{
		Beam:   dni * math.Max(cosTheta, 0),
		Sky:    dhi * p.SkyView(),
		Ground: ghi * p.Albedo * p.GroundView(),
	}
}

// HayDavies returns the irradiance on a plane under a sky that is brighter
// around the sun, extraNormal being the irradiance outside the atmosphere on a
// plane facing the sun.
//
//	A = DNI/extraNormal, Rb = max(cos theta, 0)/max(cos z, 0.01745)
//	circumsolar = DHI A Rb, sky = DHI (1 - A) (1 + cos b)/2
//
// Hay & Davies 1980; beam and ground as Isotropic. The bound of cos z keeps Rb
// finite at low sun.
func HayDavies(p Plane, ghi, dni, dhi, extraNormal, cosZenith, cosTheta float64) Parts {
	parts := Isotropic(p, ghi, dni, dhi, cosTheta)
	a := clamp(dni/extraNormal, 0, 1)
	rb := math.Max(cosTheta, 0) / math.Max(cosZenith, leastCosZenith)
	parts.Circumsolar = dhi * a * rb
	parts.Sky *= 1 - a
	return parts
}
