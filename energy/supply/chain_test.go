package supply

import (
	"strings"
	"testing"
	"time"

	"sunrill/data"
	"sunrill/data/clock"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/pumps"
)

// daily returns the schedule of full speed in one stretch of each day, off else.
func daily(from, to float64, off plan.MonthSet) clock.Schedule {
	r := plan.Run{Bands: []plan.RunBand{{Hours: plantest.Hours(from, to), Months: plan.AllYear, Speed: 1}}}
	r.MonthsOff = off
	return clock.ScheduleOf(r)
}

// TestAirAtTheSource with a pencil: a 90 W pump by day through an inverter of 90 %
// that idles at 8 W, 9 W of air by night and half an hour of the day, 0.5 W of controller.
//
//	day 90/0.9 + 8 + 0.5, half an hour of air 0.5 x 9/0.9 more, night 9/0.9 + 8 + 0.5
//
// A DC pump has no inverter, and neither has its air.
func TestAirAtTheSource(t *testing.T) {
	const day, night, half = 12, 3, 20
	air := Air{Power: 9, Hours: daily(20.5, 7, 0)}
	for name, c := range map[string]struct {
		motor            Motor
		inverter         *Inverter
		air              Air
		day, half, night float64
	}{
		"AC":                  {Motor{AC: true, Voltage: 230}, &Inverter{Efficiency: 0.9, Idle: 8}, air, 108.5, 113.5, 18.5},
		"AC switched with it": {Motor{AC: true, Voltage: 230}, &Inverter{Efficiency: 0.9, Idle: 8, SwitchedBy: true}, air, 108.5, 113.5, 18.5},
		"DC":                  {Motor{Voltage: 25.6}, nil, air, 90.5, 95, 9.5},
		"no air":              {Motor{Voltage: 25.6}, nil, Air{}, 90.5, 90.5, 0.5},
	} {
		y, err := mustChain(t, ChainSpec{Battery: steady(25.6), Water: cubic(90), Motor: c.motor, Inverter: c.inverter, ControllerDraw: 0.5, Air: c.air}).Year(daily(7, 21, 0))
		if err != nil {
			t.Fatal(name, err)
		}
		for h, want := range map[int]float64{day: c.day, half: c.half, night: c.night} {
			reftest.Near(t, name, 1000*y.Use[time.May-1][h], want, 1e-9)
		}
	}
	// Half an hour of air while the pump rests: 0.5 x (10 + 8) W, and the controller.
	c := mustChain(t, ChainSpec{Battery: steady(25.6), Water: cubic(90), Motor: Motor{AC: true, Voltage: 230},
		Inverter: &Inverter{Efficiency: 0.9, Idle: 8, SwitchedBy: true}, ControllerDraw: 0.5, Air: Air{Power: 9, Hours: daily(2, 2.5, 0)}})
	y, err := c.Year(daily(7, 21, 0))
	if err != nil {
		t.Fatal(err)
	}
	reftest.Near(t, "half an hour", 1000*y.Use[0][2], 9.5, 1e-9)
}

// TestStandbyIsWhereNothingRuns: June off is a month of standby unless air runs in it.
func TestStandbyIsWhereNothingRuns(t *testing.T) {
	june := plan.MonthSet(1 << (time.June - 1))
	spec := ChainSpec{Battery: steady(25.6), Inverter: &Inverter{Efficiency: 1}, Water: cubic(50), Motor: Motor{AC: true, Voltage: 230}}
	y, err := mustChain(t, spec).Year(daily(7, 21, june))
	if err != nil || y.Standby != june || y.RunningMonths != plan.AllYear&^june {
		t.Errorf("standby %b, running %b, %v", y.Standby, y.RunningMonths, err)
	}
	spec.Air = Air{Power: 5, Hours: daily(0, 1, 0)}
	if y, err = mustChain(t, spec).Year(daily(7, 21, june)); err != nil || y.Standby != 0 || y.RunningMonths != plan.AllYear&^june {
		t.Errorf("with air: standby %b, running %b, %v", y.Standby, y.RunningMonths, err)
	}
}

// TestWaterByHour: 1 m³/h from 7 to 8:30 h in February alone, 42 m³ a year from the
// clock of 1 February on.
func TestWaterByHour(t *testing.T) {
	y, err := mustChain(t, ChainSpec{Battery: steady(25.6), Inverter: &Inverter{Efficiency: 1}, Water: cubic(50), Motor: Motor{AC: true, Voltage: 230}}).Year(daily(7, 8.5, plan.AllYear&^(1<<1)))
	if err != nil {
		t.Fatal(err)
	}
	water := y.WaterByHour()
	sum := 0.0
	for _, v := range water {
		sum += v
	}
	if len(water) != 8760 {
		t.Fatalf("%d hours", len(water))
	}
	reftest.Near(t, "m3 a year", sum, 1.5*28, 1e-9)
	reftest.Near(t, "first hour", water[31*24+7], 1, 1e-12)
	reftest.Near(t, "last half hour", water[(31+27)*24+8], 0.5, 1e-12)
	reftest.Near(t, "1 March", water[(31+28)*24+7], 0, 0)
}

// TestSpeedSetter with a pencil: half speed of a 24 V pump of 48 W is 12 V and 6 W,
// 0.5 A through 0.4 ohm, 0.1 W lost. A battery of 19.2 V gives 0.8 of the speed and no
// more, 48 x 0.8³ = 24.576 W.
func TestSpeedSetter(t *testing.T) {
	spec := ChainSpec{Battery: steady(25.6), Water: cubic(48), Cable: &Cable{Run: 100, Conductor: Conductor{OhmPerKm: 2}, Temperature: units.Celsius(20)},
		Motor: Motor{Name: "pump", Voltage: 24, Behaviour: Follows, Slows: true, LeastSpeed: 0.4}}
	d := mustAt(t, mustChain(t, spec), 0.5)
	reftest.Near(t, "volts", float64(d.Voltage), 12, 1e-12)
	reftest.Near(t, "amperes", float64(d.Current), 0.5, 1e-12)
	reftest.Near(t, "cable", float64(d.CableLoss), 0.1, 1e-12)
	reftest.Near(t, "source", float64(d.Source), 6.1, 1e-12)
	spec.Cable, spec.Battery = nil, steady(19.2)
	d = mustAt(t, mustChain(t, spec), 0.9)
	reftest.Near(t, "speed", d.Speed, 0.8, 1e-9)
	reftest.Near(t, "watts", float64(d.Source), 24.576, 1e-6)
	if _, err := mustChain(t, spec).At(0.3); plantest.FaultKeys(err) != "run.speed" || !strings.Contains(err.Error(), "40 to 150 %") {
		t.Errorf("below the least speed: %v", err)
	}
	if _, err := mustChain(t, spec).Year(clock.ScheduleOf(plan.Run{Speed: 0.3})); plantest.FaultKeys(err) != "run.speed" {
		t.Errorf("a year below the least speed: %v", err)
	}
}

// TestLosslessSpeed: what the battery's volts leave of a speed asked for; electronics
// and inverters hold theirs.
func TestLosslessSpeed(t *testing.T) {
	for _, c := range []struct {
		m       Motor
		asked   float64
		battery units.Voltage
		want    float64
	}{
		{Motor{Voltage: 24, Behaviour: Follows}, 1, 25.6, 25.6 / 24},
		{Motor{Voltage: 24, Behaviour: Follows}, 0.9, 19.2, 0.8},
		{Motor{Voltage: 24, Behaviour: Follows}, 0.5, 19.2, 0.5},
		{Motor{Voltage: 24, Behaviour: Regulated}, 1, 25.6, 1},
		{Motor{Voltage: 230, AC: true, Behaviour: Follows}, 1, 25.6, 1},
	} {
		reftest.Near(t, string(c.m.Behaviour), c.m.Lossless(c.asked, c.battery), c.want, 1e-12)
	}
}

// TestChainDoubts: what does not stop an answer is said at its key.
func TestChainDoubts(t *testing.T) {
	regulated := ChainSpec{Battery: steady(48), Water: cubic(40), Motor: Motor{Voltage: 24, Behaviour: Regulated}}
	small := ChainSpec{Battery: steady(24), Water: cubic(90), Motor: Motor{AC: true, Voltage: 230}, Inverter: &Inverter{Efficiency: 0.9, Idle: 8, Rated: 60}}
	fits := regulated
	fits.Battery = steady(24)
	for _, c := range []struct {
		spec ChainSpec
		key  string
	}{{regulated, "battery.voltage"}, {small, "inverter.rated"}, {fits, ""}} {
		keys := ""
		for _, w := range mustChain(t, c.spec).Warnings {
			keys += w.Key
		}
		if keys != c.key {
			t.Errorf("%+v: warned of %q, want %q", c.spec.Motor, keys, c.key)
		}
	}
}

// TestSolveOnTheEdgesOfACurve: a line that asks for less than the last point has, by
// hand, is counted with that point, once for each pump with a line of its own; a lift
// above shut-off head has no flow and the first point's power, by the cube.
func TestSolveOnTheEdgesOfACurve(t *testing.T) {
	points := []pumps.Point{{Flow: 0, Head: 2, Power: 30}, {Flow: 1 * lps, Head: 1, Power: 40}}
	wide := mustSystem(t, pumps.SystemSpec{StaticHead: 0.1, Feeds: []pumps.Feed{{Bore: 0.1}}})
	high := mustSystem(t, pumps.SystemSpec{StaticHead: 3, Feeds: []pumps.Feed{{Bore: 0.1}}})
	for count := 1; count <= 2; count++ {
		p, err := pumps.NewPump(pumps.PumpSpec{Name: "pump", Points: points, Count: count, OwnLines: count > 1})
		if err != nil {
			t.Fatal(err)
		}
		n := float64(count)
		d := mustSolve(t, p, wide)(1)
		reftest.Near(t, "flow beyond the curve", d.Flow.In(lps), n, 1e-12)
		reftest.Near(t, "head beyond the curve", float64(d.Head), 1, 1e-12)
		reftest.Near(t, "power beyond the curve", float64(d.Power), 40*n, 1e-9)
		d = mustSolve(t, p, high)(0.5)
		if d.Flow != 0 || d.Head != 0 {
			t.Errorf("3 m of lift: %+v", d)
		}
		reftest.Near(t, "power without flow", float64(d.Power), 30*n/8, 1e-9)
	}
	none := mustPump(t, pumps.Point{Flow: 0, Head: 2}, pumps.Point{Flow: 1 * lps, Head: 1})
	if _, err := NewFlowTable(FlowTableSpec{Pump: none, Circuit: wide}); plantest.FaultKeys(err) != "pump.metered_power" {
		t.Errorf("a table of a pump without watts: %v", err)
	}
}

// steady returns a battery that stands at one voltage.
func steady(v units.Voltage) data.BatteryVolts {
	return data.BatteryVolts{Nominal: v, Rest: v, Highest: v}
}

// TestRestAndRegulator by hand: a 40 W pump for 24 V on eight cells of 3.3 V runs at 1.1 of
// its speed and takes 40 x 1.1³ = 53.24 W; a regulator of 80 % holds it at 24 V and takes
// 40/0.8 = 50 W. The first is doubted and the second not, nor one that fits.
func TestRestAndRegulator(t *testing.T) {
	spec := ChainSpec{Battery: data.BatteryVolts{Nominal: 25.6, Rest: 26.4, Highest: 29.2}, Water: cubic(40),
		Motor: Motor{Voltage: 24, Behaviour: Follows}}
	doubts := func(speed float64) data.Doubts {
		t.Helper()
		c := mustChain(t, spec)
		y, err := c.Year(clock.ScheduleOf(plan.Run{Speed: speed}))
		if err != nil {
			t.Fatal(err)
		}
		return append(c.Warnings, y.Warnings...)
	}
	reftest.Near(t, "at rest", float64(mustAt(t, mustChain(t, spec), 1).Source), 53.24, 1e-9)
	if w := doubts(1); len(w) != 1 || w[0].Key != "regulator.fitted" || !strings.Contains(w[0].Message.String(), "33 % more") ||
		!strings.Contains(w[0].Message.String(), "29.2 V") {
		t.Errorf("above its voltage: %v", w)
	}
	spec.Motor.Slows = true
	if w := doubts(0.8); len(w) != 0 {
		t.Errorf("held below it: %v", w)
	}
	spec.Regulator = 0.8
	d := mustAt(t, mustChain(t, spec), 1)
	reftest.Near(t, "regulated", float64(d.Source), 50, 1e-9)
	reftest.Near(t, "in the regulator", float64(d.Conversion), 10, 1e-9)
	reftest.Near(t, "volts", float64(d.Voltage), 24, 1e-9)
	if w := doubts(1); len(w) != 0 {
		t.Errorf("regulated: %v", w)
	}
	spec.Battery = data.BatteryVolts{Nominal: 12.8, Rest: 13.2, Highest: 14.6} // stepped up
	reftest.Near(t, "from 12.8 V", float64(mustAt(t, mustChain(t, spec), 1).Source), 50, 1e-9)
	// Electronics for 24 V stand 30 V and no more.
	spec = ChainSpec{Battery: data.BatteryVolts{Nominal: 28.8, Rest: 29.7, Highest: 32.9}, Water: cubic(40),
		Motor: Motor{Voltage: 24, Behaviour: Regulated}}
	if w := doubts(1); len(w) != 1 || !strings.Contains(w[0].Message.String(), "32.9 V") {
		t.Errorf("electronics on charge: %v", w)
	}
}
