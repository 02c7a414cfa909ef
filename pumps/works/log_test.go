package works

import (
	"math"
	"testing"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// pencilWorks is an invented pump and line that a pencil can follow: the curve
// H = 3 - 0.75 Q with Q in m³/h, 0.6 m of lift and a wide short pipe.
func pencilWorks(t *testing.T, sets ...string) *Waterworks {
	t.Helper()
	p := plan.NewPlan()
	for _, s := range append([]string{"pump.1.name=pencil", "pump.1.label_flow=4000 L/h", "pump.1.label_head=3 m", "lift.static_head=0.6 m",
		"feed.1.bore=200 mm", "feed.1.length=1 cm", "feed.1.loss_k=0", "pond.volume=6 m3"}, sets...) {
		set, err := plan.ParseSetting(s)
		if err != nil {
			t.Fatal(err)
		}
		if err := p.Set(set.Key, set.Text); err != nil {
			t.Fatal(err)
		}
	}
	var rows []data.CurveRow
	for _, q := range []float64{0, 0.9, 1.8, 2.7, 3.6} {
		rows = append(rows, data.CurveRow{Flow: units.Flow(q) * units.CubicMetrePerHour, Head: units.Length(3 - 0.75*q)})
	}
	w, err := NewWaterworks(&p, []data.CurveRows{{Pump: "pencil", Rows: rows}}, Surroundings{})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func dated(flows ...float64) []DatedFlow {
	var all []DatedFlow
	for i := 0; i+1 < len(flows); i += 2 {
		all = append(all, DatedFlow{Day: flows[i], Flow: units.Flow(flows[i+1]) * units.CubicMetrePerHour})
	}
	return all
}

// TestUpkeepByHand: the clean flow is 2.4/0.75 = 3.2 m³/h, the dirty one 75 % of
// it, 2.4 m³/h. k(Q) = (2.4 - 0.75 Q)/Q² in m/(m³/h)²: k(2.4) = 0.6/5.76 =
// 0.104167, k(3) = 0.15/9 = 0.016667, k(2.7) = 0.375/7.29 = 0.051440. Through
// day 0 and day 20 the line rises by 0.034774/20 = 0.0017387 a day and comes to
// 0.104167 on day (0.104167 - 0.016667)/0.0017387 = 50.33.
//
// With a goal of 6 m³ in 2.4 h = 2.5 m³/h, k(2.5) = 0.525/6.25 = 0.084 comes
// first, on day (0.084 - 0.016667)/0.0017387 = 38.73.
func TestUpkeepByHand(t *testing.T) {
	tests := dated(0, 3.0, 20, 2.7)
	for _, test := range []struct {
		set     string
		day     float64
		flow    float64
		because string
	}{
		{"name=no goal", 50.33, 2.4, "the flow that the plan calls dirty"},
		{"pond.turnover_goal=2.4 h", 38.73, 2.5, "the flow that meets the goal"},
		{"pond.turnover_goal=1 h", 50.33, 2.4, "the flow that the plan calls dirty"}, // missed even clean
	} {
		u, warnings, err := pencilWorks(t, test.set).Upkeep(0, tests, false)
		if err != nil || len(warnings) > 0 || !u.Reach.Known {
			t.Fatalf("%s: %+v, %v, %v", test.set, u, warnings, err)
		}
		if math.Abs(u.Reach.Value.Day-test.day) > 0.1 || u.LimitWhy != test.because || math.Abs(u.LimitFlow.In(units.CubicMetrePerHour)-test.flow) > 2e-3 {
			t.Errorf("%s: day %.3f at %v, %s", test.set, u.Reach.Value.Day, u.LimitFlow, u.LimitWhy)
		}
	}
}

// TestUpkeepOfOwnLines: two pumps with a line each share the goal, so that 6 m³
// in 1.2 h asks the 2.5 m³/h above of each, and a bucket is held to one line.
func TestUpkeepOfOwnLines(t *testing.T) {
	w := pencilWorks(t, "pump.1.count=2", "pump.1.own_lines=true", "pond.turnover_goal=1.2 h")
	u, warnings, err := w.Upkeep(0, dated(0, 3.0, 20, 2.7), false)
	if err != nil || len(warnings) > 0 || !u.Reach.Known {
		t.Fatalf("%+v, %v, %v", u, warnings, err)
	}
	if math.Abs(u.Reach.Value.Day-38.73) > 0.1 || math.Abs(u.LimitFlow.In(units.CubicMetrePerHour)-2.5) > 2e-3 {
		t.Errorf("day %.3f at %v, %s", u.Reach.Value.Day, u.LimitFlow, u.LimitWhy)
	}
}

// TestUpkeepOfAnotherPumpsDirt: the limit is the dirt of the plan, whichever pump
// it was fitted on, and no share of this pump's flow: 0.084 m/(m³/h)² leave the
// 2.5 m³/h above.
func TestUpkeepOfAnotherPumpsDirt(t *testing.T) {
	w := pencilWorks(t)
	w.Dirt.Resistance = 0.084 * 3600 * 3600
	u, warnings, err := w.Upkeep(0, dated(0, 3.0, 20, 2.7), false)
	if err != nil || len(warnings) > 0 || !u.Reach.Known {
		t.Fatalf("%+v, %v, %v", u, warnings, err)
	}
	if math.Abs(u.Reach.Value.Day-38.73) > 0.1 || u.LimitWhy != "the flow that the plan calls "+
		"dirty" || math.Abs(u.LimitFlow.In(units.CubicMetrePerHour)-2.5) > 2e-3 {
		t.Errorf("day %.3f at %v, %s", u.Reach.Value.Day, u.LimitFlow, u.LimitWhy)
	}
}

// TestUpkeepSince: a flow that comes back by more than a tenth, or a test marked
// as cleaned, starts anew; a log that marks its cleanings is taken at its word.
func TestUpkeepSince(t *testing.T) {
	tests := dated(0, 3.0, 30, 2.5, 60, 3.0, 80, 2.7)
	if first, _ := courses(tests, false); first[len(first)-1] != 2 {
		t.Errorf("from test %v, want the last to be 2", first)
	}
	if first, _ := courses(tests, true); first[len(first)-1] != 0 {
		t.Errorf("marked: from test %v, want the last to be 0", first)
	}
	tests[1].Cleaned = true
	if first, _ := courses(tests, true); first[len(first)-1] != 1 {
		t.Errorf("marked: from test %v, want the last to be 1", first)
	}
	w := pencilWorks(t)
	u, _, err := w.Upkeep(0, dated(0, 2.5, 20, 2.5, 40, 2.6), false)
	if err != nil || u.Reach.Known {
		t.Errorf("no loss: %+v, %v", u, err)
	}
	if u, warnings, err := w.Upkeep(0, dated(0, 3.9, 10, 3.0, 20, 2.8), false); err != nil || len(warnings) != 1 || u.Trend.N != 2 {
		t.Errorf("beyond the curve: %+v, %v, %v", u, warnings, err)
	}
	if _, _, err := w.Upkeep(0, dated(0, 3.0), false); err == nil {
		t.Error("one test: no error")
	}
}

// TestLossBeforeCleaning: the worst of the runs that a cleaning ended counts, and
// the one that still goes on does not.
func TestLossBeforeCleaning(t *testing.T) {
	tests := dated(0, 3.0, 30, 2.4, 60, 3.0, 80, 2.7, 90, 3.0, 120, 1.0)
	if got := LossBeforeCleaning(tests, false); !got.Known || math.Abs(got.Value-0.2) > 1e-12 {
		t.Errorf("seen by the flow: %+v, want 0.2", got)
	}
	if got := LossBeforeCleaning(tests, true); got.Known || got.Why == "" {
		t.Errorf("none marked: %+v", got)
	}
	tests[4].Cleaned = true
	if got := LossBeforeCleaning(tests, true); !got.Known || math.Abs(got.Value-0.1) > 1e-12 {
		t.Errorf("one marked: %+v, want 0.1", got)
	}
	for _, few := range [][]DatedFlow{nil, dated(0, 3.0), dated(0, 2.0, 10, 3.0), dated(0, 3.0, 10, 0.1, 20, 3.0)} {
		if got := LossBeforeCleaning(few, false); got.Known {
			t.Errorf("%v: %+v", few, got)
		}
	}
	// More flow than at first is no loss.
	tests = dated(0, 3.0, 10, 3.1, 20, 3.0)
	tests[2].Cleaned = true
	if got := LossBeforeCleaning(tests, true); !got.Known || got.Value != 0 {
		t.Errorf("more flow: %+v", got)
	}
}

// TestUpkeepOfFlow: 1000 L/h falling by 5 L/h a day loses a quarter in 50 days.
func TestUpkeepOfFlow(t *testing.T) {
	u, err := UpkeepOfFlow(dated(0, 1.0, 10, 0.95, 20, 0.90), false, 0.25)
	if err != nil || !u.Reach.Known || math.Abs(u.Reach.Value.Day-50) > 1e-6 {
		t.Errorf("%+v, %v", u, err)
	}
}

// TestRunning: the pump named, else the present one, else the choice, else the
// only one; of several without a word none.
func TestRunning(t *testing.T) {
	p := plan.Plan{Pumps: []plan.Pump{{Name: "pencil"}}}
	if i, err := Running(&p, ""); i != 0 || err != nil {
		t.Errorf("the only one: %d, %v", i, err)
	}
	if _, err := Running(&p, "other"); err == nil {
		t.Error("a name that is not there: no error")
	}
	p.Pumps = append(p.Pumps, plan.Pump{Name: "second"})
	if _, err := Running(&p, ""); err == nil {
		t.Error("two pumps and no word: no error")
	}
	p.Pumps[1].Present = true
	if i, err := Running(&p, ""); i != 1 || err != nil {
		t.Errorf("the present one: %d, %v", i, err)
	}
}
