package works

import (
	"math"
	"strings"
	"testing"

	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
)

// TestLineIsFittedToWhatWasMeasured: the pump gives just what the bucket told, and a
// quarter less when dirty; what was calculated of the hose no longer counts.
func TestLineIsFittedToWhatWasMeasured(t *testing.T) {
	plain := waterOf(t, plantest.WaterPlan).Pumps[0].Clean.Flow
	for _, told := range []string{"1000 L/h", "1500 L/h"} {
		w := waterOf(t, plantest.WaterPlan, plantest.Set("measured.flow", told), plantest.Set("upkeep.flow_loss_when_dirty", "25 %"))
		want, _ := units.Parse(units.KindFlow, told)
		reftest.Near(t, told, float64(w.Pumps[0].Clean.Flow)/want, 1, 1e-9)
		reftest.Near(t, told+" dirty", float64(w.Pumps[0].Dirty.Flow)/want, 0.75, 1e-6)
		if plain == w.Pumps[0].Clean.Flow || !w.Works.Fitted {
			t.Error("nothing was fitted")
		}
	}
	dirty := waterOf(t, plantest.WaterPlan, plantest.Set("measured.flow", "900 L/h"), plantest.Set("measured.line", "dirty"), plantest.Set("measured.date", "2026-05-01"))
	if p := dirty.Pumps[0]; math.Abs(p.Dirty.Flow.In(units.LitrePerHour)-900) > 1e-6 || p.Clean.Flow != plain || dirty.Works.DirtAssumed {
		t.Errorf("dirty %v, clean %v", p.Dirty.Flow, p.Clean.Flow)
	}
	// What is measured is surer than what is assumed.
	for _, m := range sure(t, plantest.WaterPlan, 0, plantest.Set("measured.flow", "1200 L/h"), plantest.Set("measured.line", "dirty"), plantest.Set("pond.turnover_goal", "3 h")).Moves() {
		if m.Input == "dirt before cleaning" || m.Input == "lift" {
			t.Errorf("%s still moves the verdict", m.Input)
		}
	}
}

// TestLogFitsItsOwnLine: the first clean test of a log is the clean flow, and the share
// that it loses is counted from there.
func TestLogFitsItsOwnLine(t *testing.T) {
	tests := []DatedFlow{{Flow: 9}, {Flow: 1300 * units.LitrePerHour, Cleaned: true}, {Flow: 800 * units.LitrePerHour}, {Flow: 1290 * units.LitrePerHour, Cleaned: true}}
	clean, loss := CleanFlow(tests, true), LossBeforeCleaning(tests, true)
	if clean != 1300*units.LitrePerHour || CleanFlow(tests, false) != 9 || CleanFlow(tests[:1], true) != 0 {
		t.Fatalf("clean %v", clean)
	}
	w, err := tryWater(t, plantest.WaterPlan, Surroundings{Logged: Logged{loss, clean}})
	if err != nil {
		t.Fatal(err)
	}
	reftest.Near(t, "clean", w.Pumps[0].Clean.Flow.In(units.LitrePerHour), 1300, 1e-6)
	reftest.Near(t, "dirty", w.Pumps[0].Dirty.Flow.In(units.LitrePerHour), 800, 1e-3)
}

// TestBoxAndBucket: of a box and a bucket the bucket settles the curve between the
// label's two.
func TestBoxAndBucket(t *testing.T) {
	box := strings.Replace(plantest.WaterPlan, `curve = "curve.csv"`, "label_flow = \"2400 L/h\"\nlabel_head = \"2.4 m\"", 1)
	open := waterOf(t, box).Pumps[0]
	q := (open.Clean.Flow + open.Clean.High.Value) / 2
	w := waterOf(t, box, plan.Setting{Key: "measured.flow", Text: q.String()})
	if p := w.Pumps[0]; math.Abs(float64(p.Clean.Flow/q-1)) > 2e-3 || p.Clean.OfLabel || p.Pump.LabelOnly() {
		t.Errorf("%v of %v, of the label %t", p.Clean.Flow, q, p.Clean.OfLabel)
	}
}

// TestDoubtfulTestsAreLeftOut: more than the pump can, or a tenth of it.
func TestDoubtfulTestsAreLeftOut(t *testing.T) {
	plain := waterOf(t, plantest.WaterPlan).Pumps[0].Clean.Flow
	for told, says := range map[string]string{"9000 L/h": "cannot have given", "100 L/h": "a tenth", "20 L/h": `"20 L/min"`, "1999 L/h": "cannot have given"} {
		w := waterOf(t, plantest.WaterPlan, plantest.Set("measured.flow", told), plantest.Set("lift.static_head", "0.8 m"))
		found := false
		for _, d := range w.Works.Doubts {
			found = found || d.Key == "measured.flow" && strings.Contains(d.Message.String(), says)
		}
		if !found || w.Pumps[0].Clean.Flow != plain {
			t.Errorf("%s: %v, %v", told, w.Works.Doubts, w.Pumps[0].Clean.Flow)
		}
	}
	if _, err := tryWater(t, plantest.TwoPumps, Surroundings{}, plantest.Set("measured.flow", "1500 L/h")); !strings.Contains(plantest.FaultKeys(err), "measured.flow") {
		t.Errorf("of two pumps: %v", err)
	}
	if _, err := tryWater(t, plantest.TwoPumps, Surroundings{}, plantest.Set("measured.flow", "1500 L/h"), plantest.Set("pump.1.present", "yes")); err != nil {
		t.Error(err)
	}
}
