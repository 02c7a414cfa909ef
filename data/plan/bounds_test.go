package plan

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"sunrill/data"
)

// lines returns the line that each number from 0 up gives, n of them.
func lines(n int, line func(i int) string) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(line(i) + "\n")
	}
	return b.String()
}

// readBy reads text as the kind of file that its name says.
func readBy(kind, text string) (err error) {
	r := strings.NewReader(text)
	switch kind {
	case "plan":
		_, _, err = ReadPlan("f", r, ReadOptions{})
	case "curve":
		_, _, err = data.ReadCurves("f", r)
	case "climate":
		_, err = data.ReadClimate("f", r)
	case "log":
		_, err = data.ReadLog("f", r)
	case "series":
		_, err = data.ReadSeries("f", r)
	default:
		_, err = data.ReadWeather("f", r)
	}
	return err
}

func onePump(i int) string { return fmt.Sprintf("p%d,0,2\np%[1]d,900,1", i) }

// TestBounds: a list that is too long is told once, with its place, what was found
// and what is allowed; one item fewer is not.
func TestBounds(t *testing.T) {
	repeat := func(s string) func(int) string { return func(int) string { return s } }
	wide := func(heads, row string) func(int) string {
		return func(n int) string { return heads + strings.Repeat(",x", n) + "\n" + row }
	}
	rows := func(head string, line func(int) string) func(int) string {
		return func(n int) string { return head + lines(n, line) }
	}
	power := "-BEGIN HEADER-\nLocation: Latitude 50 Longitude 10\n-END HEADER-\nYEAR"
	for _, c := range []struct {
		kind string
		text func(n int) string
		n    int // beyond the bound
		want string
	}{
		{"plan", rows("", func(i int) string { return fmt.Sprintf("[[pump]]\nname=\"p%d\"", i) }), 65, `f:129:3: pump: too many items: found "item 65"; allowed: up to 64`},
		{"plan", rows("", repeat("[[feed]]")), 65, `f:65:3: feed: too many items: found "item 65"; allowed: up to 64`},
		{"plan", func(n int) string { return "feed = [" + strings.Repeat("{},", n) + "]" }, 65, `f:1:201: feed: too many items: found "item 65"; allowed: up to 64`},
		{"plan", rows("[[branch]]\n", repeat("[[branch.feed]]")), 65, `f:66:10: branch[].feed: too many items: found "item 65"; allowed: up to 64`},
		{"plan", rows("", repeat("[[branch]]\n[[branch.feed]]")), 33, `f:65:3: branch: too many items: found "item 33"; allowed: up to 32`},
		{"plan", rows("", repeat("[[mains.band]]")), 65, `f:65:9: mains.band: too many items: found "item 65"; allowed: up to 64`},
		{"plan", func(n int) string { return "[[feed]]\nfittings = [" + strings.Repeat("\"elbow 90\",", n) + "]" }, 65, `f:2:12: feed.1.fittings: too many fittings: found "65"; allowed: up to 64`},
		{"log", rows("date,time (s),bucket (L)\n", func(int) string { return "2024-01-01,10,10" }), 10_001, `f:10002:1: too many rows: found "row 10001"; allowed: up to 10000`},
		{"curve", rows("pump,flow (L/h),head (m)\n", onePump), 1001, `f:2002:1: too many pumps: found "pump 1001"; allowed: up to 1000`},
		{"curve", rows("flow (L/h),head (m)\n", func(i int) string { return fmt.Sprintf("%d,1", i) }), 100_001, `f:100002:1: too many rows: found "row 100001"; allowed: up to 100000`},
		{"curve", wide("flow (L/h),head (m)", "0,1"), 999, `f:1:2017: too many columns: found "column 1001"; allowed: up to 1000`},
		{"climate", wide("month,temp_c", "1,1"), 999, `f:1:2010: too many columns: found "column 1001"; allowed: up to 1000`},
		{"log", wide("date,time (s)", "1,1"), 999, `f:1:2011: too many columns: found "column 1001"; allowed: up to 1000`},
		{"series", wide("panel (W)", "1,1"), 1000, `f:1:2009: too many columns: found "column 1001"; allowed: up to 1000`},
		{"plain weather", wide("time,ghi", "1,1"), 999, `f:1:2006: too many columns: found "column 1001"; allowed: up to 1000`},
		{"TMY3", wide("1,A,XX,-5,36,-79,273\nDate (MM/DD/YYYY)", "1"), 1000, `f:2:2017: too many columns: found "column 1001"; allowed: up to 1000`},
		{"NASA POWER", wide(power, "1"), 1000, `f:4:2004: too many columns: found "column 1001"; allowed: up to 1000`},
	} {
		const bound = "too many"
		if err := readBy(c.kind, c.text(c.n)); err == nil || strings.Count(err.Error(), bound) != 1 || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %.300v\nwant once %s", c.kind, err, c.want)
		}
		if err := readBy(c.kind, c.text(c.n-1)); err != nil && strings.Contains(err.Error(), bound) {
			t.Errorf("%s: one fewer: %.300v", c.kind, err)
		}
	}
	p := NewPlan()
	for i := range 64 {
		if err := p.Set(fmt.Sprintf("feed.%d.length", i+1), "1 m"); err != nil {
			t.Fatal(err)
		}
	}
	if err := p.Set("feed.65.length", "1 m"); err == nil || err.Error() != `--set feed.65.length: too many items: found "item 65"; allowed: up to 64` {
		t.Error(err)
	}
	l := Loaded{Plan: p}
	l.Plan.Pumps, l.Plan.Origins["pump.1.curve"] = []Pump{{Curve: "c.csv"}}, Origin{Kind: FromCommand, Flag: "curve"}
	var faults data.FaultList
	l.expand(0, "pump.1.curve", make([]data.CurveRows, 65), &faults)
	if err := faults.Err(); err == nil || err.Error() != `--curve: too many pumps for one plan: found "65 pumps in the file"; allowed: up to 64` {
		t.Error(err)
	}
}

// TestReadingTakesItsLength: a file some times as long takes little more than so
// many times as long to read, whether it is good or not. The square of it would
// be 4 times for twice the length.
func TestReadingTakesItsLength(t *testing.T) {
	for name, c := range map[string]struct {
		kind        string
		text        func(n int) string
		short, long int
		most        float64
	}{
		"points": {"curve", func(n int) string {
			return "flow (L/h),head (m)\n" + lines(n, func(i int) string { return fmt.Sprint(i, ",1") })
		}, 20_000, 40_000, 3},
		"pumps":            {"curve", func(n int) string { return "pump,flow (L/h),head (m)\n" + lines(n, onePump) }, 450, 900, 3},
		"wide row":         {"curve", func(n int) string { return "flow (L/h),head (m)\n0" + strings.Repeat(",1", n) }, 20_000, 40_000, 3},
		"lines of sep=":    {"curve", func(n int) string { return strings.Repeat("sep=x\n", n) }, 10_000, 20_000, 3},
		"hours":            {"series", func(n int) string { return "panel (W),load (W)\n" + strings.Repeat("9,8\n", n) }, 20_000, 40_000, 3},
		"months in a line": {"plan", func(n int) string { return "[run]\nmonths_off = [" + strings.Repeat("77,", n) + "]" }, 20_000, 40_000, 3},
		"feeds in a line":  {"plan", func(n int) string { return "feed = [" + strings.Repeat("{a=1},", n) + "]" }, 2000, 4000, 3},
		// Faults that are only counted are not looked into.
		"unknown keys":   {"plan", func(n int) string { return lines(n, func(i int) string { return fmt.Sprintf("k%d = 1", i) }) }, 20, 1000, 10},
		"unknown tables": {"plan", func(n int) string { return lines(n, func(i int) string { return fmt.Sprintf("[k%d]", i) }) }, 20, 1000, 10},
	} {
		took := func(n int) time.Duration {
			text := c.text(n)
			start := time.Now()
			_ = readBy(c.kind, text) // good or not
			return time.Since(start)
		}
		var ratios []float64
		for len(ratios) < 8 { // others may want the processor at any moment
			ratio := float64(min(took(c.long), took(c.long))) / float64(took(c.short))
			if ratios = append(ratios, ratio); ratio <= c.most {
				break
			}
		}
		if ratios[len(ratios)-1] > c.most {
			t.Errorf("%s: %d take %.1f times as long as %d", name, c.long, ratios, c.short)
		}
	}
}

// TestDoublePointsAreCounted: warnings end somewhere too.
func TestDoublePointsAreCounted(t *testing.T) {
	_, warnings, err := data.ReadCurves("f", strings.NewReader("flow (L/h),head (m)\n0,2\n"+strings.Repeat("900,1\n", 1001)))
	if err != nil || len(warnings) != data.MaxFaults+1 || !strings.Contains(warnings[data.MaxFaults].Message.String(), "980 more points stand twice") {
		t.Errorf("%d warnings, %v, %v", len(warnings), warnings[max(0, len(warnings)-1):], err)
	}
}
