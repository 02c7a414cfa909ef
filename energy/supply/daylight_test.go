package supply

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sunrill/data/clock"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/solar"
)

const lps = units.LitrePerSecond

func mustPump(t testing.TB, points ...pumps.Point) pumps.Pump {
	t.Helper()
	c, err := pumps.NewPump(pumps.PumpSpec{Name: "pump", Points: points})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func mustSolve(t interface{ Fatal(...any) }, p pumps.Pump, c *pumps.System) Solve {
	s, err := SolveOn(p, c)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func mustSystem(t testing.TB, spec pumps.SystemSpec) *pumps.System {
	t.Helper()
	if spec.Temperature == 0 {
		spec.Temperature = units.Celsius(15)
	}
	s := pumps.NewSystem(spec)
	return s
}

// schaschke is the curve of Schaschke, Fluid Mechanics: Worked Examples for
// Engineers, example 9.11, with watts of our own that rise with flow.
func schaschke(t testing.TB) pumps.Pump {
	return mustPump(t,
		pumps.Point{Flow: 0, Head: 9.25, Power: 900}, pumps.Point{Flow: 5 * lps, Head: 8.81, Power: 1100}, pumps.Point{Flow: 10 * lps, Head: 7.85, Power: 1300},
		pumps.Point{Flow: 15 * lps, Head: 6.48, Power: 1450}, pumps.Point{Flow: 20 * lps, Head: 4.81, Power: 1550}, pumps.Point{Flow: 25 * lps, Head: 2.96, Power: 1600})
}

// fourMetres is the system H = 4 + 0.010 Q² (Q in L/s) of AF3 and AF4.
func fourMetres(t testing.TB) *pumps.System {
	return mustSystem(t, pumps.SystemSpec{StaticHead: 4, Feeds: []pumps.Feed{{Bore: 0.1}}}).WithDirt(pumps.Dirt{Resistance: 0.010e6})
}

func mustTable(t testing.TB, spec FlowTableSpec) *FlowTable {
	t.Helper()
	f, err := NewFlowTable(spec)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// AF4: the lowest speed that lifts is sqrt(4/9.25) = 0.658, and AF3's flows
// at 0.9, 0.8, 0.75 and 0.7 of the speed come back from the powers there.
func TestAF4DaylightStartsByLiftShare(t *testing.T) {
	f := mustTable(t, FlowTableSpec{Pump: schaschke(t), Circuit: fourMetres(t)})
	reftest.Near(t, "AF4", f.StopSpeed, 0.658, 0.0005)
	reftest.Near(t, "AF4 start", f.StartSpeed, f.StopSpeed, 0)
	if f.Solves > 200 {
		t.Errorf("%d solves, at most 200", f.Solves)
	}
	for s, want := range map[float64]float64{1: 15.38, 0.9: 12.41, 0.8: 9.05, 0.75: 7.03, 0.7: 4.55} {
		d := mustSolve(t, schaschke(t), fourMetres(t))(s)
		q := f.FlowAt(d.Power, true)
		reftest.Near(t, "AF3 by power", q.In(lps), want, 0.02)
	}
}

// The energy side of the reduced-flow table: watts, kWh a day and Wh a m³ of
// a slowed pump, and none where it no longer lifts.
func TestReducedFlowTableEnergy(t *testing.T) {
	var small []pumps.Point
	for _, r := range reftest.Load(t, "operating_point_curves.csv") {
		if r.Text("curve") == "small" {
			small = append(small, pumps.Point{Flow: units.Flow(r.Float("q_m3h")) * units.CubicMetrePerHour, Head: units.Length(r.Float("head_m")), Power: units.Power(r.Float("power_w"))})
		}
	}
	systems := map[string]*pumps.System{}
	for _, r := range reftest.Load(t, "operating_point_systems.csv") {
		if c := r.Text("case"); c == "typical" || c == "zero_static" {
			systems[c] = mustSystem(t, pumps.SystemSpec{StaticHead: units.Length(r.Float("static_head_m")), Temperature: units.Celsius(r.Float("t_c")),
				Feeds: []pumps.Feed{{Bore: units.Length(r.Float("d1_mm")) * units.Millimetre, Length: units.Length(r.Float("length1_m")),
					Roughness: units.Length(r.Float("roughness_mm")) * units.Millimetre, Loss: pumps.Loss{K: r.Float("k_sum_on_pipe1")}}}})
		}
	}
	// The reference takes the viscosity of IAPWS 2008; 1e-5 covers the difference of the fits.
	const relative = 1e-5
	for _, r := range reftest.Load(t, "reduced_flow.csv") {
		sys, speed := systems[r.Text("case")], 1.0
		if r.Text("mode") == "speed" {
			speed = r.Float("value")
		} else {
			spec := sys.Spec()
			spec.Feeds = slices.Clone(spec.Feeds)
			spec.Feeds[0].Loss.K += r.Float("value")
			sys = mustSystem(t, spec)
		}
		c := mustChain(t, ChainSpec{Battery: steady(25.6), Inverter: &Inverter{Efficiency: 1}, Water: mustSolve(t, mustPump(t, small...), sys), Motor: Motor{AC: true, Voltage: 230, Slows: true}})
		d := mustAt(t, c, speed)
		if r.Text("status") != "ok" {
			if d.Duty.Flow != 0 {
				t.Errorf("%s: flow %v where the pump does not lift", r.At, d.Duty.Flow)
			}
			continue
		}
		y, err := c.Year(clock.ScheduleOf(plan.Run{Speed: speed}))
		if err != nil {
			t.Fatal(err)
		}
		day := y.Use.PerDay(time.January)
		reftest.Near(t, r.At+" power", float64(d.Source)/r.Float("power_w"), 1, relative)
		reftest.Near(t, r.At+" kWh a day", day.KilowattHours()/r.Float("kwh_per_day_24h"), 1, relative)
		reftest.Near(t, r.At+" Wh a m3", day.WattHours()/float64(y.WaterPerDay[0])/r.Float("wh_per_m3"), 1, relative)
	}
}

// drawPump draws a falling curve with rising watts and a system it can lift.
func drawPump(t *rapid.T) FlowTableSpec {
	shutOff := rapid.Float64Range(0.8, 6).Draw(t, "shut-off m")
	q, h, w := 0.0, shutOff, rapid.Float64Range(5, 60).Draw(t, "watts")
	points := []pumps.Point{{Head: units.Length(h), Power: units.Power(w)}}
	for range rapid.IntRange(2, 5).Draw(t, "points") {
		q += rapid.Float64Range(200, 1200).Draw(t, "step L/h")
		h *= rapid.Float64Range(0.4, 0.95).Draw(t, "fall")
		w *= rapid.Float64Range(1.02, 1.15).Draw(t, "rise")
		// No pump gives the water more than it draws.
		w = max(w, 1.5*9806.65*q/3.6e6*h)
		points = append(points, pumps.Point{Flow: units.Flow(q) * units.LitrePerHour, Head: units.Length(h), Power: units.Power(w)})
	}
	c, err := pumps.NewPump(pumps.PumpSpec{Points: points})
	if err != nil {
		t.Fatal(err)
	}
	s := pumps.NewSystem(pumps.SystemSpec{
		StaticHead: units.Length(shutOff * rapid.Float64Range(0.05, 0.8).Draw(t, "lift share")), Temperature: units.Celsius(15), Exit: true,
		Feeds: []pumps.Feed{{Bore: units.Length(rapid.Float64Range(0.02, 0.06).Draw(t, "bore")), Length: units.Length(rapid.Float64Range(1, 40).Draw(t, "length")),
			Roughness: 1.5e-6, Loss: pumps.Loss{K: rapid.Float64Range(0, 15).Draw(t, "K")}}},
	})
	return FlowTableSpec{Pump: c, Circuit: s, Voltage: 24}
}

func TestPropLiftShareAloneSetsStartAndTableIsTrue(t *testing.T) {
	worst := 0.0
	rapid.Check(t, func(t *rapid.T) {
		spec := drawPump(t)
		f, err := NewFlowTable(spec)
		if err != nil {
			t.Fatal(err)
		}
		h0, _ := spec.Pump.Curve(1).ShutOff()
		lift := float64(spec.Circuit.HeadAt(0))
		want := max(clock.LeastSpeed, math.Sqrt(lift/float64(h0)))
		if math.Abs(f.StopSpeed-want) > 1e-9 {
			t.Fatalf("starting speed %g, the lift's share of shut-off head alone says %g", f.StopSpeed, want)
		}
		if f.Solves > 200 {
			t.Fatalf("%d solves", f.Solves)
		}
		// No water below it, whatever drives the pump.
		d := mustSolve(t, spec.Pump, spec.Circuit)(want * 0.999)
		if want > clock.LeastSpeed && d.Flow != 0 {
			t.Fatalf("flow %v below the starting speed", d.Flow)
		}
		if q := f.FlowAt(f.StopPower()*0.999, true); q != 0 {
			t.Fatalf("flow %v below the starting power", q)
		}
		if q := f.FlowAtCurrent(units.Current(f.current[0]*0.999), 30, true); q != 0 {
			t.Fatalf("flow %v below the starting current", q)
		}
		// The table against a direct solve, between its nodes too.
		speed := f.StopSpeed + (1-f.StopSpeed)*rapid.Float64Range(0, 1).Draw(t, "speed")
		d = mustSolve(t, spec.Pump, spec.Circuit)(speed)
		full := float64(f.FullFlow())
		byPower := f.FlowAt(d.Power, true)
		if fit := f.flowByPower.Predict(root(f.power, float64(d.Power))); math.Abs(float64(byPower)-fit) > 1e-4*full {
			t.Fatalf("%g of full flow off its fit", (float64(byPower)-fit)/full)
		}
		byCurrent := f.FlowAtCurrent(units.Current(float64(d.Power)/(24*speed)), 24, true)
		for _, q := range []units.Flow{byPower, byCurrent} {
			off := math.Abs(float64(q-d.Flow)) / full
			worst = max(worst, off)
			if off > 0.001 {
				t.Fatalf("at %g of the speed the table gives %g L/h, a solve %g L/h, full %g", speed, q.In(units.LitrePerHour), d.Flow.In(units.LitrePerHour), f.FullFlow().In(units.LitrePerHour))
			}
		}
	})
	t.Logf("largest difference of the table from a direct solve: %.2g of full flow", worst)
}

// sineDays is a record of days with a half-sine of sun from 6 to 18 h.
func sineDays(days int, peak func(day int) float64) SunRecord {
	r := SunRecord{}
	for d := range days {
		for h := range 24 {
			r.Yield = append(r.Yield, max(0, peak(d)*math.Sin(math.Pi*(float64(h)+0.5-6)/12)))
		}
	}
	return r
}

func TestPropDaylightLitresWithinDayLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, err := NewFlowTable(drawPump(t))
		if err != nil {
			t.Fatal(err)
		}
		d := Daylight{Control: PumpDrive, Efficiency: 0.94, Panel: units.Power(rapid.Float64Range(5, 400).Draw(t, "panel")), Motor: Motor{Voltage: 24, Slows: true}, Table: f}
		if rapid.Bool().Draw(t, "bare") {
			d.Control, d.WorkingVoltage = BarePanel, units.Voltage(rapid.Float64Range(12, 40).Draw(t, "V"))
		}
		r := sineDays(365, func(day int) float64 { return 0.1 + 0.9*math.Abs(math.Sin(float64(day)*1.7)) })
		r.Share = r.Yield
		y, err := d.Run(r, 5, plan.AllYear)
		if err != nil {
			t.Fatal(err)
		}
		for m, got := range y.Months {
			if most := float64(f.FullFlow()) * 12 * 3600; float64(got.PerDay) > most*(1+1e-9) {
				t.Fatalf("month %d: %g m3 a day, 12 h of full flow are %g", m+1, float64(got.PerDay), most)
			}
			if got.Running > 12*units.Hour || got.Longest < 12*units.Hour {
				t.Fatalf("month %d: runs %g h, longest still %g h", m+1, got.Running.In(units.Hour), got.Longest.In(units.Hour))
			}
		}
		more := d
		more.Panel *= 1.5
		z, err := more.Run(r, 5, plan.AllYear)
		if err != nil || z.PerYear < y.PerYear*(1-1e-9) {
			t.Fatalf("a larger panel moves less: %g m3 against %g, %v", float64(z.PerYear), float64(y.PerYear), err)
		}
	})
}

// A crest of the line above the static head, unvented: from rest the pump has
// to lift to the crest, sqrt(6/9.25) = 0.805, but runs on down to 0.658.
func TestDaylightRestartOverCrest(t *testing.T) {
	sys := mustSystem(t, pumps.SystemSpec{StaticHead: 4, Crest: 6, Feeds: []pumps.Feed{{Bore: 0.1}}}).WithDirt(pumps.Dirt{Resistance: 0.010e6})
	f := mustTable(t, FlowTableSpec{Pump: schaschke(t), Circuit: sys})
	reftest.Near(t, "start", f.StartSpeed, math.Sqrt(6/9.25), 1e-9)
	reftest.Near(t, "stop", f.StopSpeed, math.Sqrt(4/9.25), 1e-9)
	between := (f.StartPower() + f.StopPower()) / 2
	if q := f.FlowAt(between, false); q != 0 {
		t.Errorf("from rest %v flows below the crest", q)
	}
	if q := f.FlowAt(between, true); q <= 0 {
		t.Error("a running pump stopped above its static head")
	}
	d := Daylight{Control: PumpDrive, Panel: 3000, Motor: Motor{Voltage: 230, AC: true, Slows: true}, Table: f}
	start, stop := d.SunToStart(func(sun float64) (float64, float64) { return sun / 1000, sun / 1000 })
	// A loss-free panel gives 3 W for each W/m².
	reftest.Near(t, "sun to start", float64(start.Value), float64(f.StartPower())/3, 0.11)
	reftest.Near(t, "sun to stop", float64(stop.Value), float64(f.StopPower())/3, 0.11)
	d.Panel = 100
	if start, _ := d.SunToStart(func(sun float64) (float64, float64) { return sun / 1000, sun / 1000 }); start.Known || start.Why == "" {
		t.Errorf("a 100 W panel starts it at %v", start)
	}
}

// A bare panel passes its current at the pump's volts. With a pencil: a
// pump without pipe whose power is 48 W at 24 V and its cube below draws s² × 2 A, so 1 A turns it at
// 0.7071 of its speed; half the panel's best power through a drive would turn
// it at 0.7937. A converter gives more water from a weak sun.
func TestDaylightBarePanelAgainstDrive(t *testing.T) {
	curve := mustPump(t, pumps.Point{Flow: 0, Head: 2, Power: 48}, pumps.Point{Flow: 1 * lps, Head: 0, Power: 48.0001})
	sys := mustSystem(t, pumps.SystemSpec{StaticHead: 0, Feeds: []pumps.Feed{{Bore: 0.04, Loss: pumps.Loss{K: 4}}}})
	f := mustTable(t, FlowTableSpec{Pump: curve, Circuit: sys, Voltage: 24})
	at := func(speed float64) units.Flow {
		d := mustSolve(t, curve, sys)(speed)
		return d.Flow
	}
	bare := Daylight{Control: BarePanel, Panel: 48, WorkingVoltage: 24, Motor: Motor{Voltage: 24, Slows: true}, Table: f}
	drive := Daylight{Control: PumpDrive, Panel: 48, Motor: bare.Motor, Table: f}
	reftest.Near(t, "bare", float64(bare.Flow(0.5, 0.5, true)/at(math.Sqrt(0.5))), 1, 0.001)
	reftest.Near(t, "drive", float64(drive.Flow(0.5, 0.5, true)/at(math.Cbrt(0.5))), 1, 0.001)
	// A 36 V panel of the same watts has less current and is no better off.
	bare.WorkingVoltage = 36
	reftest.Near(t, "36 V", float64(bare.Flow(0.5, 0.5, true)/at(math.Sqrt(0.5*24/36))), 1, 0.001)
	if warn, err := bare.Check(); err != nil || len(warn) != 1 || warn[0].Key != "panel.working_voltage" {
		t.Errorf("36 V on a 24 V pump: %v, %v", warn, err)
	}
	// A regulated pump without speed control runs full or not at all.
	drive.Motor = Motor{Voltage: 24, Behaviour: Regulated}
	if q := drive.Flow(0.9, 0.9, true); q != 0 {
		t.Errorf("a regulated pump ran on 90 %% of its power: %v", q)
	}
	reftest.Near(t, "full", float64(drive.Flow(1.1, 1.1, false)/f.FullFlow()), 1, 1e-9)
}

func TestDaylightBadInput(t *testing.T) {
	f := mustTable(t, FlowTableSpec{Pump: schaschke(t), Circuit: fourMetres(t), Voltage: 24})
	good := Daylight{Control: PumpDrive, Panel: 100, Motor: Motor{Voltage: 24, Slows: true}, Table: f}
	for name, c := range map[string]struct {
		keys, says string
		change     func(*Daylight)
	}{
		"AC without a drive":        {"controller.kind", "solar pump drive", func(d *Daylight) { d.Motor.AC, d.Motor.Voltage, d.Control = true, 230, MPPTOnly }},
		"own draw above the panel":  {"controller.own_draw", "less than the panel's 1 W", func(d *Daylight) { d.Panel, d.OwnDraw = 1, 2 }},
		"bare panel without a volt": {"panel.working_voltage", "current", func(d *Daylight) { d.Control = BarePanel }},
	} {
		d := good
		c.change(&d)
		if _, err := d.Check(); plantest.FaultKeys(err) != c.keys || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q at %s", name, err, c.says, c.keys)
		}
	}
	r := sineDays(1, func(int) float64 { return 1 })
	for name, change := range map[string]func(*SunRecord){
		"half a day": func(r *SunRecord) { r.Yield = r.Yield[:12] },
		"no morning": func(r *SunRecord) { r.Start = 5 },
	} {
		bad := SunRecord{Yield: append([]float64(nil), r.Yield...)}
		change(&bad)
		if _, err := good.Run(bad, 9, plan.AllYear); plantest.FaultKeys(err) != "weather" {
			t.Errorf("%s: %v", name, err)
		}
	}
	from := mustPump(t, pumps.Point{Flow: 1 * lps, Head: 9, Power: 200}, pumps.Point{Flow: 5 * lps, Head: 3, Power: 300})
	if _, err := NewFlowTable(FlowTableSpec{Pump: from, Circuit: fourMetres(t)}); !errors.Is(err, ErrNoShutOff) {
		t.Errorf("a curve without zero flow: %v", err)
	}
	high := mustSystem(t, pumps.SystemSpec{StaticHead: 10, Feeds: []pumps.Feed{{Bore: 0.1}}})
	if _, err := NewFlowTable(FlowTableSpec{Pump: schaschke(t), Circuit: high}); !errors.Is(err, ErrNoWater) {
		t.Errorf("10 m of lift: %v", err)
	}
}

// Nights by hand: with sun from 6 to 18 h and a drive that starts the water at
// once above its power, every night is the same; a day without sun makes one
// of 24 h more.
func TestDaylightNights(t *testing.T) {
	f := mustTable(t, FlowTableSpec{Pump: schaschke(t), Circuit: fourMetres(t)})
	d := Daylight{Control: PumpDrive, Panel: 1e6, Motor: Motor{Voltage: 24, Slows: true}, Table: f}
	dark := func(day int) float64 {
		if day == 10 {
			return 0
		}
		return 1
	}
	y, err := d.Run(sineDays(31, dark), 9.2, plan.AllYear)
	if err != nil {
		t.Fatal(err)
	}
	jan := y.Months[0]
	reftest.Near(t, "longest", jan.Longest.In(units.Hour), 36, 0)
	// 30 days with 12 h of night, and one with 24 h.
	reftest.Near(t, "mean night", jan.Night.In(units.Hour), (30*12+24)/31.0, 1e-9)
	reftest.Near(t, "running", jan.Running.In(units.Hour), 12*30/31.0, 1e-9)
	reftest.Near(t, "turnovers", jan.Turnovers, float64(f.FullFlow())*3600*12*30/31/9.2, 1e-6)
	if y.Least != 0 {
		t.Errorf("least month %d", y.Least)
	}
	off, err := d.Run(sineDays(31, dark), 9.2, 1<<5)
	if err != nil || off.PerYear != 0 {
		t.Errorf("a month off moved %g m3, %v", float64(off.PerYear), err)
	}
}

// A stretch counts in every month that it reaches into. By hand: no sun from 28 January
// to 2 April leaves a stretch of 65 days and a night, from 27 January 18 h to
// 3 April 6 h; in a year of which March is off it is two.
func TestDaylightStretchOverMonths(t *testing.T) {
	f := mustTable(t, FlowTableSpec{Pump: schaschke(t), Circuit: fourMetres(t)})
	d := Daylight{Control: PumpDrive, Panel: 1e6, Motor: Motor{Voltage: 24, Slows: true}, Table: f}
	r := sineDays(365, func(day int) float64 {
		if day >= 27 && day < 92 {
			return 0
		}
		return 1
	})
	for _, c := range []struct {
		name    string
		running plan.MonthSet
		year    float64
		longest [5]float64 // of January to May
		night   [5]float64
	}{
		{"all on", plan.AllYear, 65*24 + 12, [5]float64{744, 672, 744, 720, 12}, [5]float64{(27*12 + 4*24) / 31.0, 24, 24, (2*24 + 28*12) / 30.0, 12}},
		{"March off", plan.AllYear &^ (1 << 2), 32*24 + 6, [5]float64{744, 672, 744, 54, 12}, [5]float64{(27*12 + 4*24) / 31.0, 24, 24, (2*24 + 28*12) / 30.0, 12}},
		{"all off", 0, 0, [5]float64{744, 672, 744, 720, 744}, [5]float64{24, 24, 24, 24, 24}},
	} {
		y, err := d.Run(r, 9.2, c.running)
		if err != nil {
			t.Fatal(err)
		}
		reftest.Near(t, c.name+": year", y.Longest.In(units.Hour), c.year, 0)
		for m := range c.longest {
			reftest.Near(t, fmt.Sprintf("%s: longest of month %d", c.name, m+1), y.Months[m].Longest.In(units.Hour), c.longest[m], 1e-9)
			reftest.Near(t, fmt.Sprintf("%s: night of month %d", c.name, m+1), y.Months[m].Night.In(units.Hour), c.night[m], 1e-9)
		}
	}
}

func BenchmarkDaylightYears(b *testing.B) {
	f := mustTable(b, FlowTableSpec{Pump: schaschke(b), Circuit: fourMetres(b)})
	d := Daylight{Control: PumpDrive, Panel: 2000, Motor: Motor{Voltage: 24, Slows: true}, Table: f}
	r := sineDays(20*365, func(day int) float64 { return 0.5 + 0.5*math.Sin(float64(day)) })
	for b.Loop() {
		if _, err := d.Run(r, 9, plan.AllYear); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(20*solar.HoursPerYear), "hours/op")
}

func BenchmarkFlowTable(b *testing.B) {
	spec := FlowTableSpec{Pump: schaschke(b), Circuit: fourMetres(b)}
	for b.Loop() {
		mustTable(b, spec)
	}
}
