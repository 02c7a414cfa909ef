package clock

import (
	"fmt"
	"math"
	"testing"
	"time"

	"sunrill/data/plan"
	"sunrill/data/reftest"
)

// TestAlwaysRunsAllYear: 8,760 hours at the one speed.
func TestAlwaysRunsAllYear(t *testing.T) {
	got := ScheduleOf(plan.Run{Speed: 0.8}).Hours()
	if len(got) != 1 || got[0].Speed != 0.8 || math.Abs(got[0].Hours-8760) > 1e-9 {
		t.Errorf("%+v", got)
	}
}

// TestZeroScheduleIsOff: the zero value stands still in every hour.
func TestZeroScheduleIsOff(t *testing.T) {
	var s Schedule
	if got := s.Hours(); len(got) != 1 || got[0].Speed != 0 || math.Abs(got[0].Hours-8760) > 1e-9 {
		t.Errorf("%+v", got)
	}
	if s.RunningMonths() != 0 || s.Slows() {
		t.Errorf("runs in %b, slows %v", s.RunningMonths(), s.Slows())
	}
}

// TestMonthlyHoursByHand: month m draws m W in the hour after m-1 h and nothing
// else. Its day has m Wh, its year 1 x 31 + 2 x 28 + 3 x 31 + ... + 12 x 31 = 2382 Wh.
func TestMonthlyHoursByHand(t *testing.T) {
	var u MonthlyHours
	for m := range u {
		u[m][m] = float64(m+1) / 1000
	}
	reftest.Near(t, "Wh a day in March", u.PerDay(time.March).WattHours(), 3, 1e-9)
	reftest.Near(t, "kWh a year", u.PerYear().KilowattHours(), 2.382, 1e-12)
	if got := u.DaysByMonth(); math.Abs(got[0]-1) > 1e-9 || math.Abs(got[11]-12) > 1e-9 {
		t.Errorf("days by month: %v", got)
	}
	watts := u.Watts()
	if len(watts) != 8760 {
		t.Fatalf("%d hours", len(watts))
	}
	sum := 0.0
	for _, w := range watts {
		sum += w
	}
	reftest.Near(t, "sum of the hours", sum, 2382, 1e-6)
	for at, want := range map[int]float64{0: 1, 1: 0, 31 * 24: 0, 31*24 + 1: 2, 8759 - 12: 12, 8759: 0} {
		reftest.Near(t, fmt.Sprint("hour ", at), watts[at], want, 1e-9)
	}
}

// TestOrRunsWhereEitherDoes: 6 to 9 h at half speed in summer, and 8:30 to 12 h:
// together from 6 to 12 h in summer at full speed, of 8 to 9 h the whole; in
// winter 3.5 h.
func TestOrRunsWhereEitherDoes(t *testing.T) {
	summer := band(6, 9, 0.5)
	summer.Months = 1 << 6
	early, late := ScheduleOf(plan.Run{Bands: []plan.RunBand{summer}}), ScheduleOf(plan.Run{Bands: []plan.RunBand{band(8.5, 12, 1)}})
	for _, both := range []Schedule{early.Or(late), late.Or(early)} {
		for month, want := range map[time.Month]float64{time.July: 6, time.January: 3.5} {
			on := 0.0
			for h := range 24 {
				for _, sp := range both.Spells(month, h) {
					if sp.Speed != 0 && sp.Speed != 1 {
						t.Errorf("%v runs at %g", month, sp.Speed)
					}
					on += sp.Speed * sp.Part
				}
			}
			reftest.Near(t, month.String()+" hours", on, want, 1e-9)
		}
	}
	if !early.Slows() || late.Slows() || early.Or(late).Slows() {
		t.Errorf("slows: early %v, late %v, both %v", early.Slows(), late.Slows(), early.Or(late).Slows())
	}
	reftest.Near(t, "a half hour", late.Spells(time.May, 8)[1].Part, 0.5, 1e-9)
}
