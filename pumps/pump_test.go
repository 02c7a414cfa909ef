package pumps

import (
	"math"
	"testing"

	"sunrill/data"
	"sunrill/data/units"
)

// gradeB is what ISO 9906:2012 grade 3B allows (from memory).
var gradeB = Tolerance{Flow: 0.09, Head: 0.07}

func mustPump(t testing.TB, spec PumpSpec) Pump {
	t.Helper()
	p, err := NewPump(spec)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func mustRun(t testing.TB, p Pump, s float64, c *System) Run {
	t.Helper()
	return p.Run(s, c)
}

// The range is that of the worst curve which a test by ISO 9906 grade 3B would
// pass (from memory): off by 9 % in flow or by 7 % in head.
func TestRangeFromTolerance(t *testing.T) {
	s, _, _ := referenceSystem(t, "typical")
	p := mustPump(t, PumpSpec{Name: "small", Points: referencePoints(t, "small"), Tolerance: gradeB})
	r := mustRun(t, p, 1, s)
	flow := func(dq, dh float64) float64 {
		points := referencePoints(t, "small")
		for i := range points {
			points[i].Flow *= units.Flow(dq)
			points[i].Head *= units.Length(dh)
		}
		c, err := NewCurve(points)
		if err != nil {
			t.Fatal(err)
		}
		d, _ := Solve(c, s)
		return float64(d.Flow)
	}
	wantNear(t, "range", "low", float64(r.Low.Duty.Flow), min(flow(0.91, 1), flow(1, 0.93)), 1e-9)
	wantNear(t, "range", "high", float64(r.High.Duty.Flow), max(flow(1.09, 1), flow(1, 1.07)), 1e-9)
	exact := mustRun(t, mustPump(t, PumpSpec{Points: referencePoints(t, "small")}), 1, s)
	if exact.Low.Duty.Flow != exact.High.Duty.Flow {
		t.Error("a curve without error has a range")
	}
}

func TestPowerFromMeterThenCurveThenLabel(t *testing.T) {
	s, c, _ := referenceSystem(t, "typical")
	d, _ := Solve(c, s)
	points := referencePoints(t, "small")
	bare := referencePoints(t, "small")
	for i := range bare {
		bare[i].Power = 0
	}
	for _, x := range []struct {
		name string
		spec PumpSpec
		from PowerSource
		want float64
	}{
		{"nothing", PumpSpec{Points: bare}, NoPower, 0},
		{"label", PumpSpec{Points: bare, Label: Label{Power: 30}}, LabelPower, 30},
		{"curve", PumpSpec{Points: points, Label: Label{Power: 30}}, CurvePower, float64(d.Power)},
		{"meter", PumpSpec{Points: points, Metered: 28}, MeteredPower, 28},
	} {
		p := mustPump(t, x.spec).MeteredOn(s)
		r := mustRun(t, p, 1, s)
		if r.PowerSource != x.from {
			t.Errorf("%s: power from %v", x.name, r.PowerSource)
		}
		wantNear(t, x.name, "power", float64(r.Duty.Power), x.want, 1e-9)
	}
	// The meter moves the curve and keeps its shape.
	p := mustPump(t, PumpSpec{Points: points, Metered: 28}).MeteredOn(s)
	at0, _ := c.Power(0)
	wantNear(t, "meter", "power at no flow", float64(p.Power(0, 1)), 28*float64(at0)/float64(d.Power), 1e-9)
}

func TestFixedWattsDoNotFallWithSpeed(t *testing.T) {
	p := mustPump(t, PumpSpec{Points: referencePoints(t, "small"), Fixed: 5})
	q := 0.5 * m3h
	full := float64(p.Power(q/0.5, 1))
	wantNear(t, "half speed", "power", float64(p.Power(q, 0.5)), 5+(full-5)/8, 1e-9)
	pure := mustPump(t, PumpSpec{Points: referencePoints(t, "small")})
	wantNear(t, "half speed", "power by the cube", float64(pure.Power(q, 0.5)), full/8, 1e-9)
}

// A tenth of full power that does not fall leaves 0.1 + 0.9/8 of it at half speed,
// by the cube of the rest.
func TestFixedShareOfPower(t *testing.T) {
	p := mustPump(t, PumpSpec{Points: referencePoints(t, "small")})
	q := 0.5 * m3h
	full := float64(p.Power(q/0.5, 1))
	tenth := p.WithFixedShare(0.1)
	wantNear(t, "half speed", "power", float64(tenth.Power(q, 0.5)), full*(0.1+0.9/8), 1e-9)
	wantNear(t, "full speed", "power", float64(tenth.Power(q, 1)), float64(p.Power(q, 1)), 1e-12)
}

func TestLabelPowerStandsForEveryFlow(t *testing.T) {
	p := mustPump(t, PumpSpec{Label: Label{Flow: 2 * m3h, Head: 2, Power: 40}})
	s, _, _ := referenceSystem(t, "typical")
	r := mustRun(t, p, 1, s)
	if r.PowerSource != LabelPower || r.Duty.Power != 40 || r.High.Duty.Power != 40 || !p.LabelOnly() {
		t.Errorf("%+v from %v", r.Duty, r.PowerSource)
	}
	if d, status := p.Duty(1, s); status != Meets || d != r.Duty {
		t.Errorf("Duty says %+v, Run %+v", d, r.Duty)
	}
	if doubts := p.Doubts(r, 1, s); !hasWarning(doubts, "no curve") {
		t.Errorf("warnings %v", doubts)
	}
}

func TestPumpsInParallel(t *testing.T) {
	s, _, _ := referenceSystem(t, "typical")
	one := mustRun(t, mustPump(t, PumpSpec{Points: referencePoints(t, "small")}), 1, s)
	own := mustRun(t, mustPump(t, PumpSpec{Points: referencePoints(t, "small"), Count: 2, OwnLines: true}), 1, s)
	shared := mustRun(t, mustPump(t, PumpSpec{Points: referencePoints(t, "small"), Count: 2}), 1, s)
	if own.Duty.Flow != 2*one.Duty.Flow || math.Abs(float64(own.Duty.Power-2*one.Duty.Power)) > 1e-12 || own.Duty.Head != one.Duty.Head {
		t.Errorf("two identical lines give %+v, one %+v", own.Duty, one.Duty)
	}
	if shared.Duty.Flow <= one.Duty.Flow || shared.Duty.Flow >= own.Duty.Flow {
		t.Errorf("two pumps on one line give %v, one %v, two lines %v", shared.Duty.Flow, one.Duty.Flow, own.Duty.Flow)
	}
	// Each of the two gives half the flow at the common head.
	c := referenceCurve(t, "small")
	h, err := c.Head(shared.Duty.Flow / 2)
	if err != nil || !near(float64(h), float64(shared.Duty.Head), 1e-9) {
		t.Errorf("each pump gives %v m, the line has %v m (%v)", h, shared.Duty.Head, err)
	}
}

func TestPumpBadInput(t *testing.T) {
	points := referencePoints(t, "small")
	if _, err := NewPump(PumpSpec{Points: points[:1]}); err == nil {
		t.Error("a curve of one point is no error")
	}
}

// TestNoPumpGivesMoreThanItDraws: 3600 L/h against 1 m take 1000 x 9.81/1000 =
// 9.8 W of any pump.
func TestNoPumpGivesMoreThanItDraws(t *testing.T) {
	for watts, keys := range map[units.Power]string{9.7: "point 2: power", 9.9: ""} {
		_, err := NewCurve([]Point{{0, 2, 12}, {3.6 * units.CubicMetrePerHour, 1, watts}, {5 * units.CubicMetrePerHour, 0, 12}})
		got := ""
		for _, f := range data.Faults(err) {
			got += f.Key
		}
		if got != keys {
			t.Errorf("%v W: %v", watts, err)
		}
	}
}
