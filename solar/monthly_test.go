package solar

import (
	"math"
	"testing"

	"sunrill/data/reftest"
	"sunrill/data/units"
)

// TestMonthlyTiltTable cuts a month's mean day into hours by r_t and r_d and tilts
// each, as the published hour method does.
func TestMonthlyTiltTable(t *testing.T) {
	for _, row := range reftest.Load(t, "monthly_tilt_method.csv") {
		lat, n := units.Angle(row.Float("lat_deg"))*deg, row.Float("klein_day_of_year")
		plane := Plane{Tilt: units.Angle(row.Float("tilt_deg")) * deg, Azimuth: 180 * deg, Albedo: 0.2}
		h, delta := row.Float("ghi_kwh_m2_day"), declinationCooper(n)
		h0 := DailyExtraterrestrial(lat, delta, eccentricityCosine(n), 1361)
		within(t, row.At+" H0", h0, row.Float("h0_kwh_m2_day"), 1e-5*h0)
		fd := row.Float("erbs_monthly_diffuse_fraction")
		hourly, renormalised := tiltedByHours(lat, delta, SunsetAngle(lat, delta), plane, h, fd)
		within(t, row.At+" by hours", hourly, row.Float("poa_cpr_hourly_isotropic"), 1e-5*h)
		within(t, row.At+" by hours, normalised", renormalised, row.Float("poa_cpr_hourly_isotropic_renormalised"), 1e-5*h)
	}
}

// tiltedByHours returns the sum of the hours as they are, and with the shares
// made to sum to 1.
func tiltedByHours(lat, delta, ws units.Angle, plane Plane, h, fd float64) (plain, renormalised float64) {
	sinDelta, cosDelta := math.Sincos(float64(delta))
	sinPhi, cosPhi := math.Sincos(float64(lat))
	east, north, up := plane.Normal()
	sumShare := 0.0
	for w := -172.5; w < 180; w += 15 {
		rt, rd := hourShares(units.Angle(w)*deg, ws)
		e, n, u := horizontal(sinDelta, cosDelta, w*math.Pi/180, sinPhi, cosPhi)
		if rt <= 0 || u <= 0 {
			continue
		}
		sumShare += rt
		beam := math.Max(rt*h-rd*fd*h, 0)
		plain += total(isotropic(plane, rt*h, beam/u, rd*fd*h, e*east+n*north+u*up))
	}
	return plain, plain / sumShare
}
