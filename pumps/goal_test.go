package pumps

import (
	"testing"

	"sunrill/data/units"
)

func TestJudgeAgainstTheGoal(t *testing.T) {
	s, c, _ := referenceSystem(t, "typical")
	d, _ := Solve(c, s)
	pump := mustPump(t, PumpSpec{Name: "small", Points: referencePoints(t, "small")})
	run := mustRun(t, pump, 1, s)
	pond := mustPond(t, PondSpec{Shape: Measured, Volume: 8, Error: 0.15})
	hours := 8 / d.Flow.In(m3h) // 5.03 h
	for _, x := range []struct {
		goal      float64 // h
		met, sure bool
	}{{10, true, true}, {hours * 1.01, true, false}, {hours * 0.99, false, false}, {2, false, true}} {
		v := Judge(run, pond, units.Duration(x.goal)*units.Hour)
		if v.Met != x.met || v.Sure != x.sure {
			t.Errorf("goal %g h: %+v", x.goal, v)
		}
		wantNear(t, "judge", "turnover", v.Turnover.In(units.Hour), hours, 1e-9)
		wantNear(t, "judge", "missed by", v.Missed.In(units.Hour), max(0, hours-x.goal), 1e-9)
		if v.Fastest >= v.Turnover || v.Slowest <= v.Turnover {
			t.Errorf("span %+v", v)
		}
	}
	wide, _, _ := referenceSystem(t, "beyond_curve_end")
	if v := Judge(mustRun(t, pump, 1, wide), pond, 4*units.Hour); !v.Met || !v.AtLeast {
		t.Errorf("2000 L/h at least turns 8 m3 over in 4 h: %+v", v)
	}
	high, _, _ := referenceSystem(t, "static_above_shutoff")
	if v := Judge(mustRun(t, pump, 1, high), pond, 4*units.Hour); v.Met || v.Turnover != 0 || !v.Sure {
		t.Errorf("a pump that does not lift: %+v", v)
	}
}

func TestSmallestPumpThatMeetsTheGoal(t *testing.T) {
	s, _, _ := referenceSystem(t, "typical")
	var runs []Run
	for _, name := range []string{"big", "small", "droop"} {
		runs = append(runs, mustRun(t, mustPump(t, PumpSpec{Points: referencePoints(t, name)}), 1, s))
	}
	pond := mustPond(t, PondSpec{Shape: Measured, Volume: 8})
	if i, ok := Smallest(runs, pond, 6*units.Hour); !ok || i != 1 {
		t.Errorf("6 h: %d %v", i, ok)
	}
	if i, ok := Smallest(runs, pond, 4*units.Hour); !ok || i != 2 { // needs 2000 L/h
		t.Errorf("4 h: %d %v", i, ok)
	}
	if _, ok := Smallest(runs, pond, 1*units.Hour); ok {
		t.Error("1 h: 8000 L/h is more than any gives")
	}
}
