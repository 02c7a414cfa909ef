package solar

import (
	"math"
	"testing"

	"sunrill/data/reftest"
	"sunrill/data/units"
)

// total returns what falls on a plane in all.
func total(p parts) float64 { return p.Beam + p.Circumsolar + p.Sky + p.Ground }

func TestTranspositionTable(t *testing.T) {
	for _, row := range reftest.Load(t, "transposition.csv") {
		p := Plane{Tilt: units.Angle(row.Float("tilt_deg")) * deg,
			Azimuth: units.Angle(row.Float("surface_azimuth_deg")) * deg, Albedo: row.Float("albedo")}
		sinZ, cosZ := math.Sincos(row.Float("zenith_deg") * math.Pi / 180)
		sinA, cosA := math.Sincos(row.Float("sun_azimuth_deg") * math.Pi / 180)
		east, north, up := p.Normal()
		cosTheta := east*sinZ*sinA + north*sinZ*cosA + up*cosZ
		ghi, dni, dhi := row.Float("ghi"), row.Float("dni"), row.Float("dhi")
		iso := isotropic(p, ghi, dni, dhi, cosTheta)
		hd := hayDavies(p, ghi, dni, dhi, row.Float("extra_normal"), cosZ, cosTheta)
		for _, c := range []struct {
			column string
			got    float64
		}{
			{"aoi_deg", math.Acos(math.Min(cosTheta, 1)) * 180 / math.Pi},
			{"poa_beam", hd.Beam},
			{"poa_ground", hd.Ground},
			{"sky_isotropic", iso.Sky},
			{"sky_haydavies", hd.Sky + hd.Circumsolar},
			{"poa_isotropic", total(iso)},
			{"poa_haydavies", total(hd)},
		} {
			want := row.Float(c.column)
			within(t, row.At+" "+c.column, c.got, want, 1e-6*math.Max(want, 1))
		}
	}
}

func TestS2S3Incidence(t *testing.T) {
	// Duffie & Beckman example 1.6.1: 43 N, 13 February, 10:30 solar time, slope
	// 45, 15 degrees west of south: cos theta 0.817. Example 1.8.1: Rb 1.66.
	// The book rounds the declination, -13.95 by Cooper, to -14.
	within(t, "delta", declinationCooper(44).In(deg), -14, 0.1)
	delta := -14 * deg
	s, c := math.Sincos(float64(delta))
	east, north, up := horizontal(s, c, -22.5*math.Pi/180, math.Sin(43*math.Pi/180), math.Cos(43*math.Pi/180))
	ne, nn, nu := Plane{Tilt: 45 * deg, Azimuth: 195 * deg}.Normal()
	cosTheta := east*ne + north*nn + up*nu
	within(t, "cos theta", cosTheta, 0.817, 0.0005)
	within(t, "theta", math.Acos(cosTheta)*180/math.Pi, 35, 0.5)
	within(t, "Rb", cosTheta/up, 1.66, 0.0166)
}
