package solar

import "math"

// The formulas of handbooks that published tables were made with, and that the
// arrays are held to hour by hour.

// parts is irradiance on a tilted plane by where it comes from [W/m²].
type parts struct{ Beam, Circumsolar, Sky, Ground float64 }

// isotropic returns the irradiance on a plane under an even sky.
//
//	beam = DNI cos theta, sky = DHI (1 + cos b)/2, ground = GHI albedo (1 - cos b)/2
//
// Liu & Jordan 1963. cosTheta below 0 counts as 0.
func isotropic(p Plane, ghi, dni, dhi, cosTheta float64) parts {
	return parts{
		Beam:   dni * math.Max(cosTheta, 0),
		Sky:    dhi * p.SkyView(),
		Ground: ghi * p.Albedo * p.GroundView(),
	}
}

// hayDavies returns the irradiance on a plane under a sky that is brighter
// around the sun, extraNormal being the irradiance outside the atmosphere on a
// plane facing the sun.
//
//	A = DNI/extraNormal, Rb = max(cos theta, 0)/max(cos z, 0.01745)
//	circumsolar = DHI A Rb, sky = DHI (1 - A) (1 + cos b)/2
//
// Hay & Davies 1980; beam and ground as isotropic. The bound of cos z keeps Rb
// finite at low sun.
func hayDavies(p Plane, ghi, dni, dhi, extraNormal, cosZenith, cosTheta float64) parts {
	sum := isotropic(p, ghi, dni, dhi, cosTheta)
	a := clamp(dni/extraNormal, 0, 1)
	rb := math.Max(cosTheta, 0) / math.Max(cosZenith, leastCosZenith)
	sum.Circumsolar = dhi * a * rb
	sum.Sky *= 1 - a
	return sum
}
