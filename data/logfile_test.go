package data

import (
	"math"
	"strings"
	"testing"
	"time"

	"sunrill/data/reftest"
	"sunrill/data/units"
)

func TestReadLog(t *testing.T) {
	const text = `# tests at the tank
Date;bucket (L);time (s);flow (L/h);watts;cleaned;note
14.3.2026;12;9,8;;61,5;yes;new strainer
2026-04-01;;;1950;60;;by the meter
30 Apr 2026;12;0:11,2;;;no;
`
	l, err := ReadLog("log.csv", strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	day := func(m time.Month, d int) LogDay { return LogDay{time.Date(2026, m, d, 0, 0, 0, 0, time.UTC)} }
	want := []LogRow{
		{Date: day(3, 14), Bucket: 12 * units.Litre, Time: 9.8, Power: 61.5, Cleaned: true, Note: "new strainer", Line: 3, Column: 14},
		{Date: day(4, 1), Flow: 1950 * units.LitrePerHour, Power: 60, Note: "by the meter", Line: 4, Column: 13},
		{Date: day(4, 30), Bucket: 12 * units.Litre, Time: 11.2, Line: 5, Column: 16},
	}
	if !l.HasCleaned || len(l.Warnings) > 0 || len(l.Rows) != len(want) {
		t.Fatalf("%+v", l)
	}
	for i, w := range want {
		g := l.Rows[i]
		near := math.Abs(float64(g.Bucket-w.Bucket)) < 1e-12 && math.Abs(float64(g.Flow-w.Flow)) < 1e-12
		g.Bucket, g.Flow = w.Bucket, w.Flow
		if g != w || !near {
			t.Errorf("row %d: %+v, want %+v", i, l.Rows[i], w)
		}
	}
}

func TestReadLogSorts(t *testing.T) {
	l, err := ReadLog("log.csv", strings.NewReader("date,time_s\n2026-05-01,12\n2026-04-01,10\n"))
	if err != nil || l.Rows[0].Time != 10 || len(l.Warnings) != 2 ||
		!strings.Contains(l.Warnings[0].String(), "no column says when the line was cleaned") {
		t.Errorf("%+v, %v", l, err)
	}
}

func TestReadLogRefuses(t *testing.T) {
	for _, test := range []struct{ text, want string }{
		{"", "empty"},
		{"date,time (s)\n", "there are no tests under the headings"},
		{"time (s)\n9.8\n", "date: the column is missing"},
		{"2026-03-01,9.8\n2026-03-02,9.9\n", "the heading row is missing"},
		{"date,time_fortnight\n2026-03-01,9.8\n", `time: "fortnight" is not a unit of time`},
		{"date,power (W)\n2026-03-01,40\n", "neither time nor flow"},
		{"date,time\n2026-03-01,9.8\n", "the heading has no unit"},
		{"date,time (L)\n2026-03-01,9.8\n", "allowed: a heading such as time (s)"},
		{"date,time (s),colour\n2026-03-01,9.8,red\n", "there is no such column in a log"},
		{"date,time (s),time_s\n2026-03-01,9.8,9\n", "stands in two columns"},
		{"date,time (s)\n03/04/2026,9.8\n", "as 3 Apr 2026 or as 4 Mar 2026"},
		{"date,time (s)\n2026-02-30,9.8\n", "not a day of the calendar"},
		{"date,time (s)\n,9.8\n", "the cell is empty"},
		{"date,time (s)\n2026-03-01,-9.8\n", "the time is negative"},
		{"date,time (s)\n2026-03-01,0\n", "nothing was measured"},
		{"date,time (s)\n2026-03-01,NaN\n", "not a number"},
		{"date,time (s),flow (L/h)\n2026-03-01,9.8,2000\n", "one time or one flow"},
		{"date,time (s)\n2026-03-01,\n", "one time or one flow"},
		{"date,time (s),cleaned\n2026-03-01,9.8,perhaps\n", "neither yes nor no"},
		{"date,time (s)\n2026-03-01,9.8\n2026-03-02,x\nlater,9\n", "log.csv:4:1"},
	} {
		l, err := ReadLog("log.csv", strings.NewReader(test.text))
		if err == nil || !strings.Contains(err.Error(), test.want) || len(l.Rows) > 0 {
			t.Errorf("%q: %v, want %q", test.text, err, test.want)
		}
	}
	// slashes that can be read one way are
	for text, want := range map[string]string{"25/4/2026": "2026-04-25", "4/25/2026": "2026-04-25", "4/4/2026": "2026-04-04"} {
		var d LogDay
		if err := d.UnmarshalText([]byte(text)); err != nil || d.Format("2006-01-02") != want {
			t.Errorf("%s: %v, %v", text, d, err)
		}
	}
}

// FuzzReadLog checks that no log makes the reader panic, and that every test it
// returns has a day, in order, and one finite figure above zero.
func FuzzReadLog(f *testing.F) {
	for _, text := range []string{
		"date,time (s)\n2026-03-14,9.8\n", "sep=;\nDate;bucket (L);time (s);watts\n14.3.2026;12;9,8;61,5\n",
		"date\tflow (US gal/h)\tcleaned\n1 Jan 2026\t520\tx\n", "\ufeffdate,flow_l_per_h,note\n2026/03/14,1e3,\"a \"\"b\"\"\"\n",
		"date,time (s),flow (L/h)\n2026-03-14,,\n", "date,time (s)\n2026-03-14,1e400\n", "date,seconds\n0000-00-00,1\n",
		"date,time (h)\n9999-12-31,1e15\n", "date,,time (s)\n", "date,time (s)\n2026-03-14,1,500\n2026-03-14,1.500\n", "\x00,\xff\n",
	} {
		f.Add(text, []byte{})
	}
	for _, text := range OddFiles(f) {
		f.Add(text, []byte{})
	}
	f.Add("date,bucket (L),time (s),power (W),cleaned\n2026-03-14,12,9.8,61,yes\n2026-04-14,12,10.8,60,\n", []byte{5, 1, 2, 1, 1, 2, 1, 0})
	f.Fuzz(func(t *testing.T, text string, moves []byte) {
		l, err := ReadLog("log.csv", strings.NewReader(reftest.Damaged(text, ",", moves)))
		if err != nil {
			if len(l.Rows) > 0 {
				t.Errorf("rows beside the error %v", err)
			}
			return
		}
		for i, r := range l.Rows {
			for _, v := range []float64{float64(r.Bucket), float64(r.Time), float64(r.Flow), float64(r.Power)} {
				if !(v >= 0 && v <= units.Largest) {
					t.Errorf("row %d: %g", i, v)
				}
			}
			if (r.Time > 0) == (r.Flow > 0) || r.Date.IsZero() || i > 0 && r.Date.Before(l.Rows[i-1].Date.Time) {
				t.Errorf("row %d: %+v", i, r)
			}
		}
	})
}

// TestLogFaultsAreTheSameEachTime: where the last fault that is told is one of
// several in a row, it is always the first of them.
func TestLogFaultsAreTheSameEachTime(t *testing.T) {
	text := "date,bucket (L),time (s),power (W)\n" + strings.Repeat("2026-03-01,10,x,50\n", MaxFaults-1) + "2026-03-02,x,y,z\n"
	for range 20 {
		_, err := ReadLog("tests.csv", strings.NewReader(text))
		faults := Faults(err)
		if len(faults) != MaxFaults+1 || faults[MaxFaults-1].Line != MaxFaults+1 || faults[MaxFaults-1].Key != "bucket (L)" {
			t.Fatalf("%v", err)
		}
	}
}
