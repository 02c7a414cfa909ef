package works

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sunrill/data/figure"
	"sunrill/data/units"
)

// TestJudge by a pencil: 10 m³ that are to pass in 5 h ask for 48 m³ a day.
func TestJudge(t *testing.T) {
	type (
		hours = figure.Maybe[units.Duration]
		turns = figure.Maybe[float64]
		met   = figure.Maybe[bool]
	)
	h := func(v float64) hours { return figure.Known(units.Duration(v) * units.Hour) }
	pond := PondWater{Volume: 10, Goal: h(5)}
	for perDay, want := range map[units.Volume]Verdict{
		48: {turns(figure.Known(4.8)), h(5), met(figure.Known(true)), hours{Why: goalMet}},
		60: {turns(figure.Known(6.0)), h(4), met(figure.Known(true)), hours{Why: goalMet}},
		40: {turns(figure.Known(4.0)), h(6), met(figure.Known(false)), h(1)},
		0:  {turns(figure.Known(0.0)), hours{Why: "still"}, met(figure.Known(false)), hours{Why: "still"}},
	} {
		got := Judge(figure.Known(pond), perDay, "still")
		if diff := cmp.Diff(want, got, near[units.Duration](), near[float64]()); diff != "" {
			t.Errorf("%g m³ a day: %s", float64(perDay), diff)
		}
		if got.Meets() != want.Met.Value || got.Misses() == want.Met.Value {
			t.Errorf("%g m³ a day: meets %t, misses %t", float64(perDay), got.Meets(), got.Misses())
		}
	}
	pond.Goal = hours{Why: noGoal}
	if diff := cmp.Diff(Verdict{turns(figure.Known(4.0)), h(6), met{Why: noGoal}, hours{Why: noGoal}}, Judge(figure.Known(pond), 40, "still"),
		near[units.Duration]()); diff != "" {
		t.Errorf("without a goal: %s", diff)
	}
	if diff := cmp.Diff(Unjudged(noVolume), Judge(figure.Unknown[PondWater](noVolume), 40, "still")); diff != "" {
		t.Errorf("without a pond: %s", diff)
	}
}

// TestRangeOfAState: the goal of 5 h is sure where both ends meet or miss it; 40 m³ a day
// lack 2 - 40/24 m³/h; an end that is none has its reason.
func TestRangeOfAState(t *testing.T) {
	pond := PondWater{Volume: 10, Goal: figure.Known(5 * units.Hour), GoalFlow: figure.Known(2 * units.CubicMetrePerHour)}
	for _, c := range []struct {
		fastest, slowest float64
		sure             bool
	}{{3, 4, true}, {4, 5, true}, {4, 6, false}, {6, math.Inf(1), true}, {0, 4, true}} {
		s := WaterState{PerDay: 40, Verdict: Judge(figure.Known(pond), 40, "still")}
		s.within([2]units.Duration{units.Duration(c.fastest) * units.Hour, units.Duration(c.slowest) * units.Hour}, pond)
		if s.Sure != figure.Known(c.sure) || s.Fastest.Known != (c.fastest > 0) || s.Slowest.Known == math.IsInf(c.slowest, 1) {
			t.Errorf("%g to %g h: sure %v, %v to %v", c.fastest, c.slowest, s.Sure, s.Fastest, s.Slowest)
		}
		if lack := s.ShortFlow.Value.In(units.CubicMetrePerHour); math.Abs(lack-(2-40.0/24)) > 1e-12 {
			t.Errorf("lacks %g m³/h", lack)
		}
	}
}
