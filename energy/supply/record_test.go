package supply

import (
	"math"
	"testing"

	"sunrill/data/plan"
	"sunrill/data/reftest"
)

func TestTileStartsAnywhere(t *testing.T) {
	got := Tile([]float64{0, 1, 2}, 2, 8)
	for i, v := range got {
		if v != float64((i+2)%3) {
			t.Fatalf("%v", got)
		}
	}
}

// januaryAndFebruary is a record of 72 hours from noon of 30 January: a panel of 1 W
// in the hour after each noon, a load of 2 W in January and 5 W in February.
func januaryAndFebruary() Record {
	r := Record{Start: 29*24 + 12}
	for i := range 72 {
		panel, load := 0.0, 2.0
		if (r.Start+i)%24 == 12 {
			panel = 1
		}
		if i >= 36 {
			load = 5
		}
		r.Panel, r.Load = append(r.Panel, panel), append(r.Load, load)
	}
	return r
}

// TestRecordByMonth with a pencil: 36 h of January with two noons, 36 h of February
// with one.
func TestRecordByMonth(t *testing.T) {
	r := januaryAndFebruary()
	made, asked := Monthly(r)
	if want := [12]float64{2, 1}; made != want {
		t.Errorf("made %v", made)
	}
	if want := [12]float64{72, 180}; asked != want {
		t.Errorf("asked %v", asked)
	}
	if hours := MonthHours(r); hours != [12]float64{36, 36} {
		t.Errorf("hours %v", hours)
	}
	if r.Hours() != 72 {
		t.Errorf("%d hours", r.Hours())
	}
	reftest.Near(t, "Wh of a mean day", DayLoad(r), (72+180)/3.0, 1e-12)
	reftest.Near(t, "worst month", WorstMonthRatio(r), 1/180.0, 1e-15)
	perMade, perAsked := r.PerDay(30) // of 30 W
	if want := [12]float64{40, 20}; perMade != want {
		t.Errorf("made of a day %v", perMade)
	}
	if want := [12]float64{48, 120}; perAsked != want {
		t.Errorf("asked of a day %v", perAsked)
	}

	r.Standby = 1 << 1
	if _, judged := Judged(r); judged != [12]float64{72} {
		t.Errorf("judged by %v with February off", judged)
	}
	reftest.Near(t, "worst month with February off", WorstMonthRatio(r), 2/72.0, 1e-15)
	r.Standby = plan.AllYear
	if got := WorstMonthRatio(r); !math.IsInf(got, 1) {
		t.Errorf("with every month off %g", got)
	}
}

// TestWorstMonth: a month without a load is none, one without a panel is the worst.
func TestWorstMonth(t *testing.T) {
	for _, c := range []struct {
		made, asked [12]float64
		want        int
	}{
		{[12]float64{}, [12]float64{}, -1},
		{[12]float64{0, 3, 2}, [12]float64{0, 1, 1}, 2},
		{[12]float64{1, 3, 0}, [12]float64{4, 1, 1}, 2},
		{[12]float64{2, 3, 2}, [12]float64{1, 2, 1}, 1},
	} {
		if got := WorstMonth(c.made, c.asked); got != c.want {
			t.Errorf("%v of %v: month %d, want %d", c.made, c.asked, got, c.want)
		}
	}
}

// TestTimes leaves what it multiplies as it was.
func TestTimes(t *testing.T) {
	x := []float64{1, 0, 3}
	if got := Times(x, 2); got[0] != 2 || got[1] != 0 || got[2] != 6 || x[0] != 1 {
		t.Errorf("%v of %v", got, x)
	}
	reftest.Near(t, "nothing of nothing", Ratio(0, 0), 0, 0)
	reftest.Near(t, "a quarter", Ratio(1, 4), 0.25, 0)
}
