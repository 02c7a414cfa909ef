package solar

import (
	"math"
	"testing"

	"sunrill/data/reftest"
	"sunrill/data/units"
)

func TestErbsHourlyTable(t *testing.T) {
	for _, row := range reftest.Load(t, "erbs_hourly.csv") {
		within(t, row.At, ErbsHourly(row.Float("kt")), row.Float("diffuse_fraction"), 1e-8)
	}
}

// hourShares returns r_t and r_d of the hour whose middle is at hour angle w.
func hourShares(w, ws units.Angle) (global, diffuse float64) {
	day, cosW := newDayShares(float64(ws)), math.Cos(float64(w))
	return day.global(cosW), day.diffuse(cosW)
}

func TestShareTable(t *testing.T) {
	for _, row := range reftest.Load(t, "hourly_ratio_rt_rd.csv") {
		lat, n := units.Angle(row.Float("lat_deg"))*deg, row.Float("day_of_year")
		ws, w := SunsetAngle(lat, declinationCooper(n)), units.Angle(row.Float("hour_angle_deg"))*deg
		within(t, row.At+" ws", ws.In(deg), row.Float("ws_cooper_deg"), 1e-6)
		rt, rd := hourShares(w, ws)
		within(t, row.At+" rt", rt, row.Float("rt_collares_pereira_rabl"), 1e-8)
		within(t, row.At+" rd", rd, row.Float("rd_liu_jordan"), 1e-8)
	}
}

func TestT4T5HourShare(t *testing.T) {
	// Duffie & Beckman examples 2.13.1 and 2.13.2 (cases; values worked by hand).
	ws := SunsetAngle(-38*deg, declinationCooper(17))
	within(t, "T4 ws", ws.In(deg), 107.4, 0.05)
	rt, _ := hourShares(-52.5*deg, ws)
	within(t, "T4 rt", rt, 0.0759, 0.0001)
	ws = SunsetAngle(43*deg, declinationCooper(235))
	rt, _ = hourShares(22.5*deg, ws)
	within(t, "T5 rt", rt, 0.118, 0.0005)
	within(t, "T5 I [MJ]", rt*31.4, 3.70, 0.015)
}

func TestT6T7ErbsHourly(t *testing.T) {
	// pvlib-python tests of irradiance.erbs, day 1: extraterrestrial normal by
	// Spencer with 1366.1 W/m2, cos z held to 0.065.
	for _, c := range []struct{ ghi, zenith, kt, dhi, dni float64 }{
		{1000, 10, 0.718, 218, 794},
		{50, 85, 0.406, 41.6, 96.7},
	} {
		cosZ := math.Cos(c.zenith * math.Pi / 180)
		kt := c.ghi / (1366.1 * EccentricitySpencer(1) * cosZ)
		fd := ErbsHourly(kt)
		within(t, "kt", kt, c.kt, 0.0005)
		within(t, "DHI", fd*c.ghi, c.dhi, 0.0025*c.dhi)
		within(t, "DNI", (1-fd)*c.ghi/cosZ, c.dni, 0.0025*c.dni)
	}
}
