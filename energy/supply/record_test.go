package supply

import (
	"math"
	"testing"

	"sunrill/data/plan"
	"sunrill/data/plantest"
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

// TestRecordRefuses what no record can hold, each fault at its column.
func TestRecordRefuses(t *testing.T) {
	good := januaryAndFebruary()
	if err := good.Check(); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		keys   string
		change func(*Record)
	}{
		"a short one":         {"series", func(r *Record) { r.Panel, r.Load = r.Panel[:23], r.Load[:23] }},
		"before the year":     {"series", func(r *Record) { r.Start = -1 }},
		"after the year":      {"series", func(r *Record) { r.Start = 8760 }},
		"no panel":            {"series.panel", func(r *Record) { r.Panel = nil }},
		"a panel that takes":  {"series.panel", func(r *Record) { r.Panel[3] = -1 }},
		"no number":           {"series.load", func(r *Record) { r.Load[3] = math.NaN() }},
		"endless":             {"series.load", func(r *Record) { r.Load[3] = math.Inf(1) }},
		"a day of water":      {"series.water", func(r *Record) { r.Water = make([]float64, 24) }},
		"colder than can be":  {"series.battery temperature", func(r *Record) { r.BatteryC = make([]float64, 72); r.BatteryC[71] = -274 }},
		"two columns at once": {"series.panel series.load", func(r *Record) { r.Panel[0], r.Load[0] = -1, -1 }},
	} {
		r := januaryAndFebruary()
		c.change(&r)
		if err := r.Check(); plantest.FaultKeys(err) != c.keys {
			t.Errorf("%s: %v, want a fault of %s", name, err, c.keys)
		}
	}
	good.BatteryC, good.Water = make([]float64, 72), make([]float64, 72)
	good.BatteryC[0] = -30
	if err := good.Check(); err != nil {
		t.Errorf("frost: %v", err)
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
