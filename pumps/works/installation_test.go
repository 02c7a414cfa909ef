package works

import (
	"math"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/units"
)

// works composes plan with the curves of plantest.WaterCurve.
func works(t *testing.T, text string, sets ...plan.Setting) *Waterworks {
	t.Helper()
	p, curves := plantest.OnWaterCurve(t, text, sets...)
	w, err := NewWaterworks(p, curves, Surroundings{})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// loss returns the head that the line loses at q beyond its lift.
func loss(w *Waterworks, q units.Flow) float64 { return float64(w.Line.HeadAt(q) - w.Line.Lift()) }

// TestRibPitch holds a ribbed hose to the formula of Hawthorne and von Helms
// (check CH1, from memory), at the table's pitch and at the keeper's own.
//
//	f = (D/s) (1 - (D/(D + 0.438 s))²)²
func TestRibPitch(t *testing.T) {
	const q, bore, length = 1500 * units.LitrePerHour, 0.025, 5
	v := float64(q) / (math.Pi / 4 * bore * bore)
	text := strings.Replace(plantest.WaterPlan, `bore = "25 mm"`, `pipe = "ribbed hose 25 mm"`, 1)
	for _, tt := range []struct {
		pitch float64 // m
		sets  []plan.Setting
	}{
		{0.005, nil}, // the table's
		{0.008, []plan.Setting{{Key: "feed.1.rib_pitch", Text: "8 mm"}}},
	} {
		w := works(t, text, append(tt.sets, plan.Setting{Key: "feed.1.loss_k", Text: "0"})...)
		x := bore / (bore + 0.438*tt.pitch)
		want := bore / tt.pitch * math.Pow(1-x*x, 2) * length / bore * v * v / (2 * 9.80665)
		if got := loss(w, q); math.Abs(got/want-1) > 1e-9 {
			t.Errorf("pitch %g m: %g m of head, want %g m", tt.pitch, got, want)
		}
		listed := false
		for _, a := range w.Assumed {
			listed = listed || a.Key == "feed.1.rib_pitch"
		}
		if listed != (tt.sets == nil) {
			t.Errorf("pitch %g m: listed as assumed: %v", tt.pitch, listed)
		}
	}
}

// TestExitIsCountedOnce holds the end of a line to the velocity head V²/2g
// that it gives up: added once beside named fittings, and left to loss_k where
// that is given.
func TestExitIsCountedOnce(t *testing.T) {
	const q = 1500 * units.LitrePerHour
	v := float64(q) / (math.Pi / 4 * 0.025 * 0.025)
	velocityHead := v * v / (2 * 9.80665)
	bare := loss(works(t, plantest.WaterPlan, plan.Setting{Key: "feed.1.loss_k", Text: "0"}), q)
	for _, tt := range []struct {
		name string
		sets []plan.Setting
		k    float64
	}{
		{"nothing said", nil, 1},
		{"loss_k", []plan.Setting{{Key: "feed.1.loss_k", Text: "3"}}, 3},
		{"sharp entrance", []plan.Setting{{Key: "feed.1.fittings", Text: "1 x entrance sharp"}}, 1.5}, // Crane TP-410: 0.5, and the exit
		{"two entrances", []plan.Setting{{Key: "feed.1.fittings", Text: "2 x entrance sharp"}}, 2},
	} {
		got := (loss(works(t, plantest.WaterPlan, tt.sets...), q) - bare) / velocityHead
		if math.Abs(got-tt.k) > 1e-9 {
			t.Errorf("%s: losses of %.6g velocity heads, want %g", tt.name, got, tt.k)
		}
	}
}

// TestExitStaysWithTheLastFeed joins two feeds: only the end of the line has
// an exit.
func TestExitStaysWithTheLastFeed(t *testing.T) {
	w := works(t, plantest.WaterPlan+"[[feed]]\nbore = \"25 mm\"\nlength = \"2 m\"\nloss_k = 4\n")
	if spec := w.Line.Spec(); spec.Exit || spec.Feeds[0].Loss.K != 0 || spec.Feeds[1].Loss.K != 4 {
		t.Errorf("exit %t, losses %g and %g", spec.Exit, spec.Feeds[0].Loss.K, spec.Feeds[1].Loss.K)
	}
}

// TestPipeOfTheTable takes bore and roughness from the row (DI1: 40 mm of
// SDR 17 is 35.2 mm inside, ISO 4427-2), and its source onto the page.
func TestPipeOfTheTable(t *testing.T) {
	w := works(t, plantest.WaterPlan, plan.Setting{Key: "feed.1.pipe", Text: "PE 40 SDR 17"})
	feed := w.Line.Spec().Feeds[0]
	if got := feed.Bore.In(units.Millimetre); math.Abs(got-35.2) > 1e-9 {
		t.Errorf("bore %g mm, want 35.2", got)
	}
	if !strings.Contains(strings.Join(w.Sources, "\n"), "ISO 4427") {
		t.Errorf("sources %q", w.Sources)
	}
	for _, a := range w.Assumed {
		if a.Key == "feed.1.roughness" {
			t.Errorf("the pipe's own roughness is listed as assumed: %v", a)
		}
	}
}

// TestDirtIsFittedOnce fits the dirt on the present pump, which then loses the
// stated share, and meets the other pump with the same resistance.
func TestDirtIsFittedOnce(t *testing.T) {
	text := strings.Replace(plantest.WaterPlan, "[lift]", "[[pump]]\nname = \"two\"\ncurve = \"curve.csv\"\npresent = true\n[lift]", 1)
	w := works(t, text, plan.Setting{Key: "upkeep.flow_loss_when_dirty", Text: "20 %"})
	if w.DirtOn != "two" {
		t.Fatalf("fitted on %q", w.DirtOn)
	}
	clean, _ := w.Pumps[1].Duty(1, w.Line)
	dirty, _ := w.Pumps[1].Duty(1, w.Dirty())
	if got := float64(dirty.Flow / clean.Flow); math.Abs(got-0.8) > 1e-6 {
		t.Errorf("the present pump keeps %g of its flow, want 0.8", got)
	}
	other, _ := w.Pumps[0].Duty(1, w.Dirty())
	q := other.Flow
	extra := float64(other.Head) - float64(w.Line.HeadAt(q))
	if want := w.Dirt.Resistance * float64(q*q); math.Abs(extra-want) > 1e-6*want {
		t.Errorf("the other pump meets %g m of dirt, want %g", extra, want)
	}
}

// TestFaultsNameTheirKey asks for all faults of a plan that no reader has checked.
func TestFaultsNameTheirKey(t *testing.T) {
	p, _, err := plan.ReadPlan("pond.toml",
		strings.NewReader(plantest.WaterPlan+plantest.WaterPlan[strings.Index(plantest.WaterPlan, "[[feed]]"):]), plan.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	p.Feeds[0].Pipe = "a pipe of nobody"
	p.Feeds[1].Fittings = []plan.Fitting{{Name: "nothing known", Count: 3}}
	_, err = NewWaterworks(&p, make([]data.CurveRows, 1), Surroundings{})
	var keys []string
	for _, f := range data.Faults(err) {
		keys = append(keys, f.Key)
	}
	if got := strings.Join(keys, " "); got != "feed.1.pipe feed.2.fittings" {
		t.Errorf("faults of %q: %v", got, err)
	}
}
