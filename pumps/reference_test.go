package pumps

import (
	"math"
	"testing"

	"sunrill/data/reftest"
	"sunrill/data/units"
)

// digits is what the nine printed digits of a reference table allow.
const digits = 2e-8

// near reports whether got is within tol of want, relative; absolute at zero.
func near(got, want, tol float64) bool {
	if want == 0 {
		return math.Abs(got) <= tol
	}
	return math.Abs(got-want) <= tol*math.Abs(want)
}

func wantNear(t *testing.T, at, what string, got, want, tol float64) {
	t.Helper()
	if !near(got, want, tol) {
		t.Errorf("%s: %s = %.10g, want %.10g (off by %.3g, allowed %.3g)", at, what, got, want, got/want-1, tol)
	}
}

func TestFrictionReference(t *testing.T) {
	for _, r := range reftest.Load(t, "friction_factor.csv") {
		re, e := r.Float("reynolds"), r.Float("relative_roughness")
		for column, f := range map[string]func(re, e float64) float64{
			"f_laminar_64_over_re": func(re, _ float64) float64 { return laminarFriction(re) },
			"f_churchill1977":      Churchill,
			"f_colebrook_exact":    colebrook,
			"f_haaland":            haaland,
			"f_swamee_jain":        swameeJain,
		} {
			if r.Has(column) {
				wantNear(t, r.At, column, f(re, e), r.Float(column), digits)
			}
		}
	}
}

func TestWaterReference(t *testing.T) {
	for _, r := range reftest.Load(t, "water_properties.csv") {
		w := WaterAt(units.Celsius(r.Float("t_c")))
		wantNear(t, r.At, "Kell density", w.Density, r.Float("rho_kell1975_kg_m3"), digits)
		wantNear(t, r.At, "SR6-08 viscosity", w.Viscosity, r.Float("mu_iapws_sr6_08_pa_s"), digits)
		wantNear(t, r.At, "IAPWS-95 density", w.Density, r.Float("rho_iapws95_kg_m3"), 1e-4)
		wantNear(t, r.At, "IAPWS 2008 viscosity", w.Viscosity, r.Float("mu_iapws2008_pa_s"), 1e-4)
	}
}

func TestPipeHeadLossReference(t *testing.T) {
	for _, r := range reftest.Load(t, "pipe_head_loss.csv") {
		w := Water{Density: r.Float("rho"), Viscosity: r.Float("mu_pa_s")}
		f := Feed{
			Bore:      units.Length(r.Float("d_mm")) * units.Millimetre,
			Length:    units.Length(r.Float("length_m")),
			Roughness: units.Length(r.Float("roughness_mm")) * units.Millimetre,
		}
		q := units.Flow(r.Float("q_m3h")) * units.CubicMetrePerHour
		re := f.Reynolds(q, w)
		wantNear(t, r.At, "Reynolds number", re, r.Float("reynolds"), digits)
		wantNear(t, r.At, "velocity", float64(f.Velocity(q)), r.Float("v_m_s"), digits)
		wantNear(t, r.At, "friction factor", frictionFactor(f, q, w), r.Float("f_churchill"), digits)
		h := float64(f.HeadLoss(q, w))
		wantNear(t, r.At, "head", h, r.Float("head_churchill_m"), digits)
		// The other formulas on the same velocity head.
		perF := h / frictionFactor(f, q, w)
		if r.Has("head_colebrook_m") {
			wantNear(t, r.At, "head by Colebrook", perF*colebrook(re, float64(f.Roughness/f.Bore)), r.Float("head_colebrook_m"), digits)
		}
		if r.Has("head_laminar_m") {
			wantNear(t, r.At, "head by 64/Re", perF*laminarFriction(re), r.Float("head_laminar_m"), digits)
		}
	}
}

func TestTwoKReference(t *testing.T) {
	for _, r := range reftest.Load(t, "fittings_two_k.csv") {
		d := units.Length(r.Float("d_mm")) * units.Millimetre
		l := newLine(Feed{Bore: d, Loss: Loss{K1: r.Float("k1"), KInf: r.Float("k_infinity")}}, Water{})
		wantNear(t, r.At, r.Text("item"), l.minor(r.Float("reynolds")), r.Float("k"), digits)
	}
}

// referenceCurve returns a curve of operating_point_curves.csv.
func referenceCurve(t testing.TB, name string) Curve {
	t.Helper()
	c, err := NewCurve(referencePoints(t, name))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func referencePoints(t testing.TB, name string) []Point {
	t.Helper()
	var points []Point
	for _, r := range reftest.Load(t, "operating_point_curves.csv") {
		if r.Text("curve") == name {
			points = append(points, Point{
				Flow:  units.Flow(r.Float("q_m3h")) * units.CubicMetrePerHour,
				Head:  units.Length(r.Float("head_m")),
				Power: units.Power(r.Float("power_w")),
			})
		}
	}
	return points
}

// referenceSystem returns a system of operating_point_systems.csv with its
// curve and speed ratio.
func referenceSystem(t testing.TB, name string) (*System, Curve, float64) {
	t.Helper()
	for _, r := range reftest.Load(t, "operating_point_systems.csv") {
		if r.Text("case") != name {
			continue
		}
		eps := units.Length(r.Float("roughness_mm")) * units.Millimetre
		feeds := []Feed{{
			Bore:   units.Length(r.Float("d1_mm")) * units.Millimetre,
			Length: units.Length(r.Float("length1_m")), Roughness: eps,
			Loss: Loss{K: r.Float("k_sum_on_pipe1")},
		}}
		if r.Has("d2_mm") {
			feeds = append(feeds, Feed{
				Bore:   units.Length(r.Float("d2_mm")) * units.Millimetre,
				Length: units.Length(r.Float("length2_m")), Roughness: eps,
			})
		}
		s := NewSystem(SystemSpec{StaticHead: units.Length(r.Float("static_head_m")), Feeds: feeds,
			Temperature: units.Celsius(r.Float("t_c"))})
		// The table's water is IAPWS, ours the closed forms: freeze the input.
		w := Water{Density: r.Float("rho"), Viscosity: r.Float("mu_pa_s")}
		return newSystem(s.spec, w), referenceCurve(t, r.Text("curve")), r.Float("speed_ratio")
	}
	t.Fatalf("no reference system %q", name)
	return nil, Curve{}, 0
}

var referenceStatus = map[string]Status{
	"ok":                                 Meets,
	"no_intersection_system_above_curve": NoLift,
	"beyond_curve_end":                   BeyondCurve,
}

func TestOperatingPointReference(t *testing.T) {
	for _, r := range reftest.Load(t, "operating_point_solutions.csv") {
		s, c, ratio := referenceSystem(t, r.Text("case"))
		o := Operate(c.AtSpeed(ratio), s)
		if want := referenceStatus[r.Text("status")]; o.Status != want {
			t.Errorf("%s: status %q, want %q", r.At, o.Status, want)
		}
		if n := int(r.Float("n_intersections")); len(o.Crossings) != n {
			t.Errorf("%s: %d crossings, want %d", r.At, len(o.Crossings), n)
			continue
		}
		if !r.Has("intersection") {
			continue
		}
		d := o.Crossings[int(r.Float("intersection"))-1]
		if stable := r.Text("stability") == "stable"; d.Stable != stable {
			t.Errorf("%s: stable %v, want %v", r.At, d.Stable, stable)
		}
		wantNear(t, r.At, "flow", d.Flow.In(units.CubicMetrePerHour), r.Float("q_m3h"), digits)
		wantNear(t, r.At, "head", float64(d.Head), r.Float("head_m"), digits)
		wantNear(t, r.At, "power", float64(d.Power), r.Float("power_w"), digits)
		h := HydraulicPower(d.Flow, d.Head, s.Water())
		wantNear(t, r.At, "hydraulic power", float64(h), r.Float("hydraulic_w"), digits)
		wantNear(t, r.At, "wire to water", float64(h/d.Power), r.Float("wire_to_water"), digits)
	}
}

// With the program's own water instead of the table's, the stable points stay
// within 0.01 %: the closed forms cost nothing that matters.
func TestOperatingPointReferenceWithOwnWater(t *testing.T) {
	for _, r := range reftest.Load(t, "operating_point_solutions.csv") {
		if r.Text("stability") != "stable" {
			continue
		}
		frozen, c, ratio := referenceSystem(t, r.Text("case"))
		s := NewSystem(frozen.Spec())
		d, _ := Solve(c.AtSpeed(ratio), s)
		wantNear(t, r.At, "flow", d.Flow.In(units.CubicMetrePerHour), r.Float("q_m3h"), 1e-4)
	}
}

func TestReducedFlowReference(t *testing.T) {
	for _, r := range reftest.Load(t, "reduced_flow.csv") {
		s, c, _ := referenceSystem(t, r.Text("case"))
		if r.Text("mode") == "speed" {
			c = c.AtSpeed(r.Float("value"))
		} else {
			s.lines[0].k += r.Float("value")
		}
		d, status := Solve(c, s)
		if want := referenceStatus[r.Text("status")]; status != want {
			t.Errorf("%s: status %q, want %q", r.At, status, want)
		}
		if !r.Has("q_m3h") {
			continue
		}
		wantNear(t, r.At, "flow", d.Flow.In(units.CubicMetrePerHour), r.Float("q_m3h"), digits)
		wantNear(t, r.At, "head", float64(d.Head), r.Float("head_m"), digits)
		wantNear(t, r.At, "power", float64(d.Power), r.Float("power_w"), digits)
	}
}

// frictionFactor returns the Darcy friction factor of a run.
func frictionFactor(f Feed, q units.Flow, w Water) float64 {
	l := newLine(f, w)
	return l.friction(f.Reynolds(q, w))
}
