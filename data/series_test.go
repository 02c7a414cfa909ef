package data_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"sunrill/data"
	"sunrill/data/reftest"
)

// dayLog is a log of hours with one heading row.
func dayLog(heading string, hours int, row func(i int) string) string {
	var b strings.Builder
	b.WriteString(heading + "\n")
	for i := range hours {
		b.WriteString(row(i) + "\n")
	}
	return b.String()
}

func TestReadSeries(t *testing.T) {
	plain := func(i int) string { return fmt.Sprintf("%d.5,8", i) }
	for _, c := range []struct {
		name, text string
		hours      int
		first      int
		panel, own float64 // of row 2
	}{
		{"watts", dayLog("panel (W),load (W)", 24, plain), 24, 0, 1.5, 8},
		{"other headings", dayLog("Load_W,panel [kW]", 25, func(int) string { return "8,0.0015" }), 25, 0, 1.5, 8},
		{"semicolons and commas", dayLog("panel (W);load (W)", 24, func(int) string { return "1,5;8" }), 24, 0, 1.5, 8},
		{"timed", dayLog("time,panel (W),load (W)", 24, func(i int) string { return fmt.Sprintf("2024-07-01 %02d:00,1.5,8", i) }), 24, 181 * 24, 1.5, 8},
	} {
		s, err := data.ReadSeries("log.csv", strings.NewReader(c.text))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if len(s.PanelW) != c.hours || len(s.LoadW) != c.hours || s.FirstHour != c.first || s.PanelW[1] != c.panel || s.LoadW[1] != c.own {
			t.Errorf("%s: %d hours from %d, row 2 %g and %g", c.name, len(s.PanelW), s.FirstHour, s.PanelW[1], s.LoadW[1])
		}
	}
}

func TestReadSeriesRefuses(t *testing.T) {
	good := func(int) string { return "1.5,8" }
	broken := func(at int, with string) func(int) string {
		return func(i int) string {
			if i == at {
				return with
			}
			return "1.5,8"
		}
	}
	for _, c := range []struct{ name, text, want string }{
		{"short", dayLog("panel (W),load (W)", 23, good), "shorter than a day: found \"23 rows\"; allowed: 24 rows"},
		{"empty", "", "empty"},
		{"no unit", dayLog("panel,load (W)", 24, good), "log.csv:1:1"},
		{"wrong unit", dayLog("panel (V),load (W)", 24, good), "log.csv:1:1"},
		{"no load", dayLog("panel (W)", 24, func(int) string { return "1.5" }), "load: the column is missing"},
		{"other column", dayLog("panel (W),volts", 24, good), "no such column"},
		{"no heading", dayLog("1,2", 24, good), "heading row is missing"},
		{"missing cell", dayLog("panel (W),load (W)", 30, broken(3, ",8")), "log.csv:5:1"},
		{"no number", dayLog("panel (W),load (W)", 30, broken(3, "1.5,NaN")), "log.csv:5:5"},
		{"negative", dayLog("panel (W),load (W)", 30, broken(3, "-1.5,8")), "negative"},
		{"gap", dayLog("time,panel (W),load (W)", 24, func(i int) string { return fmt.Sprintf("2023-07-%02d %02d:00,1.5,8", 1+i/12, i%12) }), "log.csv:14:1: time: not an hour after the row before"},
		{"half hours", dayLog("time,panel (W),load (W)", 24, func(i int) string { return fmt.Sprintf("2023-07-01 %02d:30,1.5,8", i) }), "start of an hour"},
	} {
		_, err := data.ReadSeries("log.csv", strings.NewReader(c.text))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

// TestReadSeriesLeap leaves 29 February out.
func TestReadSeriesLeap(t *testing.T) {
	days := []string{"02-28", "02-29", "03-01"}
	text := dayLog("time,panel (W),load (W)", 72, func(i int) string {
		return fmt.Sprintf("2024-%sT%02d:00,%d,8", days[i/24], i%24, i)
	})
	s, err := data.ReadSeries("log.csv", strings.NewReader(text))
	if err != nil || len(s.PanelW) != 48 || s.PanelW[24] != 48 || s.FirstHour != 58*24 {
		t.Errorf("%+v, %v", s, err)
	}
}

func FuzzReadSeries(f *testing.F) {
	f.Add(dayLog("panel (W),load (W)", 24, func(int) string { return "1.5,8" }), []byte{5, 1, 0, 1, 1, 2, 1, 0})
	f.Add("time;panel (W);load (W)\n2024-02-29 00:00;1,5;8\n", []byte{})
	for _, text := range data.OddFiles(f) {
		f.Add(text, []byte{})
	}
	f.Fuzz(func(t *testing.T, text string, moves []byte) {
		s, err := data.ReadSeries("log.csv", strings.NewReader(reftest.Damaged(text, ",", moves)))
		if err != nil {
			return
		}
		if len(s.PanelW) != len(s.LoadW) {
			t.Fatalf("%d and %d hours", len(s.PanelW), len(s.LoadW))
		}
		for i := range s.PanelW {
			if !(s.PanelW[i] >= 0 && s.LoadW[i] >= 0 && s.PanelW[i] < 1e300 && s.LoadW[i] < 1e300) {
				t.Fatalf("row %d: %g, %g", i, s.PanelW[i], s.LoadW[i])
			}
		}
	})
}

// TestSeriesSaysItDropsTheLeapDay: a day of a log that is not used is named.
func TestSeriesSaysItDropsTheLeapDay(t *testing.T) {
	log := "time,panel (W),load (W)\n"
	start := time.Date(2024, time.February, 28, 0, 0, 0, 0, time.UTC)
	for h := range 72 {
		log += start.Add(time.Duration(h)*time.Hour).Format("2006-01-02 15:04") + ",10,5\n"
	}
	s, err := data.ReadSeries("log.csv", strings.NewReader(log))
	if err != nil || len(s.LoadW) != 48 || len(s.Warnings) != 1 || !strings.Contains(s.Warnings[0].Message.String(), "29 February") {
		t.Errorf("%+v, %v", s, err)
	}
}
