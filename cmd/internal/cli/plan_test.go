package cli

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"sunrill/data/plan"
	"sunrill/data/plantest"
)

// TestBrokenPlansAreRefused runs every broken plan through the command: exit 2,
// the line named, nothing on standard output.
func TestBrokenPlansAreRefused(t *testing.T) {
	broken := plantest.BrokenPlans()
	if len(broken) < 100 {
		t.Fatalf("only %d broken plans", len(broken))
	}
	dir := t.TempDir()
	path := filepath.Join(dir, plan.PlanFile)
	for _, b := range broken {
		if err := os.WriteFile(path, []byte(b.Text), 0o666); err != nil {
			t.Fatal(err)
		}
		code, out, errs := run("plan", path)
		if code != exitUsage || out != "" {
			t.Errorf("%s: exit %d, %d bytes on standard output\n%s", b.Name, code, len(out), errs)
		}
		if place := fmt.Sprintf("%s:%d:", path, b.Line); !strings.Contains(errs, place) {
			t.Errorf("%s: line %d is not named: %s", b.Name, b.Line, errs)
		}
	}
}

// TestSamePlanSameBytes runs the demo twice in every format.
func TestSamePlanSameBytes(t *testing.T) {
	for _, format := range []string{"text", "json"} {
		_, first, _ := run("plan", "--demo", "--format", format)
		_, again, _ := run("plan", "--demo", "--format", format)
		if first != again {
			t.Errorf("%s: the same plan gives other bytes", format)
		}
	}
}

// object returns the demo's JSON of a command.
func object(t *testing.T, args ...string) map[string]any {
	t.Helper()
	code, out, errs := run(append(args, "--format", "json")...)
	if code != exitAnswered {
		t.Fatalf("%v: exit %d: %s", args, code, errs)
	}
	var o map[string]any
	if err := json.Unmarshal([]byte(out), &o); err != nil {
		t.Fatal(err)
	}
	return o
}

// TestPlanContract asks the object of plan for every key that its readers
// count on.
func TestPlanContract(t *testing.T) {
	o := object(t, "plan", "--demo")
	has := func(at map[string]any, where string, keys ...string) {
		for _, k := range keys {
			if _, ok := at[k]; !ok {
				t.Errorf("%s has no %s", where, k)
			}
		}
	}
	has(o, "plan", "format_version", "pond", "pumps", "chosen", "mains", "solar", "tradeoff", "cautions", "assumed", "sources")
	has(o["pond"].(map[string]any), "pond", "volume_m3", "goal_turnover_h")
	state := []string{"flow_m3_per_h", "head_m", "power_w", "turnover_h", "turnovers_per_day", "kwh_per_day", "kwh_per_year", "cost_per_year", "goal_met"}
	for _, p := range o["pumps"].([]any) {
		has(p.(map[string]any), "pump", "name", "clean", "dirty")
		has(p.(map[string]any)["clean"].(map[string]any), "clean", state...)
		has(p.(map[string]any)["dirty"].(map[string]any), "dirty", state...)
	}
	solar := o["solar"].(map[string]any)
	has(solar, "solar", "day_and_night", "daylight_only")
	has(solar["day_and_night"].(map[string]any), "day_and_night", "panel_w", "battery_wh", "worst_month", "handbook", "longest_stop_h")
	rows := o["tradeoff"].([]any)
	if len(rows) < 10 {
		t.Errorf("only %d strategies", len(rows))
	}
	for _, r := range rows {
		has(r.(map[string]any), "tradeoff", "strategy", "flow_m3_per_day", "turnovers_per_day", "kwh_per_day", "wh_per_m3", "cost_per_year",
			"panel_w", "battery_wh", "longest_stop_h", "goal_met", "risk")
	}
}

// TestEveryNullHasItsReason walks the object of plans that know little, or have
// no answer: what is null has its reason beside it, under its own key with _why,
// or in the why of the whole row.
func TestEveryNullHasItsReason(t *testing.T) {
	for name, c := range map[string]struct {
		args []string
		exit int
	}{
		"demo":        {[]string{"plan", "--demo"}, exitAnswered},
		"tradeoff":    {[]string{"tradeoff", "--demo"}, exitAnswered},
		"duty":        {[]string{"duty", "--demo"}, exitAnswered},
		"compare":     {[]string{"compare", "--demo"}, exitAnswered},
		"sun":         {[]string{"sun", "--demo"}, exitAnswered},
		"dark sun":    {[]string{"sun", "--lat", "78", "--lon", "15"}, exitAnswered},
		"balance":     {[]string{"balance", "--demo", "--panel", "300W", "--battery", "1kWh"}, exitAnswered},
		"size":        {[]string{"size", "--demo"}, exitAnswered},
		"too small":   {[]string{"size", "--lat", "52.4", "--lon", "13.1", "--load", "20W", "--panel", "20W", "--years", "2"}, exitNoAnswer},
		"a label":     {[]string{"duty", "--label-flow", "3000L/h", "--label-head", "3m", "--static-head", "1m", "--pipe-bore", "32mm", "--pipe-length", "6m"}, exitAnswered},
		"no volume":   {[]string{"compare", "--label-flow", "3000L/h", "--label-head", "3m", "--static-head", "1m", "--pipe-bore", "32mm", "--pipe-length", "6m"}, exitAnswered},
		"measure":     {[]string{"measure", "--demo"}, exitAnswered},
		"test alone":  {[]string{"measure", "--bucket", "12L", "--time", "10s"}, exitAnswered},
		"no price":    {[]string{"plan", "--demo", "--set", "panel.price_per_watt=0", "--set", "battery.size=20Ah"}, exitAnswered},
		"none meets":  {[]string{"plan", "--demo", "--turnover-goal", "1h"}, exitNoAnswer},
		"none lifts":  {[]string{"plan", "--demo", "--set", "lift.static_head=9m"}, exitNoAnswer},
		"polar night": {[]string{"plan", "--demo", "--lat", "78", "--lon", "15"}, exitAnswered},
		"no site":     {[]string{"plan", "--volume", "5m3", "--label-flow", "3000L/h", "--label-head", "3m", "--label-power", "40W", "--static-head", "1m", "--pipe-bore", "32mm", "--pipe-length", "6m"}, exitAnswered},
	} {
		code, out, errs := run(append(c.args, "--format", "json")...)
		if code != c.exit {
			t.Errorf("%s: exit %d: %s", name, code, errs)
		}
		var o any
		if err := json.Unmarshal([]byte(out), &o); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		for _, where := range unexplained(o, "") {
			t.Errorf("%s: %s is null without a reason", name, where)
		}
	}
}

// unexplained returns the paths of what is null without a reason.
func unexplained(v any, at string) []string {
	var bad []string
	switch v := v.(type) {
	case map[string]any:
		why, _ := v["why"].(string)
		for k, inner := range v {
			own, _ := v[k+"_why"].(string)
			if inner == nil && own == "" && why == "" {
				bad = append(bad, at+"."+k)
			}
			bad = append(bad, unexplained(inner, at+"."+k)...)
		}
	case []any:
		for i, inner := range v {
			bad = append(bad, unexplained(inner, fmt.Sprintf("%s.%d", at, i))...)
		}
	}
	return bad
}

// TestTradeoffTellsWhatTheTradeKnows holds the rows of the demo to what design
// asks them to show.
func TestTradeoffTellsWhatTheTradeKnows(t *testing.T) {
	rows := map[string]map[string]any{}
	for _, r := range object(t, "tradeoff", "--demo")["tradeoff"].([]any) {
		rows[r.(map[string]any)["strategy"].(string)] = r.(map[string]any)
	}
	num := func(row, key string) float64 {
		v, ok := rows[row][key].(float64)
		if !ok {
			t.Fatalf("%s has no %s", row, key)
		}
		return v
	}
	full, valve, slow := "full speed", "valve, as much as 80 %", "80 % speed"
	if num(valve, "power_w") < 0.85*num(full, "power_w") {
		t.Error("a valve saves more than next to nothing")
	}
	if num(slow, "power_w") > 0.6*num(full, "power_w") {
		t.Error("slowing down saves little")
	}
	if v, s := num(valve, "flow_m3_per_day"), num(slow, "flow_m3_per_day"); math.Abs(v/s-1) > 0.05 {
		t.Errorf("the valve is set to %g, not to the %g of 80 %% speed", v, s)
	}
	least, at := math.Inf(1), ""
	for name, r := range rows {
		if wh, ok := r["wh_per_m3"].(float64); ok && r["kind"] == "slower" && wh < least {
			least, at = wh, name
		}
	}
	if rows[at]["least_wh_per_m3"] != true {
		t.Errorf("%s is the cheapest, another row is marked", at)
	}
	if num("60 % speed", "wh_per_m3") <= least {
		t.Error("below the cheapest speed a litre should cost more")
	}
	for name, r := range rows {
		if r["possible"] != true {
			continue
		}
		if risk, ok := r["risk"].(string); !ok || risk == "none" || risk == "" {
			t.Errorf("%s: risk %v: it is graded, never cleared", name, r["risk"])
		}
	}
	if r := rows["off at night, air on"]["risk"]; r == "slight" {
		t.Error("a night's stop in warm water is no slight risk")
	}
}

// TestEveryNumberOfThePlanIsOnThePage looks up each number of the tables, as
// CSV has it, in the text and Markdown pages, rounded as they round.
func TestEveryNumberOfThePlanIsOnThePage(t *testing.T) {
	t.Run("plan", func(t *testing.T) { everyNumberIsOnThePage(t, "plan", 200) })
	t.Run("tradeoff", func(t *testing.T) { everyNumberIsOnThePage(t, "tradeoff", 100) })
}

func everyNumberIsOnThePage(t *testing.T, command string, least int) {
	t.Helper()
	_, table, _ := run(command, "--demo", "--format", "csv")
	_, text, _ := run(command, "--demo", "--format", "text", "--working") // with it plan prints the long page
	_, markdown, _ := run(command, "--demo", "--format", "markdown")
	o := object(t, command, "--demo")
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, row := range rows[1:] {
		v, err := strconv.ParseFloat(row[3], 64)
		if err != nil || strings.HasPrefix(row[0], "picture") {
			continue
		}
		seen++
		if row[0] == "tradeoff" || row[0] == "tradeoff_sun" {
			i, _ := strconv.Atoi(row[1])
			if got, ok := o["tradeoff"].([]any)[i-1].(map[string]any)[row[2]].(float64); !ok || got != v {
				t.Errorf("%s of row %d is %g in JSON, %g in CSV", row[2], i, got, v)
			}
		}
		found := false
		for _, factor := range []float64{1, 1000, 100} { // L/h for m3/h, per cent for shares
			for _, figure := range []string{strconv.FormatFloat(v*factor, 'f', 0, 64), strconv.FormatFloat(v*factor, 'f', 1, 64), trimmed(v * factor)} {
				found = found || strings.Contains(text, figure) && strings.Contains(markdown, figure)
			}
		}
		if !found {
			t.Errorf("%s row %s: %s = %s is on no page", row[0], row[1], row[2], row[3])
		}
	}
	if seen < least {
		t.Errorf("only %d numbers", seen)
	}
}

// trimmed returns v in three significant digits.
func trimmed(v float64) string {
	if v == 0 {
		return "0"
	}
	size := int(math.Floor(math.Log10(math.Abs(v))))
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 2, 64), 64)
	return strconv.FormatFloat(rounded, 'f', max(0, 2-size), 64)
}

// TestGoldenPlan compares the demo's pages with those kept; UPDATE_GOLDEN=1
// rewrites them.
func TestGoldenPlan(t *testing.T) {
	for name, args := range map[string][]string{
		"plan-metric.txt":   {"plan", "--demo", "--all"},
		"plan-us.txt":       {"plan", "--demo", "--all", "--units", "us"},
		"plan-imperial.txt": {"plan", "--demo", "--all", "--units", "imperial"},
		"plan.md":           {"plan", "--demo", "--format", "markdown"},
		"plan.csv":          {"plan", "--demo", "--format", "csv"},
		"plan.json":         {"plan", "--demo", "--format", "json"},
		"tradeoff.txt":      {"tradeoff", "--demo"},
	} {
		t.Run(name, func(t *testing.T) {
			code, out, errs := run(args...)
			if code != exitAnswered {
				t.Fatalf("exit %d: %s", code, errs)
			}
			if strings.Contains(out, "\x1b") {
				t.Error("colour where nobody can see it")
			}
			if filepath.Ext(name) != ".txt" && runtime.GOARCH != "amd64" {
				t.Skip("the last digits of full precision are those of one processor")
			}
			path := filepath.Join("testdata", name)
			if os.Getenv("UPDATE_GOLDEN") != "" {
				if err := os.WriteFile(path, []byte(out), 0o666); err != nil {
					t.Fatal(err)
				}
				return
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(want, []byte(out)) {
				t.Errorf("%s differs from what is kept; look at the change, then UPDATE_GOLDEN=1", name)
			}
			for _, line := range strings.Split(out, "\n") {
				if strings.HasSuffix(name, ".txt") && len([]rune(line)) > pageWidth {
					t.Errorf("wider than %d: %q", pageWidth, line)
				}
			}
		})
	}
}

// BenchmarkPlan is the whole job of the demo, page and all.
func BenchmarkPlan(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if code, _, errs := run("plan", "--demo"); code != exitAnswered {
			b.Fatal(errs)
		}
	}
}
