package works

import (
	"math"
	"testing"

	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
)

// scaled is a curve by the affinity laws.
func scaled(curve [][2]float64, s float64) (out [][2]float64) {
	for _, p := range curve {
		out = append(out, [2]float64{p[0] * s, p[1] * s * s})
	}
	return out
}

// TestTheLeastThatWouldDo: a pump whose clean line passes the point is just a sure one
// once the plan has it, on the hose that is there and on a wider one; whether the plan's
// own pump is far too small, far too large or does not lift.
func TestTheLeastThatWouldDo(t *testing.T) {
	for name, curve := range map[string][][2]float64{"flat": flatCurve, "steep": steepCurve, "large": scaled(steepCurve, 2),
		"small": scaled(flatCurve, 0.8), "none": scaled(flatCurve, 0.5)} {
		for _, sets := range [][]plan.Setting{{plantest.Set("pond.volume_error", "10 %")}, {plantest.Set("pond.turnover_goal", "5 h")}} {
			w := curvesPlan(t, [][][2]float64{curve}, "hose 25 mm", sets...)
			if !w.Least.Known || !w.Wider.Known || w.Wider.Value.Head >= w.Least.Value.Head || w.Least.Value.Restart.Known {
				t.Fatalf("%s: %+v, wider %+v", name, w.Least, w.Wider)
			}
			// Dirt drawn as a share of flow spares a weak draw nothing; as a resistance it does,
			// which makes a real pump surer by a few draws of a hundred.
			for hose, l := range map[string]Least{"hose 25 mm": w.Least.Value, w.Wider.Value.Hose: w.Wider.Value} {
				laid := curvesPlan(t, [][][2]float64{curve}, hose, sets...)
				low, high := 0.3, 3.0
				for range 30 { // the pump like the plan's that passes the point
					s := math.Sqrt(low * high)
					if d, _ := laid.Pumps[0].Pump.Duty(s, laid.Works.Line); d.Flow < l.Flow {
						low = s
					} else {
						high = s
					}
				}
				alone := curvesPlan(t, [][][2]float64{scaled(curve, high)}, hose, sets...)
				if c := alone.Pumps[0].Surely.Value.Chance; math.Abs(c-ChanceYes) > 0.03 {
					t.Errorf("%s on %s: a pump of %.4g m3/h at %.3g m does with a chance of %.3f", name, hose,
						l.Flow.In(units.CubicMetrePerHour), l.Head, c)
				}
				reftest.Near(t, "head", float64(l.Head), float64(alone.Works.Line.HeadAt(l.Flow)), 1e-9)
			}
		}
	}
}

// TestTheLeastOverStatedDirt is told on the dirty line: the point is just a sure one for
// a curve of another shape too.
func TestTheLeastOverStatedDirt(t *testing.T) {
	stated := plantest.Set("upkeep.flow_loss_when_dirty", "30 %")
	w := curvesPlan(t, [][][2]float64{steepCurve}, "hose 38 mm", stated)
	l := w.Least.Value
	q := l.Flow.In(units.CubicMetrePerHour)
	reftest.Near(t, "head", float64(l.Head), float64(w.Works.Line.HeadAt(l.Flow))+w.Works.Dirt.Resistance*float64(l.Flow*l.Flow), 1e-9)
	h := float64(l.Head)
	through := [][2]float64{{0, 2 * h}, {q, h}, {1.5 * q, 0.2 * h}}
	both := curvesPlan(t, [][][2]float64{steepCurve, through}, "hose 38 mm", plantest.Set("pump.1.present", "true"), stated)
	if c := both.Pumps[1].Surely.Value.Chance; !l.Dirty || math.Abs(c-ChanceYes) > 0.05 {
		t.Errorf("%+v: a chance of %.3f", l, c)
	}
}

// TestTheLeastStartsAgain: over a crest the head at no flow is told too, and no more.
func TestTheLeastStartsAgain(t *testing.T) {
	w := curvesPlan(t, [][][2]float64{steepCurve}, "hose 38 mm", plantest.Set("lift.crest", "3 m"))
	if l := w.Least; !l.Known || !l.Value.Restart.Known || l.Value.Restart.Value != 3 || l.Value.Head >= 3 {
		t.Errorf("%+v", l)
	}
	if w := waterOf(t, plantest.TwoPumps, plantest.Set("pond.turnover_goal", "2.5 h")); !w.Least.Known || w.Wider.Known {
		t.Errorf("%+v, wider %+v", w.Least, w.Wider)
	}
}
