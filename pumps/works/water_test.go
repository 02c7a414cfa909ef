package works

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/pumps"
)

// waterOf returns the water of plan with sets applied.
func waterOf(t *testing.T, text string, sets ...plan.Setting) *WaterResult {
	t.Helper()
	w, err := tryWater(t, text, Surroundings{}, sets...)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func tryWater(t *testing.T, text string, place Surroundings, sets ...plan.Setting) (*WaterResult, error) {
	t.Helper()
	p, curves := plantest.OnWaterCurve(t, text, sets...)
	return NewWater(p, curves, place)
}

// TestWaterRunningAllDay: a pump that never stops takes V/Q for a turnover.
func TestWaterRunningAllDay(t *testing.T) {
	for _, goal := range []units.Duration{1.5 * units.Hour, 2.5 * units.Hour, 3.4 * units.Hour, 5 * units.Hour} {
		w := waterOf(t, plantest.TwoPumps, plantest.Set("pond.turnover_goal", fmt.Sprintf("%g h", goal.In(units.Hour))),
			plantest.Set("upkeep.flow_loss_when_dirty", "25 %"))
		pond := w.Pond.Value
		for _, p := range w.Pumps {
			run := p.Dirty.Run
			turn := pumps.FillTime(pond.Volume, run.LeastFlow())
			got := p.Dirty
			if got.Met != figure.Known(turn <= goal) || got.Missed.Known != (turn > goal) {
				t.Errorf("goal %v, %s: met %v", goal, p.Name, got.Met)
			}
			for name, pair := range map[string][2]units.Duration{"turnover": {got.Turnover.Value, turn}, "missed": {got.Missed.Value, max(0, turn-goal)}} {
				reftest.Near(t, p.Name+" "+name, float64(pair[0]), float64(pair[1]), 1e-6)
			}
		}
	}
}

// TestWaterByTheSchedule: six hours off a day leave three quarters of the
// water, the goal is judged on the worst running month, and months off save
// their share of the year's energy. Arithmetic by hand.
func TestWaterByTheSchedule(t *testing.T) {
	full := waterOf(t, plantest.WaterPlan).Pumps[0]
	night := []plan.Setting{plantest.Set("run.band.1.hours", "22-04"), plantest.Set("run.band.1.speed", "0"),
		plantest.Set("run.band.1.months", "Apr")}
	part := waterOf(t, plantest.WaterPlan, append(night, plantest.Set("run.months_off", "Jun-Jul"))...).Pumps[0]
	if part.Dirty.Month != time.April {
		t.Errorf("judged in %s, want April", part.Dirty.Month)
	}
	if got := float64(part.Dirty.PerDay / full.Dirty.PerDay); math.Abs(got-0.75) > 1e-12 {
		t.Errorf("%.6g of the day's water, want 0.75", got)
	}
	want := (365.0 - 30 - 31 - 30*0.25) / 365
	if got := float64(part.Clean.EnergyYear.Value / full.Clean.EnergyYear.Value); math.Abs(got-want) > 1e-12 {
		t.Errorf("%.6g of the year's energy, want %.6g", got, want)
	}
	if off := waterOf(t, plantest.WaterPlan, append(night, plantest.Set("run.months_off", "Apr"))...).Pumps[0]; off.Dirty.Month == time.April {
		t.Error("a month that is off counts as the worst running one")
	}
	if got := full.Clean.EnergyYear.Value.KilowattHours() / (float64(full.Clean.Power.Value) * 8.76); math.Abs(got-1) > 1e-12 {
		t.Errorf("a year is %g times watts by 8760 h", got)
	}
}

// TestPowerPackIsCountedAtTheSocket: 85 % (our default) turn 1 into 1/0.85.
func TestPowerPackIsCountedAtTheSocket(t *testing.T) {
	ac := waterOf(t, plantest.WaterPlan).Pumps[0]
	dc := waterOf(t, plantest.WaterPlan, plantest.Set("pump.1.supply", "DC")).Pumps[0]
	if got := float64(dc.PerYear.Value / ac.PerYear.Value); math.Abs(got-1/0.85) > 1e-12 {
		t.Errorf("a power pack makes it %.6g times, want %.6g", got, 1/0.85)
	}
	if dc.Power.Value != ac.Power.Value {
		t.Errorf("the pump itself draws %v, want %v", dc.Power.Value, ac.Power.Value)
	}
}

// TestWaterChoice walks through the ways to a choice; -1 is no pump.
func TestWaterChoice(t *testing.T) {
	asPlanned := figure.Unknown[Faster]("the plan runs the pump at full speed, day and night")
	set := plantest.Set
	for _, tt := range []struct {
		sets []plan.Setting
		want WaterChoice
	}{
		{[]plan.Setting{set("pond.turnover_goal", "5 h")}, WaterChoice{RunnerUp: 1}},
		{[]plan.Setting{set("pond.turnover_goal", "2.5 h")}, WaterChoice{Index: 1, RunnerUp: -1, Nearest: 1}},
		{[]plan.Setting{set("pond.turnover_goal", "0.3 h")}, WaterChoice{Index: 1, Nearest: 1, NoneMeets: true}},
		{[]plan.Setting{set("choice.pump", "two")}, WaterChoice{Index: 1, Given: true, Nearest: 1}},
		{[]plan.Setting{set("pond.turnover_goal", "0.3 h"), set("choice.pump", "one")},
			WaterChoice{RunnerUp: 1, Given: true, NoneMeets: true}},
	} {
		tt.want.Faster = asPlanned
		if diff := cmp.Diff(tt.want, waterOf(t, plantest.TwoPumps, tt.sets...).Choice); diff != "" {
			t.Errorf("%v: %s", tt.sets, diff)
		}
	}
}

// TestDirtIsFittedOnTheChoice: with neither a present nor a named pump a stated
// loss is fitted on the pump that is then chosen, in whatever order they stand.
func TestDirtIsFittedOnTheChoice(t *testing.T) {
	turned := strings.Replace(strings.Replace(strings.Replace(plantest.TwoPumps, `"one"`, `"x"`, 1), `"two"`, `"one"`, 1), `"x"`, `"two"`, 1)
	for _, goal := range []string{"5 h", "2.5 h"} {
		stated := plantest.Set("upkeep.flow_loss_when_dirty", "25 %")
		a, b := waterOf(t, plantest.TwoPumps, plantest.Set("pond.turnover_goal", goal), stated), waterOf(t, turned,
			plantest.Set("pond.turnover_goal", goal), stated)
		if a.Works.DirtOn != a.Pumps[a.Choice.Index].Spec.Name {
			t.Errorf("goal %s: fitted on %s, chosen %s", goal, a.Works.DirtOn, a.Pumps[a.Choice.Index].Spec.Name)
		}
		if a.Works.DirtOn != b.Works.DirtOn || a.Works.Dirt != b.Works.Dirt {
			t.Errorf("goal %s: on %s %v, turned round on %s %v", goal, a.Works.DirtOn, a.Works.Dirt, b.Works.DirtOn, b.Works.Dirt)
		}
	}
}

// TestWiderHoses: from 25 mm the next hoses of the table are 32 and 38 mm; each
// lets more through, and the hose that is there gains nothing on itself.
func TestWiderHoses(t *testing.T) {
	w := waterOf(t, plantest.TwoPumps, plantest.Set("feed.1.pipe", "hose 25 mm"), plantest.Set("pond.turnover_goal", "2.5 h"))
	steps := w.Hoses
	var hoses []string
	for i, s := range steps[:3] {
		hoses = append(hoses, s.Hose)
		if i > 0 && s.Dirty.Value.Flow <= steps[i-1].Dirty.Value.Flow {
			t.Errorf("%s gives %v, no more than the narrower one", s.Hose, s.Dirty.Value.Flow)
		}
	}
	if got := strings.Join(hoses, ", "); got != ", hose 32 mm, hose 38 mm" {
		t.Errorf("hoses %q", got)
	}
	for _, s := range steps {
		if s.Pump == w.Choice.Nearest && s.Hose == "" && (s.GainFlow != 0 || s.GainPower.Value != 0) {
			t.Errorf("the pump and hose that are there gain %v and %v", s.GainFlow, s.GainPower)
		}
	}
	// A goal between what the small pump reaches on the first and the second hose.
	goal := (steps[0].Dirty.Value.Turnover.Value + steps[1].Dirty.Value.Turnover.Value) / 2
	w = waterOf(t, plantest.TwoPumps, plantest.Set("feed.1.pipe", "hose 25 mm"),
		plantest.Set("pond.turnover_goal", fmt.Sprintf("%.6f h", goal.In(units.Hour))))
	here, wider := w.Hoses[0], w.Hoses[1]
	if wider.Pump != 0 || wider.Chance.Value < ChanceProbably || here.Chance.Value >= ChanceProbably || w.Choice.Index != 1 {
		t.Errorf("chosen %d; the small pump does with a chance of %v, on %s of %v", w.Choice.Index, here.Chance, wider.Hose, wider.Chance)
	}
}

func TestPipeFamilies(t *testing.T) {
	for name, want := range map[string]string{"PE 40 SDR 17": "PE SDR 17", "hose 25 mm": "hose mm", "PVC 1-1/4 in sch 40": "PVC in sch 40",
		"ribbed hose 1 in": "ribbed hose in", "PVC-U 50 PN16": "PVC-U PN16"} {
		if got := familyOf(name); got != want {
			t.Errorf("%s is of %q, want %q", name, got, want)
		}
	}
}

// TestSB1SB3SB4Stops checks methods.md SB1 (12 m of 35.2 mm hold 11.7 L), SB3
// (3000 L/h from 24 m² is 125 mm/h) and SB4 (3.9 mm a day on 24 m², the FAO-56
// example, is 94 L) through a plan.
func TestSB1SB3SB4Stops(t *testing.T) {
	w := waterOf(t, plantest.WaterPlan, plantest.Set("feed.1.bore", "35.2 mm"), plantest.Set("feed.1.length", "12 m"),
		plantest.Set("pond.surface", "24 m2"), plantest.Set("pond.evaporation", "3.9 mm/day"))
	reftest.Near(t, "drain-back [L]", w.Rest.DrainBack.In(units.Litre), 11.7, 0.05)
	reftest.Near(t, "rise [mm]", w.Rest.Rise.Value.In(units.Millimetre), 11.7/24, 0.003)
	reftest.Near(t, "evaporation [L a day]", w.Rest.Evaporation.Value[6].PerDay.In(units.Litre), 94, 0.5)
}

// TestTaperedSides: volume, surface and depth given make sides that taper, so
// that less is left below an intake than upright sides would have it. The power
// law is V (z/D)^(As D/V).
func TestTaperedSides(t *testing.T) {
	w := waterOf(t, plantest.WaterPlan, plantest.Set("pond.surface", "6 m2"), plantest.Set("pond.depth", "1 m"),
		plantest.Set("pond.intake_height", "0.3 m"), plantest.Set("pond.volume_error", "0 %"))
	pond := w.Pond.Value
	if v := float64(pond.Pond.Volume()); v != 4 {
		t.Errorf("volume %g, want the 4 m³ given", v)
	}
	reftest.Near(t, "water left", float64(w.Rest.Unseen.Value.Left), 4*math.Pow(0.3, 1.5), 1e-9)
	if w.Rest.Fastest <= w.Pumps[0].Clean.Flow {
		t.Error("a lost hose is timed by the middle of the curve, not by its strong end")
	}
}

// TestReturnOfAPlan: MN6 has 0.431 L/s critical at half a 50 mm pipe, which
// needs 34.8 mm of energy and, with an entrance K of 0.5, half a velocity head
// more.
func TestReturnOfAPlan(t *testing.T) {
	text := plantest.WaterPlan + "[return]\nbore = \"50 mm\"\nfall = \"3 %\"\nfreeboard = \"60 mm\"\nscreen_area = \"20 cm2\"\n"
	w := waterOf(t, text)
	r := w.Pumps[0].Return.Value
	q := float64(r.Flow)
	per, err := returnLevelAt(t, text, 0.431e-3)
	if err != nil {
		t.Fatal(err)
	}
	reftest.Near(t, "level for 0.431 L/s [mm]", per, 34.8+0.5*(34.8-25), 0.2)
	// The screen: u = Q/(0.6 A), half of A closed makes four times the head.
	u := q / (0.6 * 20e-4)
	reftest.Near(t, "screen, clear [m]", float64(r.Clear-r.Leaves.Mouth), u*u/2/9.80665, 1e-9)
	reftest.Near(t, "screen, half closed [m]", float64(r.Leaves.Screen), 4*u*u/2/9.80665, 1e-9)
	// At the margin the tank just does not spill.
	spec := pumps.Return{Bore: 0.05, Length: returnLong, Fall: 0.03, Manning: 0.010, EntranceK: ReturnMouthK, Freeboard: 0.06,
		ScreenArea: 20e-4, Blocked: 0.5}
	if l := spec.Level(units.Flow(r.Margin.Value * q)); math.Abs(float64(l.Freeboard)) > 1e-6 {
		t.Errorf("freeboard at the margin %v", l.Freeboard)
	}
}

// returnLevelAt returns the level [mm] of the plan's clear return at flow q [m³/s].
func returnLevelAt(t *testing.T, text string, q float64) (float64, error) {
	t.Helper()
	p, _, err := plan.ReadPlan("pond.toml", strings.NewReader(text), plan.ReadOptions{})
	if err != nil {
		return 0, err
	}
	spec, ok := returnSpec(&p)
	if !ok {
		t.Fatal("no return")
	}
	spec.ScreenArea = 0
	return spec.Level(units.Flow(q)).Level.In(units.Millimetre), nil
}

// near takes figures of a kind for equal that differ by a rounding alone.
func near[T ~float64]() cmp.Option {
	return cmp.Comparer(func(a, b T) bool { return math.Abs(float64(a-b)) <= 1e-12*math.Abs(float64(b)) })
}

// TestFilterOfAPlan: 1.2 m² and 0.5 m deep at 1.2 m³/h rise 1 m/h and stay 30
// min, 12 of them among the stones at 40 % of voids.
func TestFilterOfAPlan(t *testing.T) {
	w := waterOf(t, plantest.WaterPlan, plantest.Set("filter.area", "1.2 m2"), plantest.Set("filter.depth", "0.5 m"), plantest.Set("pond.surface", "6 m2"))
	f := w.Filter.Value
	scale := f.Flow.In(units.CubicMetrePerHour) / 1.2
	want := FilterWater{Bed: f.Bed, Volume: 0.6, Flow: w.Pumps[0].Clean.Flow, OfVolume: figure.Known(0.6 / 4), OfArea: figure.Known(1.2 / 6), Rules: f.Rules,
		RiseRate: figure.Known(units.Velocity(scale) * units.MetrePerHour), Contact: figure.Known(30 * units.Minute / units.Duration(scale)),
		Pore: figure.Known(12 * units.Minute / units.Duration(scale)), Head: figure.Known(f.Bed.HeadLoss(f.Flow, w.Works.Line.Water()))}
	if diff := cmp.Diff(want, f, near[units.Duration](), near[units.Velocity](), near[float64]()); diff != "" {
		t.Error(diff)
	}
	if len(f.Rules) == 0 {
		t.Error("no rule of thumb beside the share")
	}
	bare := waterOf(t, plantest.WaterPlan, plantest.Set("filter.volume", "0.6 m3")).Filter.Value
	if bare.RiseRate.Known || bare.RiseRate.Why == "" || !bare.Contact.Known {
		t.Errorf("a bed of volume alone: rise %+v, contact %+v", bare.RiseRate, bare.Contact)
	}
}

// TestWaterTemperatureOfThePlace: the air's means, but no month below 0 C.
func TestWaterTemperatureOfThePlace(t *testing.T) {
	var air [12]units.Temperature
	for m := range air {
		air[m] = units.Celsius(float64(4 * (m - 3))) // -12 to 32
	}
	w, err := tryWater(t, plantest.WaterPlan, Surroundings{Air: &air}, plantest.Set("choice.pump", "one"),
		plantest.Set("feed.1.length", "30 m"), plantest.Set("upkeep.flow_loss_when_dirty", "0 %"))
	if err != nil {
		t.Fatal(err)
	}
	reftest.Near(t, "mean [C]", w.Works.Water.InCelsius(), (4+8+12+16+20+24+28+32)/12.0, 1e-9)
	if w, err = tryWater(t, plantest.WaterPlan, Surroundings{Why: "the sea has no place"}); err != nil || !slices.ContainsFunc(w.Assumed,
		func(a figure.Assumed) bool {
			return a.Key == "water.temperature" && strings.Contains(a.Why.String(), "the sea has no place")
		}) {
		t.Errorf("assumed %+v, %v", w.Assumed, err)
	}
}

// TestIntakeAboveAGuessedDepth: a bare volume is taken as one metre deep, and
// an intake above that is no fault of the keeper's.
func TestIntakeAboveAGuessedDepth(t *testing.T) {
	w := waterOf(t, plantest.WaterPlan, plantest.Set("pond.intake_height", "1.4 m"))
	if w.Rest.Unseen.Known || w.Rest.Unseen.Why == "" {
		t.Errorf("%+v", w.Rest.Unseen)
	}
}

// TestWaterOfDrawnPlans asks of random valid plans: no panic, no NaN, a reason
// beside every unknown, dirt never brings more water, and a chosen pump that is
// one of the plan's.
func TestWaterOfDrawnPlans(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 3))
	ran := 0
	for i := range 160 {
		c := plantest.Draw(r)
		in, err := plan.LoadPlan(plan.PlanFile, plan.LoadOptions{Open: c.Open, ReadOptions: plan.ReadOptions{Need: plan.NeedDuty}})
		if err != nil {
			continue
		}
		w, err := NewWater(&in.Plan, in.Curves, Surroundings{})
		if err != nil {
			for _, f := range data.Faults(err) {
				if f.Key == "" || f.Message == "" {
					t.Errorf("plan %d: a fault without its place: %v", i, err)
				}
			}
			continue
		}
		ran++
		for _, p := range w.Pumps {
			checkState(t, i, p, p.Clean)
			checkState(t, i, p, p.Dirty)
			if p.Clean.Flow > 0 && float64(p.Dirty.Flow) > float64(p.Clean.Flow)*(1+1e-9) {
				t.Errorf("plan %d: %s moves %v clean and %v dirty", i, p.Spec.Name, p.Clean.Flow, p.Dirty.Flow)
			}
			if !p.Return.Known && p.Return.Why == "" || !p.Efficiency.Known && p.Efficiency.Why == "" {
				t.Errorf("plan %d: %s: unknown without a reason", i, p.Spec.Name)
			}
		}
		if w.Choice.Index >= len(w.Pumps) || w.Choice.Index < 0 && w.Choice.Why == "" {
			t.Errorf("plan %d: choice %+v", i, w.Choice)
		}
	}
	if ran < 60 {
		t.Errorf("only %d of 160 plans had water", ran)
	}
}

func checkState(t *testing.T, text int, p WaterPump, s WaterState) {
	t.Helper()
	for name, v := range map[string]float64{"flow": float64(s.Flow), "head": float64(s.Head), "water": float64(s.PerDay),
		"power": float64(s.Power.Value), "year": float64(s.EnergyYear.Value), "missed": float64(s.Missed.Value), "short": float64(s.ShortFlow.Value)} {
		if !(v >= 0) || math.IsInf(v, 0) {
			t.Errorf("plan %d: %s: %s is %g", text, p.Spec.Name, name, v)
		}
	}
	if s.Turnover.Known != s.Turnovers.Known && s.Flow > 0 && s.PerDay > 0 || !s.Turnover.Known && s.Turnover.Why == "" || !s.Met.Known && s.Met.Why == "" {
		t.Errorf("plan %d: %s: turnover %+v, goal %+v", text, p.Spec.Name, s.Turnover, s.Met)
	}
}

// TestQuickestLoss: with the hose off at the pond's edge the pump pushes against
// nothing, so the pond goes at the end of its curve, 2000 L/h of plantest.WaterCurve: 4 m³
// in 2 h, by hand. Slowed, the end of the curve moves with the speed (affinity
// laws); of several speeds the fastest counts, and of pumps on lines of their own
// all of them.
func TestQuickestLoss(t *testing.T) {
	for _, c := range []struct {
		name  string
		hours float64
		sets  []plan.Setting
	}{
		{"full speed", 2, nil},
		{"at 0.9", 2 / 0.9, []plan.Setting{plantest.Set("run.speed", "0.9")}},
		{"full speed by day", 2, []plan.Setting{plantest.Set("run.speed", "0.9"), plantest.Set("run.band.1.hours", "08-10"),
			plantest.Set("run.band.1.speed", "1")}},
		{"two on lines of their own", 1, []plan.Setting{plantest.Set("pump.1.count", "2"), plantest.Set("pump.1.own_lines", "true")}},
	} {
		w := waterOf(t, plantest.WaterPlan, append(c.sets, plantest.Set("pond.volume_error", "0 %"))...)
		reftest.Near(t, c.name+": hours to bare", w.Rest.Quickest.Value.ToBare.In(units.Hour), c.hours, 1e-9)
		if all, quick := w.Rest.Unseen.Value, w.Rest.Quickest.Value; all.ToBare <= quick.ToBare {
			t.Errorf("%s: through the line %v, at the edge %v", c.name, all.ToBare, quick.ToBare)
		}
	}
}

// TestRibbedHoseIsOfferedASmoothOne: the first step up from a hose that is ribbed
// inside is the same bore without ribs, which gives what a plan of such a hose gives;
// the wider ones are smooth too. A smooth hose has no such step.
func TestRibbedHoseIsOfferedASmoothOne(t *testing.T) {
	ribbed := waterOf(t, plantest.WaterPlan, plantest.Set("feed.1.pipe", "ribbed hose 25 mm"))
	smooth := waterOf(t, plantest.WaterPlan, plantest.Set("feed.1.pipe", "hose 25 mm"))
	var names []string
	for _, s := range ribbed.Hoses {
		names = append(names, s.Hose)
		if s.Hose == SameBoreSmooth {
			reftest.Near(t, "clean flow [m³/s]", float64(s.Clean.Value.Flow), float64(smooth.Pumps[0].Clean.Flow), 1e-12)
		}
	}
	if want := []string{"", SameBoreSmooth, "hose 32 mm", "hose 38 mm"}; !slices.Equal(names, want) {
		t.Errorf("hoses %q, want %q", names, want)
	}
	for _, s := range smooth.Hoses {
		if s.Hose == SameBoreSmooth {
			t.Errorf("a smooth hose is offered %q", s.Hose)
		}
	}
}
