package energy

import (
	"fmt"
	"reflect"
	"testing"

	"sunrill/data/plan"
)

// BenchmarkEvaluate takes the demo to each depth, its weather kept.
func BenchmarkEvaluate(b *testing.B) {
	in := demoInputs(b)
	first, err := Evaluate(b.Context(), in, Sun)
	if err != nil {
		b.Fatal(err)
	}
	in.Made = first.Solar.Value.Sky.Made
	for _, c := range []struct {
		name  string
		depth Depth
	}{{"water", Water}, {"sun", Sun}, {"decided", Decided}, {"improved", Improved}, {"all", All}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Evaluate(b.Context(), in, c.depth); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// TestMadeWeatherIsKept: a plan of the same site makes no weather and comes to the
// same; another seed makes its own.
func TestMadeWeatherIsKept(t *testing.T) {
	in := demoInputs(t, plan.Setting{Key: "reliability.years", Text: "1"})
	outcome := func() *Outcome {
		o, err := Evaluate(t.Context(), in, All)
		if err != nil {
			t.Fatal(err)
		}
		return o
	}
	first := outcome()
	made := first.Solar.Value.Sky.Made
	in.Made = made
	again := outcome()
	if again.Solar.Value.Sky.Weather != first.Solar.Value.Sky.Weather {
		t.Error("weather was made again")
	}
	for i, s := range again.Tradeoff {
		if was := first.Tradeoff[i]; !reflect.DeepEqual(s.Panel, was.Panel) || !reflect.DeepEqual(s.Battery, was.Battery) || s.PerDay != was.PerDay {
			t.Errorf("%s: %v with %v, first %v with %v", s.Name, s.Panel, s.Battery, was.Panel, was.Battery)
		}
	}
	in.Plan.Reliability.Seed++
	if other := outcome(); other.Solar.Value.Sky.Made == made {
		t.Error("another seed has the same weather")
	}
}

// TestWorkGrowsWithPumps in a straight line: every curve that is solved or tabled takes
// some memory, so what 4 more pumps take tells how much more is asked. The demo's pumps
// are put into its plan again and again.
func TestWorkGrowsWithPumps(t *testing.T) {
	took := func(pumps int) float64 {
		in := demoInputs(t)
		for i := range pumps - len(in.Plan.Pumps) {
			again := in.Plan.Pumps[i]
			again.Name, again.Present = fmt.Sprintf("%s, %d", again.Name, i), false
			in.Plan.Pumps, in.Curves = append(in.Plan.Pumps, again), append(in.Curves, in.Curves[i])
		}
		return testing.AllocsPerRun(1, func() {
			if o, err := Evaluate(t.Context(), in, Water); err != nil || len(o.Water.Pumps) != pumps {
				t.Fatal(err)
			}
		})
	}
	four, eight, sixteen := took(4), took(8), took(16)
	if want := 2 * (eight - four); sixteen-eight > 1.1*want {
		t.Errorf("from 8 pumps to 16 takes %.0f pieces more, twice that from 4 to 8 is %.0f", sixteen-eight, want)
	}
}
