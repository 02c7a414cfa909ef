package pumps

import (
	"math"
	"testing"

	"sunrill/data/units"
)

// TestMeasuredByHand works one bucket test through with a pencil: a measured
// case of our own making (invented pump and pond).
//
// Bucket 12 L in 9.6 s, 9.9 s, 9.9 s:
//
//	t = 29.4/3 = 9.8 s,  Q = 12/9.8 = 1.22449 L/s = 4408.2 L/h
//	s = sqrt((0.2² + 0.1² + 0.1²)/2) = sqrt(0.03) = 0.17321 s
//	c = 4.303 (Student, 95 %, 2 degrees of freedom; any table)
//	spread 4.303 x 0.17321/(9.8 x sqrt 3) = 0.04391
//	watch  0.3/9.8 = 0.03061,  bucket 0.03
//	e = sqrt(0.001928 + 0.000937 + 0.0009) = sqrt(0.003765) = 0.06136
func TestMeasuredByHand(t *testing.T) {
	r, err := TimeBucket(12*units.Litre, []units.Duration{9.6, 9.9, 9.9})
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "by hand", "flow", r.Flow.In(units.LitrePerHour), 4408.16, 1e-5)
	wantNear(t, "by hand", "deviation", float64(r.Bucket.Value.Deviation.Value), 0.173205, 1e-5)
	wantNear(t, "by hand", "spread", r.Bucket.Value.Spread.Value, 0.04391, 5e-4)
	wantNear(t, "by hand", "watch", r.Bucket.Value.Watch, 0.030612, 1e-4)
	wantNear(t, "by hand", "error", r.Error, 0.06136, 5e-4)
	wantNear(t, "by hand", "low", r.Low.In(units.LitrePerHour), 4408.16*(1-0.06136), 1e-4)
	if len(r.Warnings) != 0 {
		t.Errorf("warnings %v", r.Warnings)
	}
}

// TestTimeBucketDoubts: one timing has no spread, of two half their difference
// counts (0.2/2/5 = 0.02), and 5 s are too short: 12 L in 5 s are 2.4 L/s, so a
// good bucket fills in 10 s and holds 24 L.
func TestTimeBucketDoubts(t *testing.T) {
	one, err := TimeBucket(12*units.Litre, []units.Duration{12})
	if err != nil || one.Bucket.Value.Spread.Known || len(one.Warnings) != 1 {
		t.Errorf("one timing: %+v, %v", one, err)
	}
	two, err := TimeBucket(12*units.Litre, []units.Duration{4.9, 5.1})
	if err != nil || len(two.Warnings) != 2 {
		t.Fatalf("two timings: %+v, %v", two, err)
	}
	wantNear(t, "by hand", "half the difference", two.Bucket.Value.Spread.Value, 0.02, 1e-9)
	if want := "a bucket of 12 L is too small: it fills in 5 s, of which the hand on the watch is 6 %; take one of 24 L or more"; two.Warnings[1].Message.String() != want {
		t.Errorf("warning %q", two.Warnings[1].Message)
	}
	wantNear(t, "by hand", "time to fill 12 L at 2.4 L/s", float64(FillTime(12*units.Litre, two.Flow)), 5, 1e-12)
	for _, bad := range []struct {
		bucket units.Volume
		times  []units.Duration
	}{{0, []units.Duration{9}}, {0.01, nil}, {0.01, []units.Duration{0}}, {0.01, []units.Duration{-1}}, {0.01, []units.Duration{1e-300}}, {units.Volume(math.NaN()), []units.Duration{9}}, {0.01, []units.Duration{units.Duration(math.Inf(1))}}} {
		if _, err := TimeBucket(bad.bucket, bad.times); err == nil {
			t.Errorf("%v %v: no error", bad.bucket, bad.times)
		}
	}
}

// straight is an invented pump whose curve and power are straight lines, so that a
// pencil can follow: H = 3 - 3 Q/4, P = 40 + 10 Q, with Q in m³/h up to 3.6.
func straight(t *testing.T, spec PumpSpec) Pump {
	t.Helper()
	for _, q := range []float64{0, 0.9, 1.8, 2.7, 3.6} {
		spec.Points = append(spec.Points, Point{Flow: units.Flow(q) * units.CubicMetrePerHour, Head: units.Length(3 - 0.75*q), Power: units.Power(40 + 10*q)})
	}
	p, err := NewPump(spec)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// lifted is a line that takes 0.6 m of lift and next to nothing else.
func lifted(t *testing.T) *System {
	t.Helper()
	s := NewSystem(SystemSpec{StaticHead: 0.6, Temperature: units.Celsius(15), Feeds: []Feed{{Bore: 0.2, Length: 0.01, Roughness: 0.0000015}}})
	return s
}

// TestExplainByHand: clean, 3 - 0.75 Q = 0.6 gives Q = 3.2 m³/h at 72 W. A
// bucket shows 2.4 m³/h: the loss is 1 - 2.4/3.2 = 0.25. There the curve has
// 3 - 1.8 = 1.2 m, so the line takes 1.2 - 0.6 = 0.6 m more, and with
// Q = 2.4/3600 = 6.6667e-4 m³/s k = 0.6/4.4444e-7 = 1.35e6 s²/m⁵. On its curve it
// draws 40 + 24 = 64 W. Slower by r: r²(3 - 0.75 x 2.4/r) = 0.6, so
// 3 r² - 1.8 r - 0.6 = 0, r = (1.8 + sqrt(3.24 + 7.2))/6 = 0.83852, and it draws
// (40 + 24/r) r³ = 68.622 x 0.58958 = 40.46 W. The tolerance is 9 % of 64 = 5.76 W.
func TestExplainByHand(t *testing.T) {
	p, line := straight(t, PumpSpec{Name: "straight", Tolerance: gradeB}), lifted(t)
	q := ReadFlow(2.4 * units.CubicMetrePerHour)
	f := p.Explain(q, 63, 1, line).Value
	wantNear(t, "by hand", "loss", f.Loss, 0.25, 1e-3)
	wantNear(t, "by hand", "added", f.Added, 1.35e6, 1e-3)
	wantNear(t, "by hand", "head lost", float64(f.HeadLost), 0.6, 1e-3)
	wantNear(t, "by hand", "on its curve", float64(f.Powers.Value.OnCurve), 64, 1e-6)
	wantNear(t, "by hand", "slowed to", f.Powers.Value.SlowedTo.Value, 0.83852, 1e-3)
	wantNear(t, "by hand", "slowed power", float64(f.Powers.Value.Slowed.Value), 40.46, 3e-3)
	wantNear(t, "by hand", "tolerance", float64(f.Powers.Value.Tolerance), 5.76, 1e-6)

	for _, test := range []struct {
		name  string
		flow  float64
		power units.Power
		want  Cause
	}{
		{"less flow, power on the curve", 2.4, 63, DirtyLine},
		{"less flow, less power", 2.4, 42, WeakPump},
		{"less flow, power between 40.5 + 5.8 and 64 - 5.8 W", 2.4, 52, WeakPump},
		{"less flow, as much power as clean", 2.4, 72, DraggingPump},
		{"less flow, nothing metered", 2.4, 0, LessFlow},
		{"within 9 % of flow of the curve", 3.1, 0, AsPlanned},
		{"more, but within 9 % of flow of the curve", 3.55, 0, AsPlanned},
	} {
		f := p.Explain(ReadFlow(units.Flow(test.flow)*units.CubicMetrePerHour), test.power, 1, line).Value
		if f.Cause != test.want {
			t.Errorf("%s: %v (%s), want %v", test.name, f.Cause, f.Why, test.want)
		}
		if (f.Cause == AsPlanned) != (f.Why == "the clean flow of the plan lies within the errors of test and curve") || f.Why == "" {
			t.Errorf("%s: why %q", test.name, f.Why)
		}
	}
}

// TestExplainMoreFlow: a curve good to 1 % gives 3.2 x 1.01 = 3.23 m³/h at most,
// and 3.5 m³/h less 5 % are 3.33.
func TestExplainMoreFlow(t *testing.T) {
	p := straight(t, PumpSpec{Tolerance: Tolerance{Flow: 0.01, Head: 0.01}})
	f := p.Explain(ReadFlow(3.5*units.CubicMetrePerHour), 0, 1, lifted(t)).Value
	if f.Cause != MoreFlow || f.Added >= 0 || f.Loss >= 0 {
		t.Errorf("%+v", f)
	}
}

// TestExplainOneOfTwoLines: two such pumps with a line each are two of the pump
// above, and a bucket under one outlet shows its 3.2 m³/h and its 72 W.
func TestExplainOneOfTwoLines(t *testing.T) {
	p := straight(t, PumpSpec{Count: 2, OwnLines: true, Tolerance: gradeB})
	f := p.Explain(ReadFlow(3.2*units.CubicMetrePerHour), 72, 1, lifted(t)).Value
	if f.Cause != AsPlanned || math.Abs(f.Loss) > 1e-3 {
		t.Errorf("%v with a loss of %.3f (%s)", f.Cause, f.Loss, f.Why)
	}
	wantNear(t, "by hand", "on its curve", float64(f.Powers.Value.OnCurve), 72, 1e-3)
}

// TestExplainNeedsACurve: a label, a flow beyond the curve and a pump that does
// not lift are no findings.
func TestExplainNeedsACurve(t *testing.T) {
	line := lifted(t)
	label, err := NewPump(PumpSpec{Label: Label{Flow: 3 * units.CubicMetrePerHour, Head: 2}})
	if err != nil {
		t.Fatal(err)
	}
	if f := label.Explain(ReadFlow(units.CubicMetrePerHour), 0, 1, line); f.Known || f.Why == "" {
		t.Errorf("label: %+v", f)
	}
	p := straight(t, PumpSpec{Tolerance: gradeB})
	if f := p.Explain(ReadFlow(4*units.CubicMetrePerHour), 0, 1, line); f.Value.Cause != MoreFlow {
		t.Errorf("beyond the curve: %+v", f)
	}
	if f := p.Explain(ReadFlow(units.CubicMetrePerHour), 0, 0.3, line); f.Known || f.Why == "" {
		t.Errorf("does not lift: %+v", f)
	}
}

// TestTrendByHand: resistances 1, 3, 4 on days 0, 10, 20. d̄ = 10, ȳ = 8/3,
// b = (10 x 5/3 + 10 x 4/3)/200 = 30/200 = 0.15. The line gives 1.1667, 2.6667,
// 4.1667, so the squares of the rest are 1/36 + 1/9 + 1/36 = 1/6, and with one
// degree of freedom c = 12.706: e = 12.706 sqrt((1/6)/200) = 0.36679. It comes to
// 6 on day 10 + (6 - 8/3)/0.15 = 32.22, at the earliest on day
// 10 + 3.3333/0.51679 = 16.45, and the flattest line never does.
func TestTrendByHand(t *testing.T) {
	trend, err := FitTrend([]float64{0, 10, 20}, []float64{1, 3, 4})
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "by hand", "slope", trend.Slope, 0.15, 1e-9)
	wantNear(t, "by hand", "error of the slope", trend.SlopeError, 0.36679, 1e-4)
	r, ok := trend.Reaches(6, true)
	if !ok {
		t.Fatal("does not get there")
	}
	wantNear(t, "by hand", "day", r.Day, 32.2222, 1e-5)
	wantNear(t, "by hand", "earliest", r.Earliest, 16.450, 1e-4)
	if !math.IsInf(r.Latest, 1) {
		t.Errorf("latest %g", r.Latest)
	}
	if _, ok := trend.Reaches(6, false); ok {
		t.Error("a rising line comes down to 6")
	}
	if past, ok := trend.Reaches(2, true); !ok || math.Abs(past.Day-(10-(8.0/3-2)/0.15)) > 1e-9 {
		t.Errorf("passed already: %+v, %t", past, ok)
	}
	two, err := FitTrend([]float64{0, 10}, []float64{4, 3})
	if r, ok := two.Reaches(2, false); err != nil || !ok || r.Day != 20 || !math.IsInf(r.Earliest, -1) || !math.IsInf(r.Latest, 1) {
		t.Errorf("two tests: %+v, %v", r, err)
	}
	for _, days := range [][]float64{{}, {1}, {3, 3}} {
		if _, err := FitTrend(days, days); err == nil {
			t.Errorf("days %v: no error", days)
		}
	}
}
