package works

import (
	"math"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/pumps"
)

// TestNoAnswer: what flows nowhere has no answer, nor has a goal that the keeper gave
// and that is missed; an assumed goal that is missed is a verdict.
func TestNoAnswer(t *testing.T) {
	set := plantest.Set
	for _, c := range []struct {
		sets []plan.Setting
		want string // beginning
	}{
		{[]plan.Setting{set("pond.turnover_goal", "5 h")}, ""},
		{[]plan.Setting{set("pond.turnover_goal", "0.3 h")}, "no pump meets the goal of one turnover in 0.3 h"},
		{[]plan.Setting{set("pond.turnover_goal", "0.3 h"), set("choice.pump", "one")}, "one misses the goal of one turnover in 0.3 h"},
		{[]plan.Setting{set("pond.volume", "400 m3")}, ""},
		{[]plan.Setting{set("lift.static_head", "9 m")}, "no pump has a duty point: one: "},
		{[]plan.Setting{set("lift.static_head", "3 m"), set("choice.pump", "one")}, "the pump that the plan names has no duty point: one: "},
		{[]plan.Setting{set("lift.static_head", "3 m"), set("choice.pump", "two"), set("pond.turnover_goal", "40 h")}, ""},
	} {
		w := waterOf(t, plantest.TwoPumps, c.sets...)
		if got := w.NoAnswer(); !strings.HasPrefix(got, c.want) || (got == "") != (c.want == "") {
			t.Errorf("%v: %q, want %q", c.sets, got, c.want)
		}
	}
}

// TestPondOfAPlan: 4 m³ in 2.5 h are 1.6 m³/h; without a volume or a goal the reason is
// said.
func TestPondOfAPlan(t *testing.T) {
	pond := waterOf(t, plantest.WaterPlan, plantest.Set("pond.turnover_goal", "2.5 h")).Pond.Value
	reftest.Near(t, "m3/h", pond.GoalFlow.Value.In(units.CubicMetrePerHour), 1.6, 1e-12)
	if none := waterOf(t, strings.Replace(plantest.WaterPlan, `volume = "4 m3"`, "", 1)).Pond; none.Known || none.Why != noVolume {
		t.Errorf("without a volume: %+v", none)
	}
	pond = waterOf(t, strings.Replace(plantest.WaterPlan, `stocking = "light"`, "", 1)).Pond.Value
	if pond.Goal.Known || pond.Goal.Why != noGoal || pond.GoalFlow.Known || pond.GoalFlow.Why != noGoal {
		t.Errorf("without a stocking: %+v", pond.GoalFlow)
	}
}

// TestVariantIsThePlanAnew: a plan with a wider hose and half the hours off gives what
// a new plan with them does, with its pump and its dirt as they are.
func TestVariantIsThePlanAnew(t *testing.T) {
	clean := plantest.Set("upkeep.flow_loss_when_dirty", "0 %")
	wide := []plan.Setting{clean, plantest.Set("feed.1.bore", "32 mm"), plantest.Set("run.band.1.hours", "18-06"),
		plantest.Set("run.band.1.speed", "0")}
	base := waterOf(t, plantest.TwoPumps, clean)
	before := base.Pumps[1].Clean.Flow
	p, _ := plantest.OnWaterCurve(t, plantest.TwoPumps, wide...)
	got, err := base.With(p, Surroundings{}, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	want := waterOf(t, plantest.TwoPumps, wide...).Pumps[1]
	reftest.Near(t, "flow", float64(got.Pumps[1].Clean.Flow), float64(want.Clean.Flow), 1e-15)
	reftest.Near(t, "a day", float64(got.Pumps[1].Dirty.PerDay), float64(want.Dirty.PerDay), 1e-9)
	if !(want.Clean.Flow > before) || base.Pumps[1].Clean.Flow != before || got.Pumps[0].Clean.Flow != base.Pumps[0].Clean.Flow {
		t.Errorf("the wider hose gives %v, the plan's own %v, now %v", want.Clean.Flow, before, base.Pumps[1].Clean.Flow)
	}
}

// TestRunsAreThePumps in the plan's order, the dirty one with less water.
func TestRunsAreThePumps(t *testing.T) {
	runs := waterOf(t, plantest.TwoPumps).Runs()
	if len(runs) != 2 || runs[0].Name != "one" || runs[1].Name != "two" {
		t.Fatalf("%+v", runs)
	}
	for _, r := range runs {
		if !(r.Dirty.LeastFlow() < r.Clean.LeastFlow()) {
			t.Errorf("%s: dirty %v, clean %v", r.Name, r.Dirty.LeastFlow(), r.Clean.LeastFlow())
		}
	}
}

// TestLoggedLoss: a loss that the plan's log shows is no assumed one and is listed with
// its source; a log that shows none says so.
func TestLoggedLoss(t *testing.T) {
	p, curves := plantest.OnWaterCurve(t, plantest.WaterPlan)
	w, err := NewWaterworks(p, curves, Surroundings{Logged: Logged{Loss: figure.Known(0.31236)}})
	if err != nil {
		t.Fatal(err)
	}
	logged := 0.0
	for _, a := range w.Assumed {
		if a.Key == "upkeep.flow_loss_when_dirty" && a.Source == "the plan's own log" {
			logged = a.Value
		}
	}
	if w.DirtAssumed || w.DirtLoss != 0.31236 || logged != 0.312 {
		t.Errorf("loss %g, assumed %v, listed %g", w.DirtLoss, w.DirtAssumed, logged)
	}
	if w, err = NewWaterworks(p, curves, Surroundings{Logged: Logged{Loss: figure.Unknown[float64]("one line is no course")}}); err != nil {
		t.Fatal(err)
	}
	said := false
	for _, v := range w.Warnings {
		said = said || v.Key == "upkeep.log" && strings.HasPrefix(v.Message.String(), "one line is no course")
	}
	if !w.DirtAssumed || !said {
		t.Errorf("assumed %v, warned of %v", w.DirtAssumed, w.Warnings)
	}
}

// TestDirtOfAnotherShare: on a line whose loss is stated, dirt of 40 % leaves 60 % of the
// clean flow of the pump it was fitted on.
func TestDirtOfAnotherShare(t *testing.T) {
	w := works(t, plantest.WaterPlan, plantest.Set("upkeep.flow_loss_when_dirty", "20 %"))
	clean, _ := w.Pumps[0].Duty(1, w.Line)
	dirty, status := w.Pumps[0].Duty(1, w.Line.WithDirt(w.DirtOf(0.4)))
	if status != pumps.Meets {
		t.Fatal(status)
	}
	reftest.Near(t, "share left", float64(dirty.Flow/clean.Flow), 0.6, 1e-6)
}

// TestSurfaceOfAGivenVolume: the shape beside a given volume tells the surface alone,
// 4 x 1.5 = 6 m² or pi 3²/4 = 7.07 m², with its depth or without.
func TestSurfaceOfAGivenVolume(t *testing.T) {
	metre := func(v float64) *units.Length { l := units.Length(v); return &l }
	volume := units.Volume(4)
	for want, q := range map[float64]plan.Pond{
		6:               {Shape: "rectangle", Length: metre(4), Width: metre(1.5)},
		math.Pi * 9 / 4: {Shape: "round", Diameter: metre(3), Depth: metre(0.8)},
		0:               {Shape: "round"},
	} {
		q.Volume = &volume
		spec, how := pondSpec(q)
		pond, err := pumps.NewPond(spec)
		if err != nil || pond.SurfaceKnown() != (want > 0) {
			t.Fatal(pond, err)
		}
		if pond.SurfaceKnown() {
			reftest.Near(t, q.Shape, float64(pond.Surface()), want, 1e-9)
		}
		if how != "given" || spec.Volume != volume {
			t.Errorf("%s: %s, %v", q.Shape, how, spec.Volume)
		}
	}
}

// TestCurveFaultsNameTheLine of the point at fault, else of the first, and the pump.
func TestCurveFaultsNameTheLine(t *testing.T) {
	rows := data.CurveRows{File: "curve.csv", Rows: []data.CurveRow{{Line: 4}, {Line: 6}, {Line: 7}}}
	for key, line := range map[string]int{"point 2: head": 6, "head": 4} {
		faults := data.Faults(ofPump("one", rows, &data.Error{Key: key}))
		if len(faults) != 1 || faults[0].File != "curve.csv" || faults[0].Line != line || faults[0].Key != "one: "+key {
			t.Errorf("%s: %+v", key, faults)
		}
	}
}

// TestEvaporationOfAPlan: 5 mm a day from 4 m² are 20 L; the place's is listed as worked
// out, the plan's own goes before it, and without either it is not known.
func TestEvaporationOfAPlan(t *testing.T) {
	var rate [12]units.Velocity
	for m := range rate {
		rate[m] = 5 * units.Velocity(units.Millimetre) / units.Velocity(units.Day)
	}
	surface := plantest.Set("pond.surface", "4 m2")
	listed := func(w *WaterResult) bool {
		for _, a := range w.Assumed {
			if a.Key == "pond.evaporation" {
				return true
			}
		}
		return false
	}
	w, err := tryWater(t, plantest.WaterPlan, Surroundings{Evaporation: &rate}, surface)
	if err != nil || !w.Rest.Evaporation.Known || !listed(w) {
		t.Fatalf("%+v, %v", w.Rest.Evaporation, err)
	}
	reftest.Near(t, "of the place [L a day]", w.Rest.Evaporation.Value[6].PerDay.In(units.Litre), 20, 1e-6)
	if w, err = tryWater(t, plantest.WaterPlan, Surroundings{Evaporation: &rate}, surface,
		plantest.Set("pond.evaporation", "2 mm/day")); err != nil || listed(w) {
		t.Fatalf("a given evaporation is assumed, or %v", err)
	}
	reftest.Near(t, "of the plan [L a day]", w.Rest.Evaporation.Value[6].PerDay.In(units.Litre), 8, 1e-6)
	if w, err = tryWater(t, plantest.WaterPlan, Surroundings{Why: "the site is not given"},
		surface); err != nil || w.Rest.Evaporation.Known || !strings.HasSuffix(w.Rest.Evaporation.Why.String(), "and the site is not given") {
		t.Errorf("%+v, %v", w.Rest.Evaporation, err)
	}
}
