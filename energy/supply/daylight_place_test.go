package supply

import (
	"math"
	"testing"
	"time"

	"sunrill/data/clock"
	"sunrill/data/plan"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/energy/money"
	"sunrill/pumps"
	"sunrill/solar"
)

// A generated place: twelve means of a dry high plain at 32 degrees south, ours.
var (
	plainGHI  = [12]float64{7.6, 6.8, 5.8, 4.6, 3.7, 3.2, 3.5, 4.3, 5.4, 6.5, 7.4, 7.9}
	plainTemp = [12]float64{22, 22, 20, 16, 12, 9, 8, 10, 13, 16, 19, 21}
)

// courtyardPump has the curve of the 38 W pump of the demonstration.
func courtyardPump(t testing.TB) (pumps.Pump, *pumps.System) {
	t.Helper()
	lph := units.LitrePerHour
	p := mustPump(t,
		pumps.Point{Flow: 0, Head: 2.42, Power: 26.5}, pumps.Point{Flow: 350 * lph, Head: 2.31, Power: 29}, pumps.Point{Flow: 700 * lph, Head: 2.13, Power: 31.2},
		pumps.Point{Flow: 1050 * lph, Head: 1.93, Power: 33.1}, pumps.Point{Flow: 1400 * lph, Head: 1.68, Power: 34.8}, pumps.Point{Flow: 1750 * lph, Head: 1.38, Power: 36.2},
		pumps.Point{Flow: 2100 * lph, Head: 1.04, Power: 37.2}, pumps.Point{Flow: 2450 * lph, Head: 0.62, Power: 37.8})
	s := mustSystem(t, pumps.SystemSpec{StaticHead: 1.05, Exit: true, Feeds: []pumps.Feed{{Bore: 0.0352, Length: 14, Roughness: 1.5e-6, Loss: pumps.Loss{K: 6}}}})
	return p, s
}

// An owner with a 24 V pump sees at what sun the water starts and how many
// turnovers June brings. What is checked comes from outside: the start from
// the lift's share of shut-off head, sqrt(1.05/2.42) = 0.659, the most water from the
// astronomical length of each day.
func TestDaylightAtAPlace(t *testing.T) {
	pump, sys := courtyardPump(t)
	f := mustTable(t, FlowTableSpec{Pump: pump, Circuit: sys, Voltage: 24})
	reftest.Near(t, "starting speed", f.StartSpeed, math.Sqrt(1.05/2.42), 1e-9)
	// By the cube, 26.5 W at zero flow become 7.57 W.
	reftest.Near(t, "starting power", float64(f.StartPower()), 26.5*math.Pow(1.05/2.42, 1.5), 0.01)

	lat := -32 * units.Degree
	g := solar.NewGeometry(solar.Site{Latitude: lat, Longitude: 23 * units.Degree, Altitude: 1000, UTCOffset: 2 * units.Hour})
	years, _ := solar.NewYears(g, plainGHI, plainTemp, 2, 1)
	array := solar.NewArray(g, solar.Plane{Tilt: 45 * units.Degree, Azimuth: 0, Albedo: 0.2}, solar.Panel{Gamma: -0.004, NOCT: 45, Losses: []solar.Loss{{Name: "all", Share: 0.097}}})
	sun := SunOn(array, array.Panel, years)
	d := Daylight{Control: PumpDrive, Efficiency: 0.94, OwnDraw: 0.5, Panel: 100, Motor: Motor{Voltage: 24, Slows: true}, Table: f}
	y, err := d.Run(sun, 9.2, plan.AllYear)
	if err != nil {
		t.Fatal(err)
	}
	start, _ := d.SunToStart(PanelIn(array.Panel, units.Celsius(plainTemp[5])))
	// (7.57 + 0.5) W / 0.94 from 100 W less about 9 % of losses, near 25 °C: about 92 W/m².
	reftest.Near(t, "sun to start", float64(start.Value), 92, 5)
	for m, got := range y.Months {
		longest := 0.0
		for day := solar.MonthStart(m); day < solar.MonthStart(m+1); day++ {
			delta := solar.DeclinationSpencer(float64(day + 1))
			longest = max(longest, solar.SunsetAngle(lat, delta).In(units.Degree)*2/15)
		}
		if got.Running.In(units.Hour) > longest+1 { // an hour counts whole where the sun rises in it
			t.Errorf("month %d runs %.1f h of days of %.1f h", m+1, got.Running.In(units.Hour), longest)
		}
		if most := float64(f.FullFlow()) * 3600 * (longest + 1); float64(got.PerDay) > most {
			t.Errorf("month %d: %.1f m3 a day, full flow all day long gives %.1f", m+1, float64(got.PerDay), most)
		}
		if got.Night.In(units.Hour) < 24-longest-1 {
			t.Errorf("month %d: nights of %.1f h, days are at most %.1f h", m+1, got.Night.In(units.Hour), longest)
		}
	}
	june := y.Months[time.June-1]
	t.Logf("full flow %.0f L/h at %.1f W; starts at %.0f W/m2; June %.2f turnovers a day, still %.1f h of a night, longest %.0f h; December %.2f",
		f.FullFlow().In(units.LitrePerHour), float64(f.FullPower()), float64(start.Value), june.Turnovers, june.Night.In(units.Hour), y.Longest.In(units.Hour), y.Months[11].Turnovers)

	bare := d
	bare.Control, bare.Efficiency, bare.OwnDraw, bare.WorkingVoltage = BarePanel, 0, 0, 34
	b, err := bare.Run(sun, 9.2, plan.AllYear)
	if err != nil {
		t.Fatal(err)
	}
	if b.PerYear >= y.PerYear {
		t.Errorf("a bare 34 V panel moves %.0f m3 a year, a drive %.0f", float64(b.PerYear), float64(y.PerYear))
	}
	t.Logf("a year: drive %.0f m3, bare 34 V panel %.0f m3; table of %d solves", float64(y.PerYear), float64(b.PerYear), f.Solves)
}

// A keeper on mains gets the yearly and ten-year cost of pumps and the
// payback of a swap. By hand: 44.7 W (38 W on a power pack of 85 %) take 391.6 kWh a year
// and 90 W take 788.4; at 2.94 in the upper block they cost 1151.4 and 2317.9, so a
// pump for 1480 that replaces the larger one is back in 1.269 years.
func TestMainsCostAndPaybackOfASwap(t *testing.T) {
	low, house := 350*units.KilowattHour, 400*units.KilowattHour
	tr := money.TariffOf(plan.Mains{Tiers: []plan.PriceTier{{UpTo: &low, Price: 2.38}, {Price: 2.94}}, OtherUse: &house})
	year := func(s ChainSpec) money.Money {
		y, err := mustChain(t, s).Year(clock.ScheduleOf(plan.Run{Speed: 1}))
		if err != nil {
			t.Fatal(err)
		}
		return tr.YearCost(y.Use).Value
	}
	small := year(ChainSpec{Battery: steady(24), Water: cubic(38), Regulator: 0.85, Motor: Motor{Voltage: 24}})
	large := year(ChainSpec{Battery: steady(25.6), Inverter: &Inverter{Efficiency: 1}, Water: cubic(90), Motor: Motor{AC: true, Voltage: 230}})
	reftest.Near(t, "38 W", float64(small), 38/0.85*8.76*2.94, 1e-6)
	reftest.Near(t, "90 W", float64(large), 90*8.76*2.94, 1e-6)
	reftest.Near(t, "payback", money.Payback(1480, large-small, 0, 0).Value, 1480/(2317.896-1151.37), 0.001)
}

// TestHeatTakesVoltageNotCurrent: under a panel that counts by its current, what heat
// takes of the power is still the panel's own.
func TestHeatTakesVoltageNotCurrent(t *testing.T) {
	site, err := solar.NewSite(20*units.Degree, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	g := solar.NewGeometry(site)
	held := solar.Panel{NOCT: 45}
	own := held
	own.Gamma = -0.004
	hot := solar.NewSeries(solar.HoursPerYear)
	for i := range hot.GHI {
		hot.GHI[i], hot.DHI[i], hot.TempC[i] = 800, 800, 30
	}
	r := SunOn(solar.NewArray(g, solar.Plane{}, held), own, hot)
	reftest.Near(t, "cells of 30 + 25 K", r.Yield[12]/r.Share[12], 1-0.004*30, 1e-9)
}
