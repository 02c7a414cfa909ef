package energy

import (
	"math"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/reftest"
)

// planOf reads a plan with its curve and, where there is one, its climate.
func planOf(t *testing.T, text, curve, climate string) Inputs {
	t.Helper()
	p, _, err := plan.ReadPlan("pond.toml", strings.NewReader(text), plan.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	rows, _, err := data.ReadCurves("curve.csv", strings.NewReader(curve))
	if err != nil {
		t.Fatal(err)
	}
	in := Inputs{Plan: &p, Curves: rows}
	if climate != "" {
		c, err := data.ReadClimate("climate.csv", strings.NewReader(climate))
		if err != nil {
			t.Fatal(err)
		}
		in.Climate = &c
	}
	return in
}

// TestChainFromCurveToYearlyCost goes the whole way for a pump on the mains.
// Flow, watts and kWh a day are those of the reference solver (case typical of
// operating_point_solutions.csv: scipy's monotone cubic and brentq, Churchill's
// friction of another library); the year and its cost are 365 days of them at
// 0.30 a kWh.
func TestChainFromCurveToYearlyCost(t *testing.T) {
	const price, tolerance = 0.30, 3e-5 // the reference froze density and viscosity at six figures
	want := map[string]float64{}
	for _, r := range reftest.Load(t, "operating_point_solutions.csv") {
		if r.Text("case") == "typical" {
			want["flow"], want["power"], want["kwh"] = r.Float("q_m3h"), r.Float("power_w"), r.Float("kwh_per_day_24h")
		}
	}
	r, err := everything(planOf(t, `
[pond]
volume = "5 m3"
turnover_goal = "4 h"
[[pump]]
name = "small"
curve = "curve.csv"
[lift]
static_head = "0.8 m"
[[feed]]
bore = "25 mm"
roughness = "0.0015 mm"
length = "5 m"
loss_k = 6
[upkeep]
flow_loss_when_dirty = 0
[water]
temperature = "15 C"
[mains]
price = 0.30
`, "pump,flow (m3/h),head (m),power (W)\nsmall,0,2.5,18\nsmall,0.4,2.35,20\nsmall,0.8,2.1,22\nsmall,1.2,1.75,23.5\nsmall,1.6,1.25,24.5\nsmall,2,0.6,25\n", ""))
	if err != nil {
		t.Fatal(err)
	}
	i, ok := r.Chosen()
	if !ok {
		t.Fatal("no pump is chosen")
	}
	near := func(what string, got, want float64) {
		if math.Abs(got/want-1) > tolerance {
			t.Errorf("%s %.8g, want %.8g", what, got, want)
		}
	}
	dirty := r.Water.Pumps[i].Dirty
	near("flow [m3/h]", float64(dirty.Flow)*3600, want["flow"])
	near("watts", float64(dirty.Power.Value), want["power"])
	near("kWh a day", r.Mains.Value.PerDay.KilowattHours(), want["kwh"])
	near("kWh a year", r.Mains.Value.PerYear.KilowattHours(), 365*want["kwh"])
	near("cost a year", float64(r.Mains.Value.Cost.Value), 365*want["kwh"]*price)
	near("turnover [h]", float64(dirty.Turnover.Value)/3600, 5/want["flow"])
	near("Wh/m3", r.Tradeoff[0].WhPerM3.Value, want["power"]/want["flow"])
}

// TestChainFromMonthlySunToArrayToLoad goes from a book's monthly sun to a
// handbook's figure for the panel: Duffie & Beckman's example 2.19.1 (Madison,
// 43 N, panel at 60 degrees south, check T1) ends in 12.7 MJ/m² a day, 3.53 kWh,
// in December, and IEEE 1013's definition (check SA2) makes of it, a module of
// 5.5 A and a load of 14.4 Ah a day an array-to-load ratio of 1.35.
//
// The book's sky is even; ours is brighter around the sun, which puts some more
// on a steep panel in December. The tolerance of 8 % holds that, no more.
func TestChainFromMonthlySunToArrayToLoad(t *testing.T) {
	const climate = `month,ghi_kwh_per_m2_day,temp_c
1,1.789,-8
2,2.747,-6
3,3.572,0
4,4.458,8
5,5.933,14
6,6.400,19
7,6.272,22
8,5.647,21
9,4.053,16
10,2.911,10
11,1.769,2
12,1.594,-5
`
	r, err := everything(planOf(t, `
[pond]
volume = "5 m3"
turnover_goal = "40 h"
[[pump]]
name = "p"
curve = "curve.csv"
supply = "DC"
voltage = "12 V"
voltage_behaviour = "regulated"
fixed_watts = 0
[lift]
static_head = 0
[[feed]]
bore = "25 mm"
length = "1 m"
loss_k = 1
[upkeep]
flow_loss_when_dirty = 0
[site]
latitude = 43
longitude = -89.4
altitude = "270 m"
climate = "climate.csv"
albedo = [0.7, 0.7, 0.4, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.4]
[panel]
watts = "66 W"
tilt = 60
azimuth = 180
[controller]
own_draw = 0
[battery]
kind = "ideal"
voltage = "12 V"
[reliability]
unmet_flow = "89 %"
longest_stop = "8760 h"
years = 20
`, "pump,flow (m3/h),head (m),power (W)\np,0,1,7.2\np,1,0.5,7.2\np,2,0.01,7.2\n", climate))
	if err != nil {
		t.Fatal(err)
	}
	if !r.Solar.Known || !r.Solar.Value.DayAndNight.Known {
		t.Fatal(r.Solar.Why, r.Solar.Value.DayAndNight.Why)
	}
	d := r.Solar.Value.DayAndNight.Value
	if load := d.PerDay.WattHours(); math.Abs(load-14.4*12) > 1e-6 {
		t.Errorf("load %g Wh a day, want 14.4 Ah at 12 V", load)
	}
	if got := d.Storage.SunOnPanel()[11]; math.Abs(got/(12.7/3.6)-1) > 0.08 {
		t.Errorf("sun on the panel in December %.3f kWh/m² a day, the book has %.3f", got, 12.7/3.6)
	}
	// The worst month of the ratio is the one with the least sun on the panel.
	november := 11.4 / 3.6
	if got, want := d.Handbook.ArrayToLoad.Value, 1.35*november/(12.7/3.6); math.Abs(got/want-1) > 0.08 {
		t.Errorf("array to load %.3f, want %.3f", got, want)
	}
}
