package works

import (
	"fmt"
	"math"
	"math/rand"
	"slices"
	"strings"
	"testing"

	"sunrill/data/chance"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/units"
	"sunrill/pumps"
)

// sure returns how surely pump i of plan text meets the goal.
func sure(t *testing.T, text string, i int, sets ...plan.Setting) Surely {
	t.Helper()
	w := waterOf(t, text, sets...)
	l := w.drawn
	s := w.surely(&w.Pumps[i], l)
	if !s.Known {
		t.Fatal(s.Why)
	}
	return s.Value
}

// TestChanceIsThatOfAnIndependentDraw draws the same inputs with another generator,
// other quantile functions (by the sum or the nearer of uniform numbers) and the exact
// solver, in plain loops.
func TestChanceIsThatOfAnIndependentDraw(t *testing.T) {
	r := rand.New(rand.NewSource(7))
	triangle := func(low, mode, high float64) float64 { // by rejection
		for {
			x := low + r.Float64()*(high-low)
			top := (x - low) / (mode - low)
			if x > mode {
				top = (high - x) / (high - mode)
			}
			if r.Float64() < top {
				return x
			}
		}
	}
	for _, goal := range []string{"2.2 h", "2.5 h", "2.9 h", "3.3 h", "4 h"} {
		for i := range 2 {
			sets := []plan.Setting{plantest.Set("pond.turnover_goal", goal), plantest.Set("pond.volume_error", "15 %")}
			w := waterOf(t, plantest.TwoPumps, sets...)
			p, base := w.Pumps[i], w.Works.Line.Spec()
			ends := DoubtedLosses(w.Works.DirtLoss)
			met, draws := 0, 20000
			var dirt [4000]float64
			for k := range dirt {
				dirt[k] = w.Works.DirtOf(math.Exp(triangle(math.Log(ends[0]), math.Log(w.Works.DirtLoss), math.Log(ends[1])))).Resistance
			}
			for range draws {
				spec := base
				spec.StaticHead += units.Length(0.1*r.Float64() - 0.05)
				by := 0.8 + 0.4*r.Float64()
				spec.Feeds = append([]pumps.Feed(nil), base.Feeds...)
				for k := range spec.Feeds {
					spec.Feeds[k].Length *= units.Length(by)
					spec.Feeds[k].Loss = pumps.Loss{K: by * spec.Feeds[k].Loss.K, K1: by * spec.Feeds[k].Loss.K1, KInf: by * spec.Feeds[k].Loss.KInf}
				}
				system := pumps.NewSystem(spec)
				line := system.WithDirt(pumps.Dirt{Resistance: dirt[r.Intn(len(dirt))]})
				off := triangle(-1, 0, 1)
				points := p.Pump.Curve(1).Points()
				tolerance := pumps.Tolerance{Flow: 0.09, Head: 0.07}
				flow := 0.0
				for arm := range 2 {
					moved := append([]pumps.Point(nil), points...)
					for k := range moved {
						if arm == 0 {
							moved[k].Flow *= units.Flow(1 + tolerance.Flow*off)
						} else {
							moved[k].Head *= units.Length(1 + tolerance.Head*off)
						}
						moved[k].Power = 0
					}
					c, err := pumps.NewCurve(moved)
					if err != nil {
						t.Fatal(err)
					}
					d, _ := pumps.Solve(c, line)
					if q := float64(d.Flow); arm == 0 || (q > flow) == (off > 0) {
						flow = q
					}
				}
				pond := w.Pond.Value
				low, high := pond.Pond.Range()
				if v := triangle(float64(low), float64(pond.Pond.Volume()), float64(high)); flow > 0 && v/flow <= float64(pond.Goal.Value) {
					met++
				}
			}
			want, got := float64(met)/float64(draws), sure(t, plantest.TwoPumps, i, sets...).Chance
			if math.Abs(got-want) > 0.02 {
				t.Errorf("goal %s, pump %d: chance %.3f, want %.3f", goal, i, got, want)
			}
		}
	}
}

// TestLessLiftIsNoLessSure, nor a pump that gives more at every flow, nor a longer
// time for a turnover.
func TestLessLiftIsNoLessSure(t *testing.T) {
	last := 2.0
	for _, lift := range []string{"0.5 m", "0.7 m", "0.9 m", "1.1 m", "1.3 m", "1.5 m", "1.9 m"} {
		one := sure(t, plantest.TwoPumps, 0, plantest.Set("lift.static_head", lift), plantest.Set("pond.turnover_goal", "3 h"), plantest.Set("upkeep.flow_loss_when_dirty", "20 %"))
		two := sure(t, plantest.TwoPumps, 1, plantest.Set("lift.static_head", lift), plantest.Set("pond.turnover_goal", "3 h"), plantest.Set("upkeep.flow_loss_when_dirty", "20 %"))
		if one.Chance > last || two.Chance < one.Chance {
			t.Errorf("lift %s: chance %g after %g, of the larger pump %g", lift, one.Chance, last, two.Chance)
		}
		last = one.Chance
	}
	if last > 0.1 {
		t.Errorf("the pump lifts 1.9 m with a chance of %g", last)
	}
}

// TestRemedies: where no pump is sure, what would do is looked for: one that is far too
// small is helped by two of it, or by cleaning sooner; where one is sure nothing is.
func TestRemedies(t *testing.T) {
	loss := plantest.Set("upkeep.flow_loss_when_dirty", "40 %")
	goal := waterOf(t, plantest.WaterPlan, loss).Pumps[0]
	h := goal.Surely.Value.High.Value.In(units.Hour)
	w := waterOf(t, plantest.WaterPlan, loss, plantest.Set("pond.turnover_goal", fmt.Sprintf("%.3f h", 0.8*h)))
	kinds := map[bool]int{}
	for _, r := range w.Remedies {
		kinds[r.Number > 0]++
		if r.Chance < ChanceYes || r.Pump != "one" {
			t.Errorf("%+v", r)
		}
	}
	if kinds[true] != 1 || kinds[false] == 0 {
		t.Errorf("remedies %+v", w.Remedies)
	}
	if w := waterOf(t, plantest.WaterPlan, plantest.Set("pond.turnover_goal", "20 h")); len(w.Remedies) != 0 {
		t.Errorf("a sure pump has remedies: %+v", w.Remedies)
	}
	// Two that would fill the tank over its rim are no remedy, however sure.
	tank := []plan.Setting{loss, plantest.Set("pond.turnover_goal", "3 h"), plantest.Set("return.bore", "50 mm"),
		plantest.Set("return.freeboard", "45 mm")}
	if w := waterOf(t, plantest.WaterPlan, tank...); !w.spill.Known || slices.ContainsFunc(w.Remedies, func(r Remedy) bool { return r.Number > 0 }) {
		t.Errorf("spills at %v, remedies %+v", w.spill, w.Remedies)
	}
	two := waterOf(t, plantest.WaterPlan, plantest.Set("pump.1.count", "2")).Pumps[0]
	one := waterOf(t, plantest.WaterPlan, plantest.Set("upkeep.flow_loss_when_dirty", "0 %")).Pumps[0]
	if !two.Alone.Known || two.Alone.Value >= one.Clean.Flow || two.Alone.Value >= two.Dirty.Flow || one.Alone.Known {
		t.Errorf("one alone gives %v, two %v", two.Alone, two.Dirty.Flow)
	}
}

// TestReasons of choice and runner-up.
func TestReasons(t *testing.T) {
	w := waterOf(t, plantest.TwoPumps, plantest.Set("pond.turnover_goal", "5 h"))
	if w.Pumps[0].Reason != "it draws the least of those that do" || w.Pumps[1].Reason != "another draws less" || w.Choice.RunnerUp != 1 {
		t.Errorf("%q, %q, next %d", w.Pumps[0].Reason, w.Pumps[1].Reason, w.Choice.RunnerUp)
	}
	w = waterOf(t, plantest.TwoPumps, plantest.Set("pond.turnover_goal", "2.5 h"))
	if w.Pumps[0].Reason != "it is not sure enough" {
		t.Errorf("%q", w.Pumps[0].Reason)
	}
	w = waterOf(t, plantest.TwoPumps, plantest.Set("choice.pump", "two"))
	if w.Pumps[1].Reason != "the plan names it" || w.Pumps[0].Reason != "the plan names another" {
		t.Errorf("%q, %q", w.Pumps[0].Reason, w.Pumps[1].Reason)
	}
	w = waterOf(t, plantest.WaterPlan, plantest.Set("lift.static_head", "9 m"))
	if w.Choice.Index >= 0 || !strings.Contains(string(w.Pumps[0].Reason), "moves water") {
		t.Errorf("%d, %q", w.Choice.Index, w.Pumps[0].Reason)
	}
}

func TestWordsOfChance(t *testing.T) {
	for chance, want := range map[float64]string{1: "yes", 0.9: "yes", 0.8999: "probably", 0.66: "probably", 0.6599: "too close to tell", 0.33: "too close to tell", 0.3299: "probably not", 0.1: "probably not", 0.0999: "no", 0: "no"} {
		if got := Likely(chance); got != want {
			t.Errorf("%g: %s, want %s", chance, got, want)
		}
	}
}

// TestWhatMovesTheVerdict: an assumed goal is drawn over its practice for what moves
// the verdict most, never for the verdict; what is exact moves nothing.
func TestWhatMovesTheVerdict(t *testing.T) {
	assumed := sure(t, plantest.WaterPlan, 0)
	if assumed.Moves()[0].Input != "goal, which is assumed" || !assumed.InPractice.Known || assumed.InPractice.Value < assumed.Chance {
		t.Errorf("%+v", assumed)
	}
	given := sure(t, plantest.WaterPlan, 0, plantest.Set("pond.turnover_goal", "5 h"))
	if given.Chance != assumed.Chance || given.InPractice.Known {
		t.Errorf("the same goal, given: %+v", given)
	}
	sum := 0.0
	for _, m := range given.Moves() {
		if m.Input == "goal, which is assumed" || m.Input == "what the box leaves open" {
			t.Errorf("%s moves what does not depend on it", m.Input)
		}
		sum += m.Share
	}
	if sum < 0.9 || sum > 1+1e-9 {
		t.Errorf("shares sum to %g", sum)
	}
	if given.Low.Value >= given.High.Value {
		t.Error("no range")
	}
}

// TestBucketSettles: a pump measured at the bucket's flow passes nine ponds in ten.
func TestBucketSettles(t *testing.T) {
	w := waterOf(t, plantest.WaterPlan, plantest.Set("pond.turnover_goal", "3 h"), plantest.Set("pond.volume_error", "20 %"))
	l := w.drawn
	s := w.settle(&w.Pumps[0], l)
	if !s.Known || s.Value.Seconds < 2*pumps.GoodFill {
		t.Fatalf("%+v", s)
	}
	flow, met := float64(s.Value.Bucket)/float64(s.Value.Seconds), 0
	for _, v := range chance.Triangular(3.2, 4, 4.8).Of(chance.Uniform("another")) {
		if v/flow <= 3*3600 {
			met++
		}
	}
	if share := float64(met) / chance.Draws; math.Abs(share-0.9) > 0.01 {
		t.Errorf("%g of the ponds pass", share)
	}
	w.Pond = figure.Unknown[PondWater]("none")
	if w.settle(&w.Pumps[0], l).Known || w.surely(&w.Pumps[0], l).Known {
		t.Error("without a pond there is a verdict")
	}
}
