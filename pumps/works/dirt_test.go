package works

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/pumps"
)

// curvesPlan returns the water of a pond of 6 m3 with a goal, one pump for each of
// curves, whose points are m3/h and m, and a hose of the table.
func curvesPlan(t *testing.T, curves [][][2]float64, hose string, sets ...plan.Setting) *WaterResult {
	t.Helper()
	var text, file strings.Builder
	text.WriteString("[pond]\nvolume = \"6 m3\"\nvolume_error = \"0 %\"\nstocking = \"light\"\nturnover_goal = \"3 h\"\n")
	file.WriteString("pump,flow (m3/h),head (m),power (W)\n")
	for i, c := range curves {
		name := fmt.Sprintf("p%d", i+1)
		fmt.Fprintf(&text, "[[pump]]\nname = %q\ncurve = \"curve.csv\"\n", name)
		for _, p := range c {
			fmt.Fprintf(&file, "%s,%.6f,%.6f,%d\n", name, p[0], p[1], 5000*(i+1))
		}
	}
	text.WriteString("[lift]\nstatic_head = \"0.9 m\"\n[[feed]]\npipe = \"" + hose + "\"\nlength = \"10 m\"\n")
	p, _, err := plan.ReadPlan("pond.toml", strings.NewReader(text.String()), plan.ReadOptions{Sets: sets})
	if err != nil {
		t.Fatal(err)
	}
	rows, _, err := data.ReadCurves("curve.csv", strings.NewReader(file.String()))
	if err != nil {
		t.Fatal(err)
	}
	w, err := NewWater(&p, rows, Surroundings{})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// Two invented pumps for one duty: a steep curve and a flat one.
var (
	steepCurve = [][2]float64{{0, 6}, {0.5, 5.6}, {1, 4.8}, {1.5, 3.6}, {2, 2}, {2.4, 0.2}}
	flatCurve  = [][2]float64{{0, 1.6}, {1.5, 1.55}, {3, 1.45}, {4.5, 1.2}, {6, 0.7}, {7, 0.15}}
)

// TestAssumedDirtFollowsNoMark: where nobody measured the dirt neither the pump
// that runs today nor the plan's choice moves it; one pump loses the assumed
// quarter and none more. A stated loss is one of the present pump.
func TestAssumedDirtFollowsNoMark(t *testing.T) {
	both := [][][2]float64{steepCurve, flatCurve}
	unmarked := curvesPlan(t, both, "hose 32 mm")
	for _, mark := range []plan.Setting{plantest.Set("pump.1.present", "true"), plantest.Set("pump.2.present", "true"),
		plantest.Set("choice.pump", "p1")} {
		w := curvesPlan(t, both, "hose 32 mm", mark)
		if w.Works.Dirt != unmarked.Works.Dirt {
			t.Errorf("%s: dirt %v, want %v", mark.Key, w.Works.Dirt, unmarked.Works.Dirt)
		}
		for i, p := range w.Pumps {
			if p.Dirty.Met != unmarked.Pumps[i].Dirty.Met {
				t.Errorf("%s: %s met %v", mark.Key, p.Spec.Name, p.Dirty.Met)
			}
		}
	}
	most := 0.0
	for _, p := range unmarked.Pumps {
		most = math.Max(most, 1-float64(p.Dirty.Flow/p.Clean.Flow))
	}
	reftest.Near(t, "the largest loss", most, 0.25, 1e-6)
	stated := curvesPlan(t, both, "hose 32 mm", plantest.Set("pump.1.present", "true"), plantest.Set("upkeep.flow_loss_when_dirty", "25 %"))
	reftest.Near(t, "a stated loss of the present pump", 1-float64(stated.Pumps[0].Dirty.Flow/stated.Pumps[0].Clean.Flow), 0.25, 1e-6)
}

// TestHoseAdviceHolds: what a page promises of a wider hose is what the plan says
// once it has that hose, and no wider hose and no stronger pump gives less.
func TestHoseAdviceHolds(t *testing.T) {
	stronger := make([][2]float64, len(steepCurve))
	for i, p := range steepCurve {
		stronger[i] = [2]float64{p[0], 1.2 * p[1]}
	}
	for _, curves := range [][][][2]float64{{flatCurve}, {steepCurve}, {steepCurve, flatCurve}, {steepCurve, stronger}} {
		before := make([]units.Flow, len(curves))
		for _, hose := range []string{"hose 19 mm", "hose 25 mm", "hose 32 mm", "hose 38 mm", "hose 50 mm"} {
			w := curvesPlan(t, curves, hose)
			for i, p := range w.Pumps {
				if p.Dirty.Flow < before[i]*(1-1e-9) {
					t.Errorf("%d pumps, %s: p%d gives %v, and %v on the narrower one", len(curves), hose, i+1, p.Dirty.Flow, before[i])
				}
				before[i] = p.Dirty.Flow
			}
			if len(curves) == 2 && len(curves[1]) == len(stronger) && curves[1][0] == stronger[0] && w.Pumps[1].Dirty.Flow < w.Pumps[0].Dirty.Flow {
				t.Errorf("%s: the stronger pump gives less", hose)
			}
			for _, s := range w.Hoses {
				if s.Hose == "" {
					continue
				}
				entered := curvesPlan(t, curves, s.Hose).Pumps[s.Pump].Dirty.Flow
				if math.Abs(float64(s.Dirty.Value.Flow/entered)-1) > 1e-9 {
					t.Errorf("%s to %s, p%d: promised %v, then %v", hose, s.Hose, s.Pump+1, s.Dirty.Value.Flow, entered)
				}
			}
		}
	}
}

// TestStatedDirtStaysInAWiderHose: dirt that somebody saw is a resistance, and a
// wider hose does not make it less: the head beyond the wider line's own is kQ².
func TestStatedDirtStaysInAWiderHose(t *testing.T) {
	w := curvesPlan(t, [][][2]float64{steepCurve}, "hose 25 mm", plantest.Set("upkeep.flow_loss_when_dirty", "25 %"))
	wide := curvesPlan(t, [][][2]float64{steepCurve}, "hose 32 mm").Works.Line
	for _, s := range w.Hoses {
		if s.Hose == "hose 32 mm" {
			q := s.Dirty.Value.Flow
			reftest.Near(t, "head of the dirt", float64(s.Dirty.Value.Head-wide.HeadAt(q)), w.Works.Dirt.Resistance*float64(q*q), 1e-6)
		}
	}
}

// pencilWater is the pump of testdata/script/plan_look_for.txtar: H = 3 - 0.75 Q
// over a lift of 0.6 m and next to no line, so that 3.2 m3/h flow when clean.
func pencilWater(t *testing.T, sets ...plan.Setting) *WaterResult {
	t.Helper()
	text := "[pond]\nvolume = \"6 m3\"\nvolume_error = \"0 %\"\nstocking = \"light\"\n[[pump]]\nname = \"one\"\ncurve = " +
		"\"curve.csv\"\nflow_tolerance = 0\nhead_tolerance = 0\n" +
		"[lift]\nstatic_head = \"0.6 m\"\n[[feed]]\nbore = \"200 mm\"\nlength = \"1 cm\"\nloss_k = 0\n"
	p, _, err := plan.ReadPlan("pond.toml", strings.NewReader(text), plan.ReadOptions{Sets: sets})
	if err != nil {
		t.Fatal(err)
	}
	rows, _, err := data.ReadCurves("curve.csv",
		strings.NewReader("flow (m3/h),head (m),power (W)\n0,3,40\n0.9,2.325,49\n1.8,1.65,58\n2.7,0.975,67\n3.6,0.3,76\n"))
	if err != nil {
		t.Fatal(err)
	}
	w, err := NewWater(&p, rows, Surroundings{})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// TestAssumedDirtIsDrawn by a pencil: 3.2 m3/h clean less an eighth is 2.8 m3/h, less
// three eighths 2.0 m3/h, so that 6 m3 take 6/2.8 to 6/2 = 3 h with curve, lift and volume
// sure; of a stated quarter they take 2.5 h. The dirt's head is 3 - 0.75 x 2.4 - 0.6 =
// 0.6 m at 2.4 m3/h.
func TestAssumedDirtIsDrawn(t *testing.T) {
	ends := func(sets ...plan.Setting) (low, high float64) {
		w := pencilWater(t, append(sets, plantest.Set("pond.turnover_goal", "2.9 h"))...)
		l := w.drawn
		for i := range l.line { // nothing but the dirt
			l.line[i].Curve, l.line[i].Lift, l.line[i].Losses = 0, 0, 1
		}
		turnover := w.turnovers(&w.Pumps[0], l, 1, 0)
		slices.Sort(turnover)
		return turnover[0], turnover[len(turnover)-1]
	}
	low, high := ends()
	if low < 6/2.8 || low > 6/2.7 || high > 3 || high < 2.85 {
		t.Errorf("%g to %g h", low, high)
	}
	low, high = ends(plantest.Set("upkeep.flow_loss_when_dirty", "25 %"))
	reftest.Near(t, "stated", low, 2.5, 1e-3)
	reftest.Near(t, "stated", high, 2.5, 1e-3)
	w := pencilWater(t, plantest.Set("pond.turnover_goal", "2.9 h"))
	d, ok := w.Works.DirtPoint()
	reftest.Near(t, "dirt's flow", d.Flow.In(units.CubicMetrePerHour), 2.4, 1e-3)
	reftest.Near(t, "dirt's head", float64(d.Head), 0.6, 2e-3)
	if !ok || w.Works.DirtOn != "one" {
		t.Errorf("dirt of %q", w.Works.DirtOn)
	}
}

// TestRunItFaster by a pencil: H = 3 s² - 0.75 s Q at speed s over 0.6 m gives
// Q = (3 s² - 0.6)/(0.75 s), 3.2 m3/h at full speed; dirt of k = 0.6/2.4² takes
// 0.1042 Q² more. At 70 % speed 0.1042 Q² + 0.525 Q = 0.87 has Q = 1.315, and 6 m3
// take 4.56 h. Of a goal of 3 h, 2 m3/h, 85 % has Q = 1.88 and 90 % Q = 2.06:
// 90 % is the least step that meets it.
func TestRunItFaster(t *testing.T) {
	slow := []plan.Setting{plantest.Set("pond.turnover_goal", "3 h"), plantest.Set("run.speed", "0.7")}
	if w := pencilWater(t, slow...); w.Pumps[0].Unsound() == "" || w.Choice.Faster.Value.Speed != 1 {
		t.Errorf("without control of its speed: %q, faster %v", w.Pumps[0].Unsound(), w.Choice.Faster)
	}
	w := pencilWater(t, append(slow, plantest.Set("pump.1.speed_control", "yes"))...)
	reftest.Near(t, "turnover at 70 %", w.Pumps[0].Dirty.Turnover.Value.In(units.Hour), 6/1.3146, 0.005)
	f := w.Choice.Faster
	if !w.Choice.NoneMeets || !f.Known || math.Abs(f.Value.Speed-0.9) > 1e-9 {
		t.Errorf("none meets %t, faster %v", w.Choice.NoneMeets, f)
	}
	for _, tt := range [][2]string{{"2 h", "0.7"}, {"3 h", "1"}} { // not even full speed; met as it is
		if w := pencilWater(t, plantest.Set("pond.turnover_goal", tt[0]), plantest.Set("run.speed", tt[1])); w.Choice.Faster.Known {
			t.Errorf("%v: faster %v", tt, w.Choice.Faster.Value)
		}
	}
}

// TestSlipsThatTurnTheAnswer: 45 W under a heading of kW are 18 kW for water that
// takes 10 W, and 4100 m3 for litres ask of a pump of 3 m3/h 400 times what it can
// move; with the right units nothing is doubted.
func TestSlipsThatTurnTheAnswer(t *testing.T) {
	long := plantest.Set("feed.1.length", "1 m")
	if w := pencilWater(t, long); len(w.Works.Doubts) != 0 {
		t.Errorf("doubts %v", w.Works.Doubts)
	}
	for text, key := range map[string]string{"4100 m3": "pond.volume", "30 L": "pond.volume"} {
		d := pencilWater(t, long, plantest.Set("pond.volume", text)).Works.Doubts
		if len(d) != 1 || d[0].Key != key {
			t.Errorf("%s: %v", text, d)
		}
	}
	d := pencilWater(t, long, plantest.Set("pump.1.metered_power", "18 kW")).Works.Doubts
	if len(d) != 1 || d[0].Key != "pump.1" || !strings.Contains(d[0].Message.String(), "kW") {
		t.Errorf("18 kW: %v", d)
	}
}

// TestFishThatTheWordDoesNotFit: medium stocking is 0.3 to 1 kg a m3, and a factor of
// three off it is doubted on either side.
func TestFishThatTheWordDoesNotFit(t *testing.T) {
	for text, doubted := range map[string]bool{"3.1 kg": true, "2.9 kg": false, "0.11 kg": false, "0.09 kg": true, "0 kg": false} {
		w := pencilWater(t, plantest.Set("pond.stocking", "medium"), plantest.Set("pond.fish_mass", text), plantest.Set("pond.volume", "1 m3"))
		if got := slices.ContainsFunc(w.Works.Warnings, func(w data.Warning) bool { return w.Key == "pond.fish_mass" }); got != doubted {
			t.Errorf("%s in 1 m3: doubted %t", text, got)
		}
	}
}

// TestMeterBelowTheWater: 3.2 m3/h over 0.6 m take 1000 x 9.81 x 3.2/3600 x 0.6 =
// 5.2 W, and no pump moves that on 5 W.
func TestMeterBelowTheWater(t *testing.T) {
	for text, keys := range map[string]string{"5 W": "pump.1.metered_power", "6 W": ""} {
		text := "[[pump]]\nname = \"one\"\ncurve = \"curve.csv\"\nmetered_power = \"" + text + "\"\n[lift]\nstatic_head = \"0.6 " +
			"m\"\n[[feed]]\nbore = \"200 mm\"\nlength = \"1 cm\"\nloss_k = 0\n"
		p, _, err := plan.ReadPlan("pond.toml", strings.NewReader(text), plan.ReadOptions{Need: plan.NeedDuty})
		if err != nil {
			t.Fatal(err)
		}
		rows := data.CurveRows{}
		for i := range 5 {
			q := 0.9 * float64(i)
			rows.Rows = append(rows.Rows, data.CurveRow{Flow: units.Flow(q) * units.CubicMetrePerHour, Head: units.Length(3 - 0.75*q)})
		}
		if _, err := NewWaterworks(&p, []data.CurveRows{rows}, Surroundings{}); plantest.FaultKeys(err) != keys {
			t.Errorf("%s: %v", text, err)
		}
	}
}

// TestDryBranches by a pencil: of two branches off the pump, 0.5 m and 2.8 m high,
// a pump of 3 m head at no flow drives none through the higher one once the lower
// takes what its curve gives at a few decimetres above 0.5 m.
func TestDryBranches(t *testing.T) {
	low := pumps.SystemSpec{Name: "low", StaticHead: 0.5, Feeds: []pumps.Feed{{Bore: 0.04, Length: 2}}}
	high := pumps.SystemSpec{Name: "high", StaticHead: 2.8, Feeds: []pumps.Feed{{Bore: 0.019, Length: 2}}}
	n := pumps.NewSystem(pumps.SystemSpec{Branches: []pumps.SystemSpec{low, high}, Temperature: units.Celsius(15)})
	if dry := dryAt(n, 2.5*units.CubicMetrePerHour); fmt.Sprint(dry) != "[high]" {
		t.Errorf("dry %v", dry)
	}
	if i := n.Tightest(2.5 * units.CubicMetrePerHour); n.Feeds()[i].Bore != 0.04 {
		t.Errorf("the tightest piece is one of %v", n.Feeds()[i].Bore)
	}
}
