package works

import (
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
