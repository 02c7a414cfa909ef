package pumps

import (
	"math"
	"testing"

	"sunrill/data/units"
)

const (
	mm  = units.Millimetre
	lps = units.LitrePerSecond
	m3h = units.CubicMetrePerHour
)

// Vogel's viscosity formula, from memory, is the yardstick that W1 warns of.
func TestW1WinterViscosity(t *testing.T) {
	vogel := func(c float64) float64 { return 2.414e-5 * math.Pow(10, 247.8/(c+273.15-140)) }
	for _, x := range []struct{ c, mu, vogelOff, tol float64 }{
		{0, 1.792e-3, -0.022, 1e-3}, // IAPWS, from memory
		{5, 1.519e-3, -0.011, 1e-3}, // Cengel & Cimbala, example 8-2
		{10, 1.307e-3, 0, 1.5e-3},   // Cengel & Cimbala, chapter 8
		{15, 1.138e-3, 0, 1e-3},     // Cengel & Cimbala, example 8-3
		{20, 1.002e-3, 0, 1e-3},     // de Nevers, example 11.1
		{30, 0.7972e-3, 0, 1.5e-3},  // from memory
	} {
		w := WaterAt(units.Celsius(x.c))
		wantNear(t, "W1", "viscosity", w.Viscosity, x.mu, x.tol)
		if x.vogelOff != 0 {
			if off := vogel(x.c)/w.Viscosity - 1; math.Abs(off-x.vogelOff) > 0.002 {
				t.Errorf("W1: Vogel is off by %.4f at %g C, want %.3f", off, x.c, x.vogelOff)
			}
		}
	}
}

// Values of fluids 1.3.1's docstrings, themselves recomputed, for F1 to F6;
// see each formula for its paper.
func TestF1toF8Friction(t *testing.T) {
	const tol = 1e-6
	inf := math.Inf(1)
	for _, x := range []struct {
		id        string
		got, want float64
		tol       float64 // absolute; half the last printed digit where that is coarser
	}{
		{"F1 laminar, Re 128", laminarFriction(128), 0.5, 0},
		{"F2 Blasius, Re 1e4", blasius(1e4), 0.03164, 1e-9},
		{"F3 Colebrook", colebrook(1e5, 1e-4), 0.0185139, tol},
		{"F4 Churchill 1977", Churchill(1e5, 1e-4), 0.0184626, tol},
		{"F5 Haaland", haaland(1e5, 1e-4), 0.0182651, tol},
		{"F6 Swamee-Jain", swameeJain(1e5, 1e-4), 0.0184524, tol},
		{"F7 Prandtl-Karman-Nikuradse", colebrook(1e7, 0), 0.0081027, tol},
		{"F8 fully rough", colebrook(inf, 1e-4), 0.0119798, tol},
	} {
		if math.Abs(x.got-x.want) > x.tol {
			t.Errorf("%s: %.8f, want %.8f", x.id, x.got, x.want)
		}
	}
}

// Crane TP-410, example 7-1: water at 30 C, 200 L/min in a smooth plastic pipe
// of 52.48 mm.
func TestF9CraneSmoothPlastic(t *testing.T) {
	w := WaterAt(units.Celsius(30))
	f := Feed{Bore: 52.48 * mm, Length: 1}
	q := 200 * units.LitrePerMinute
	if re := f.Reynolds(q, w); re < 1.0e5 || re > 1.02e5 {
		t.Errorf("F9: Reynolds number %.0f, want 1.006e5 to 1.010e5 within 1 %%", re)
	}
	if ff := frictionFactor(f, q, w); ff < 0.0179*0.99 || ff > 0.0181*1.01 {
		t.Errorf("F9: friction factor %.5f, want 0.0179 to 0.0181 within 1 %%", ff)
	}
}

// Worked out by hand from Churchill's formula; the second Colebrook figure shows
// why no turbulent formula may be used at Re 2300.
func TestF10ChurchillContinuity(t *testing.T) {
	for _, x := range []struct{ re, e, want float64 }{
		{500, 1e-3, 0.1280}, {2300, 1e-4, 0.0308}, {3000, 1e-4, 0.0430}, {4000, 1e-4, 0.0407},
	} {
		wantNear(t, "F10", "friction factor", Churchill(x.re, x.e), x.want, 0.01)
	}
	// No step anywhere: the head loss never falls as the flow grows.
	before := 0.0
	for re := 100.0; re < 1e5; re *= 1.001 {
		h := Churchill(re, 1e-4) * re * re
		if h <= before {
			t.Fatalf("F10: head falls at Re %.0f", re)
		}
		before = h
	}
}

// textbook is a straight pipe of a worked example.
type textbook struct {
	bore, length, eps units.Length
	rho, mu           float64
}

func (b textbook) head(q units.Flow) float64 {
	f := Feed{Bore: b.bore, Length: b.length, Roughness: b.eps}
	return float64(f.HeadLoss(q, Water{Density: b.rho, Viscosity: b.mu}))
}

func TestD1LaminarTube(t *testing.T) { // Cengel & Cimbala, example 8-2
	b := textbook{3 * mm, 9, 0, 1000, 1.519e-3}
	f := Feed{Bore: b.bore, Length: b.length}
	q := units.Flow(0.9 * circle(0.003))
	w := Water{Density: b.rho, Viscosity: b.mu}
	wantNear(t, "D1", "Reynolds number", f.Reynolds(q, w), 1777, 0.01)
	h := b.head(q)
	wantNear(t, "D1", "head", h, 4.46, 0.01)
	wantNear(t, "D1", "pressure", h*1000*gravity, 43.7e3, 0.01)
	wantNear(t, "D1", "power", float64(HydraulicPower(q, units.Length(h), w)), 0.28, 0.01)
}

func TestD2SteelPipe(t *testing.T) { // Cengel & Cimbala, example 8-3
	b := textbook{50 * mm, 60, 0.002 * mm, 999, 1.138e-3}
	w := Water{Density: b.rho, Viscosity: b.mu}
	f := Feed{Bore: b.bore, Length: b.length, Roughness: b.eps}
	q := 6 * lps
	re := f.Reynolds(q, w)
	wantNear(t, "D2", "Colebrook", colebrook(re, 0.002/50), 0.01719, 0.001)
	h := b.head(q)
	wantNear(t, "D2", "head", h, 9.82, 0.01)
	wantNear(t, "D2", "pressure", h*999*gravity, 96.3e3, 0.01)
	wantNear(t, "D2", "power", float64(HydraulicPower(q, units.Length(h), w)), 579, 0.01)
}

func TestD3GalvanisedPipe(t *testing.T) { // Massey & Ward-Smith, example 7.1
	b := textbook{150 * mm, 300, 0.15 * mm, 1000, 1.14e-3}
	wantNear(t, "D3", "head", b.head(50*lps), 16.67, 0.015)
}

// flowFor returns the flow at which b loses head h.
func (b textbook) flowFor(t *testing.T, h float64) float64 {
	t.Helper()
	return root(func(q float64) float64 { return b.head(units.Flow(q)) - h }, 0, 10, 1e-12)
}

// boreFor returns the bore at which b loses head h at flow q.
func (b textbook) boreFor(t *testing.T, q units.Flow, h float64) float64 {
	t.Helper()
	return root(func(d float64) float64 {
		b.bore = units.Length(d)
		return b.head(q) - h
	}, 0.01, 1, 1e-9)
}

func TestD4FindFlow(t *testing.T) { // Massey & Ward-Smith, example 7.2
	b := textbook{100 * mm, 120, 0.25 * mm, 1000, 1e-2}
	q := b.flowFor(t, 5)
	wantNear(t, "D4", "flow", q, 12.6e-3, 0.01)
	wantNear(t, "D4", "Reynolds number", q/circle(0.1)*0.1/1e-5, 1.61e4, 0.01)
}

func TestD5FindBore(t *testing.T) { // Massey & Ward-Smith, example 7.3
	b := textbook{0, 180, 0.15 * mm, 1000, 1.14e-3}
	wantNear(t, "D5", "bore", b.boreFor(t, 85*lps, 9), 0.187, 0.01)
}

func TestD6LargestLaminarFlow(t *testing.T) { // Subramanya, problem 10.1
	f := Feed{Bore: 20 * mm}
	w := Water{Density: 1000, Viscosity: 0.98e-3}
	wantNear(t, "D6", "Reynolds number", f.Reynolds(1.847*units.LitrePerMinute, w), 2000, 0.005)
}

func TestD7FindFlowOnSlope(t *testing.T) { // Subramanya, problem 10.19
	b := textbook{250 * mm, 1000, 0.15 * mm, 1000, 1e-3}
	q := b.flowFor(t, 25)
	wantNear(t, "D7", "flow", q, 127.9e-3, 0.005)
	wantNear(t, "D7", "Colebrook", colebrook(q/circle(0.25)*0.25/1e-6, 0.15/250), 0.01807, 0.005)
}

func TestD8FindBore(t *testing.T) { // Subramanya, problem 10.20
	b := textbook{0, 1500, 0.12 * mm, 1000, 1e-3}
	wantNear(t, "D8", "bore", b.boreFor(t, 250*lps, 15), 0.383, 0.01)
}

func TestD9ReservoirDepth(t *testing.T) { // Fox & McDonald, example 8.5, f and g of the book
	f := Feed{Bore: 75 * mm, Length: 100}
	w := Water{Density: 1000, Viscosity: 1e-3}
	q := 8.4 * lps
	v := float64(f.Velocity(q))
	const g, bookF, entrance = 9.8, 0.017, 0.5
	depth := (bookF*100/0.075 + entrance + ExitLoss) * v * v / (2 * g)
	wantNear(t, "D9", "depth by the book's friction factor", depth, 4.46, 0.01)
	// A smooth pipe by the program's own friction factor lands in the same place.
	f.Loss.K = entrance + ExitLoss
	f.Roughness = 0.0015 * mm
	wantNear(t, "D9", "depth by Churchill", float64(f.HeadLoss(q, w)), 4.46, 0.02)
}

func TestK2Fittings(t *testing.T) { // fluids 1.3.1 docstring, recomputed
	l := newLine(Feed{Bore: 2 * units.Inch, Loss: Loss{K1: 1500, KInf: 4}}, Water{})
	wantNear(t, "K2", "Hooper globe valve", l.minor(1e4), 6.15, 1e-12)
}

// The formula is quoted from memory, and the figures are the same formula worked by
// hand: they hold the code to it, not the formula to a measured hose. The four to five
// times of a smooth pipe follow from both.
func TestCH1RibbedHose(t *testing.T) {
	for _, x := range []struct{ d, s, want float64 }{{0.032, 0.006, 0.114}, {0.025, 0.005, 0.120}, {0.050, 0.008, 0.100}} {
		wantNear(t, "CH1", "friction factor", RibbedFriction(x.d, x.s), x.want, 0.005)
	}
	w := Water{Density: 999.1, Viscosity: 1.138e-3}
	ribbed, smooth := Feed{Bore: 32 * mm, Length: 1, Pitch: 6 * mm}, Feed{Bore: 32 * mm, Length: 1}
	q := units.Flow(3e4 * w.Kinematic() / 0.032 * circle(0.032)) // Re 3e4
	if r := frictionFactor(ribbed, q, w) / frictionFactor(smooth, q, w); r < 4 || r > 5 {
		t.Errorf("CH1: ribs cost %.2f times a smooth pipe at Re 3e4, want 4 to 5", r)
	}
}

// Crane TP-410, example 7-33.
func TestAF1AffinityLaws(t *testing.T) {
	const gpm = units.USGallonPerMinute
	c, err := NewCurve([]Point{
		{Flow: 0, Head: 150 * units.Foot, Power: 10 * units.Horsepower},
		{Flow: 400 * gpm, Head: 126 * units.Foot, Power: 17.5 * units.Horsepower},
	})
	if err != nil {
		t.Fatal(err)
	}
	p := c.AtSpeed(1700.0 / 3500).Points()[1]
	wantNear(t, "AF1", "flow", p.Flow.In(gpm), 194.3, 2e-4)
	wantNear(t, "AF1", "head", p.Head.In(units.Foot), 29.73, 2e-4)
	wantNear(t, "AF1", "power", p.Power.In(units.Horsepower), 2.005, 3e-4)
}

// Fox & McDonald, example 10.7: H = H0 - A Q² through 300 gpm at 21.9 ft.
func TestAF2FasterPump(t *testing.T) {
	const gpm = units.USGallonPerMinute
	l := Label{Flow: units.Flow(300*math.Sqrt(25/(25-21.9))) * gpm, Head: 25 * units.Foot}
	low, high := l.curve(0), l.curve(1)
	h, err := high.Head(300 * gpm)
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "AF2", "head at the best point", h.In(units.Foot), 21.9, 1e-9)
	fast := high.AtSpeed(1750.0 / 1170)
	h0, _ := fast.ShutOff()
	wantNear(t, "AF2", "shut-off", h0.In(units.Foot), 55.9, 1e-3)
	h, err = fast.Head(448.7 * gpm)
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "AF2", "head at 448.7 gpm", h.In(units.Foot), 49.0, 1e-3)
	if h, _ := low.Head(0); h.In(units.Foot) != 25 {
		t.Errorf("AF2: the straight line begins at %v ft, want 25", h.In(units.Foot))
	}
}

// schaschke is the pump of Schaschke, Fluid Mechanics, problem 9.11.
func schaschke(t testing.TB) Curve {
	t.Helper()
	c, err := NewCurve([]Point{
		{Flow: 0, Head: 9.25}, {Flow: 5 * lps, Head: 8.81}, {Flow: 10 * lps, Head: 7.85},
		{Flow: 15 * lps, Head: 6.48}, {Flow: 20 * lps, Head: 4.81}, {Flow: 25 * lps, Head: 2.96},
	})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// bare is a circuit H = lift + a Q², Q in L/s, as worked examples have it.
func bare(t testing.TB, lift units.Length, a float64) *System {
	t.Helper()
	s := NewSystem(SystemSpec{StaticHead: lift, Feeds: []Feed{{Bore: 100 * mm}}, Temperature: units.Celsius(20)})
	return s.WithDirt(Dirt{Resistance: a * 1e6})
}

// Worked out outside the program from the published points.
func TestAF3SlowedWithLift(t *testing.T) {
	c, s := schaschke(t), bare(t, 4, 0.010)
	for _, x := range []struct{ speed, want float64 }{{1, 15.38}, {0.9, 12.41}, {0.8, 9.05}, {0.75, 7.03}, {0.7, 4.55}} {
		d, status := Solve(c.AtSpeed(x.speed), s)
		if status != Meets {
			t.Fatalf("AF3: speed %g: %v", x.speed, status)
		}
		wantNear(t, "AF3", "flow in L/s", d.Flow.In(lps), x.want, 1.5e-3)
	}
}

func TestAF4LeastSpeed(t *testing.T) {
	c, s := schaschke(t), bare(t, 4, 0.010)
	least, ok := c.LeastSpeed(s.Lift())
	if !ok {
		t.Fatal("AF4: no least speed")
	}
	wantNear(t, "AF4", "least speed", least, 0.658, 1e-3)
	if _, status := Solve(c.AtSpeed(least*0.999), s); status != NoLift {
		t.Errorf("AF4: just below the least speed: %v", status)
	}
	if _, status := Solve(c.AtSpeed(least*1.001), s); status != Meets {
		t.Errorf("AF4: just above the least speed: %v", status)
	}
	full, _ := Solve(c, s)
	speed := root(func(r float64) float64 {
		d, _ := Solve(c.AtSpeed(r), s)
		return float64(d.Flow - 0.75*full.Flow)
	}, 0.7, 1, 1e-9)
	wantNear(t, "AF4", "speed for 75 % of the flow", speed, 0.872, 1e-3)
}

// sampled returns the curve through 126 points of a head curve from 0 to 25 L/s,
// so that what lies between them does not count.
func sampled(t *testing.T, head func(q float64) float64) Curve {
	t.Helper()
	var points []Point
	for i := range 126 {
		q := 25 * float64(i) / 125
		points = append(points, Point{Flow: units.Flow(q) * lps, Head: units.Length(head(q))})
	}
	c, err := NewCurve(points)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// The duty of one pump by three ways through its published points, all worked
// out outside the program: the monotone cubic that Curve is, straight lines, and
// the least-squares parabola of CF1. The ways differ by 0.6 % at most.
func TestCF1CF3WaysThroughThePoints(t *testing.T) {
	c, s := schaschke(t), bare(t, 4, 0.010)
	lines := func(q float64) float64 {
		ps := c.Points()
		i := min(int(q/5), len(ps)-2)
		return float64(ps[i].Head) + (q/5-float64(i))*float64(ps[i+1].Head-ps[i].Head)
	}
	cf1 := func(q float64) float64 { return 9.3061 - 0.079507*q - 0.0070643*q*q }
	cf2 := func(q float64) float64 { return 8.9837 - 0.0099945*q*q }
	for _, x := range []struct {
		way  string
		c    Curve
		want float64
	}{
		{"monotone cubic", c, 15.378}, {"straight lines", sampled(t, lines), 15.361},
		{"CF1's parabola", sampled(t, cf1), 15.457}, {"CF2's parabola", sampled(t, cf2), 15.788},
	} {
		d, status := Solve(x.c, s)
		if status != Meets {
			t.Fatalf("CF3, %s: %v", x.way, status)
		}
		wantNear(t, "CF3, "+x.way, "flow in L/s", d.Flow.In(lps), x.want, 1e-4)
	}
	// How far the parabolas miss the points that the curve goes through.
	worst1, worst2 := 0.0, 0.0
	for _, p := range c.Points() {
		h, err := c.Head(p.Flow)
		if err != nil {
			t.Fatal(err)
		}
		worst1 = max(worst1, math.Abs(float64(h)-cf1(p.Flow.In(lps))))
		worst2 = max(worst2, math.Abs(float64(h)-cf2(p.Flow.In(lps))))
	}
	wantNear(t, "CF1", "worst residual in m", worst1, 0.080, 0.02)
	wantNear(t, "CF2", "worst residual in m", worst2, 0.27, 0.02)
}

// The label of the same pump: largest flow 32.72 L/s, largest head 9.25 m.
func TestCF4CF5LabelBracket(t *testing.T) {
	p, err := NewPump(PumpSpec{Name: "label", Label: Label{Flow: 32.72 * lps, Head: 9.25}})
	if err != nil {
		t.Fatal(err)
	}
	r := p.Run(1, bare(t, 4, 0.010))
	if !r.Bracket {
		t.Error("CF4: a label gives one figure")
	}
	wantNear(t, "CF4", "parabola", r.High.Duty.Flow.In(lps), 16.78, 1e-3)
	wantNear(t, "CF5", "straight line", r.Low.Duty.Flow.In(lps), 12.79, 1e-3)
	truth, _ := Solve(schaschke(t), bare(t, 4, 0.010))
	if truth.Flow < r.Low.Duty.Flow || truth.Flow > r.High.Duty.Flow {
		t.Error("CF4: the true flow is outside the bracket")
	}
	if off := r.Duty.Flow/truth.Flow - 1; off < -0.04 || off > 0.04 {
		t.Errorf("the middle of the label is %.3g off the true flow", off)
	}
}

// Schaschke, problem 9.2: the pump's polynomial and the K that closes the line.
func TestP4LineOfAPolynomialPump(t *testing.T) {
	head := func(q float64) float64 { return 12 - 70*q - 4300*q*q }
	const q = 0.0157
	wantNear(t, "P4", "head", head(q), 9.84, 1e-3)
	points := make([]Point, 33)
	for i := range points {
		x := 0.04 * float64(i) / 32
		points[i] = Point{Flow: units.Flow(x), Head: units.Length(head(x))}
	}
	c, err := NewCurve(points)
	if err != nil {
		t.Fatal(err)
	}
	// The book's line: 4 f L/D with Fanning 0.005, exit and K 44.86 at 2 m/s.
	k := 4*0.005*12/0.1 + ExitLoss + 44.86
	s := NewSystem(SystemSpec{Feeds: []Feed{{Bore: 100 * mm, Loss: Loss{K: k}}}, Temperature: units.Celsius(20)})
	d, status := Solve(c, s)
	if status != Meets {
		t.Fatal(status)
	}
	wantNear(t, "P4", "flow", float64(d.Flow), q, 2e-3)
	wantNear(t, "P4", "velocity", float64(d.Velocity), 2, 2e-3)
}

// The friction figures were worked out by hand.
func TestFO1RoughnessGrowth(t *testing.T) {
	w := Water{Density: 999.1, Viscosity: 1.138e-3} // 15 C, Cengel & Cimbala example 8-3
	clean := Feed{Bore: 35.2 * mm, Length: 1, Roughness: 0.0015 * mm}
	q := 1 * m3h * 3.6
	wantNear(t, "FO1", "Reynolds number", clean.Reynolds(q, w), 3.18e4, 3e-3)
	wantNear(t, "FO1", "smooth friction factor", frictionFactor(clean, q, w), 0.0233, 0.01)
	wantNear(t, "FO1", "clean slope in mm/m", clean.HeadLoss(q, w).In(mm), 35.6, 0.01)
	coated, film, both := clean, clean, clean
	coated.Roughness = 0.5 * mm
	film.Bore = 33.2 * mm
	both.Roughness, both.Bore = 0.5*mm, 33.2*mm
	h := float64(clean.HeadLoss(q, w))
	// 0.0443 and 1.90 are Colebrook's; Churchill lies 1.2 % above him here.
	wantNear(t, "FO1", "coated, by Colebrook", colebrook(coated.Reynolds(q, w), 0.5/35.2), 0.0443, 2e-3)
	wantNear(t, "FO1", "coated friction factor", frictionFactor(coated, q, w), 0.0443, 0.013)
	wantNear(t, "FO1", "coating", float64(coated.HeadLoss(q, w))/h, 1.90, 0.017)
	wantNear(t, "FO1", "film", float64(film.HeadLoss(q, w))/h, 1.34, 0.02)
	wantNear(t, "FO1", "both", float64(both.HeadLoss(q, w))/h, 2.59, 0.02)
}
