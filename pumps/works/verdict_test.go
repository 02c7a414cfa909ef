package works

import (
	"math"
	"testing"

	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/pumps"
)

// TestJudge by a pencil: 10 m³ that are to pass in 5 h ask for 48 m³ a day.
func TestJudge(t *testing.T) {
	pond, err := pumps.NewPond(pumps.PondSpec{Shape: pumps.Measured, Volume: 10})
	if err != nil {
		t.Fatal(err)
	}
	w := PondWater{Pond: pond, Goal: figure.Known(5 * units.Hour)}
	for _, c := range []struct {
		perDay                  units.Volume
		meets                   bool
		turns, turn, late, lack float64 // a day, h, h, m³/h
	}{{48, true, 4.8, 5, 0, 0}, {60, true, 6, 4, 0, 0}, {40, false, 4, 6, 1, 8.0 / 24}, {0, false, 0, math.NaN(), 0, 2}} {
		v := Judge(figure.Known(w), c.perDay, "still")
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-12 {
				t.Errorf("%g m³ a day: %s %g, want %g", float64(c.perDay), what, got, want)
			}
		}
		near("turnovers", v.Turnovers.Value, c.turns)
		near("late", v.Missed.Value.In(units.Hour), c.late)
		near("lacking", v.ShortFlow.In(units.CubicMetrePerHour), c.lack)
		if near("turnover", v.Turnover.Value.In(units.Hour), c.turn); v.Meets() != c.meets || v.Misses() == c.meets {
			t.Errorf("%g m³ a day: met %v", float64(c.perDay), v.Met)
		}
		if v.Turnover.Known == (c.perDay == 0) || !v.Turnover.Known && v.Turnover.Why != "still" {
			t.Errorf("%g m³ a day: %+v", float64(c.perDay), v.Turnover)
		}
	}
	for _, c := range []struct {
		fastest, slowest float64
		sure             bool
	}{{3, 4, true}, {4, 5, true}, {4, 6, false}, {6, math.Inf(1), true}} {
		v := Verdict{}
		if v.within(units.Duration(c.fastest)*units.Hour, units.Duration(c.slowest)*units.Hour, w); v.Sure != c.sure {
			t.Errorf("%g to %g h: sure %t", c.fastest, c.slowest, v.Sure)
		}
	}
	w.Goal = figure.Unknown[units.Duration](noGoal)
	if v := Judge(figure.Known(w), 40, "still"); v.Met.Known || v.Met.Why != noGoal || v.Meets() || v.Misses() || !v.Turnover.Known {
		t.Errorf("without a goal: %+v", v)
	}
	if v := Judge(figure.Unknown[PondWater](noVolume), 40, "still"); v.Turnover.Known || v.Met.Why != noVolume {
		t.Errorf("without a pond: %+v", v)
	}
}
