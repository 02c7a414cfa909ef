package energy

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/units"
)

// TestWhPerVolumeOfPartYears: months off, or an air pump beside the water, change
// what a year takes and moves, but not what a litre takes of the pump alone.
func TestWhPerVolumeOfPartYears(t *testing.T) {
	const tolerance = 1e-9
	full := func(sets ...plan.Setting) Strategy {
		t.Helper()
		r, err := everything(demoInputs(t, append(sets, plan.Setting{Key: "reliability.years", Text: "1"})...))
		if err != nil {
			t.Fatal(err)
		}
		marked := 0
		least := math.Inf(1)
		for _, s := range r.Tradeoff {
			if s.WhPerM3.Known && (s.Kind == FullSpeed || s.Kind == Slower) {
				least = min(least, s.WhPerM3.Value)
			}
		}
		for _, s := range r.Tradeoff {
			if s.LeastWh {
				marked++
				if s.WhPerM3.Value != least {
					t.Errorf("%s is marked with %g Wh/m3, the least is %g", s.Name, s.WhPerM3.Value, least)
				}
			}
		}
		if marked != 1 {
			t.Errorf("%d rows are marked", marked)
		}
		return r.Tradeoff[0]
	}
	always := full()
	some := full(plan.Setting{Key: "run.months_off", Text: "Jun-Aug"})
	if got, want := some.WhPerM3.Value, always.WhPerM3.Value; math.Abs(got/want-1) > tolerance {
		t.Errorf("three months off: %g Wh/m3, want %g", got, want)
	}
	air := full(plan.Setting{Key: "air.power", Text: "60 W"})
	if got, want := (air.WhPerM3.Value-always.WhPerM3.Value)*float64(always.PerDay), 60*24.0; math.Abs(got/want-1) > tolerance {
		t.Errorf("60 W of air add %g Wh a day, want %g", got, want)
	}
}

// TestPumpThatDoesNotRestart: a crest that only the larger pump clears. The
// smaller would do if it never stopped, so that it is passed over; named all the
// same it is offered no row that stops it.
func TestPumpThatDoesNotRestart(t *testing.T) {
	high := []plan.Setting{{Key: "lift.vented", Text: "no"}, {Key: "reliability.years", Text: "1"}, {Key: "pond.turnover_goal", Text: "8 h"}}
	r, err := everything(demoInputs(t, high...))
	if err != nil {
		t.Fatal(err)
	}
	first := r.Base
	if r.Water.Pumps[first].Spec.Name != "24 V 38 W" {
		t.Fatalf("with no crest %s is chosen", r.Water.Pumps[first].Spec.Name)
	}
	head, _ := r.Water.Works.Pumps[first].Curve(1).ShutOff()
	over := append(high, plan.Setting{Key: "lift.crest", Text: fmt.Sprintf("%.3f m", float64(head)+0.05)})
	if r, err = everything(demoInputs(t, over...)); err != nil {
		t.Fatal(err)
	}
	if r.Water.Pumps[r.Base].Spec.Name != "24 V 65 W" || !strings.Contains(string(r.Water.Pumps[first].Reason), "does not start again") {
		t.Errorf("over the crest %s is chosen, the smaller one %s", r.Water.Pumps[r.Base].Spec.Name, r.Water.Pumps[first].Reason)
	}
	if r, err = everything(demoInputs(t, append(over, plan.Setting{Key: "choice.pump", Text: "24 V 38 W"})...)); err != nil {
		t.Fatal(err)
	}
	refused := 0
	for _, s := range r.Tradeoff {
		switch s.Kind {
		case OnTimer, OffAtNight, DaylightOnly: // and none with a small battery
			refused++
			if s.Possible() || !strings.Contains(s.Why.String(), "start") {
				t.Errorf("%s is offered: %q", s.Name, s.Why)
			}
		}
	}
	if refused != 3 {
		t.Errorf("%d rows looked at", refused)
	}
}

// TestPlannedPauseIsAStop: a plan that rests its pump from 20 to 8 h leaves the
// pond still for twelve hours a night, and is graded by them.
func TestPlannedPauseIsAStop(t *testing.T) {
	r, err := everything(demoInputs(t, plantest.Set("run.band.1.hours", "20-8"), plantest.Set("run.band.1.speed", "0"), plantest.Set("pond.turnover_goal", "20 h"), plantest.Set("reliability.years", "1")))
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range r.Tradeoff {
		if s.Kind != AsPlanned {
			continue
		}
		if s.StillHours != 12 || !s.Stop.Known || s.Stop.Value < 12 {
			t.Errorf("still for %g h by plan and %+v in all, want 12 at least", s.StillHours, s.Stop)
		}
		worst, _ := r.Rest.Value.Worst(func(time.Month) bool { return true })
		if want := worst.GradeOf(12 * units.Hour); !s.Risk.Known || s.Risk.Value < want {
			t.Errorf("risk %+v, want %v or worse", s.Risk, want)
		}
		return
	}
	t.Error("no row of the plan's own hours")
}

// TestFishLiveByTheFlowOfToday: that fish live in a pond tells of the pump as it runs in it
// today; no other way to run it tells more, or less.
func TestFishLiveByTheFlowOfToday(t *testing.T) {
	r, err := everything(demoInputs(t, plantest.Set("pond.fish_mass", "9 kg"), plantest.Set("reliability.years", "1")))
	if err != nil {
		t.Fatal(err)
	}
	if !r.Rest.Value.LeavesOut() {
		t.Fatal("no draw is left out")
	}
	looked := 0
	for _, s := range r.Tradeoff {
		for m, month := range s.rest.Value.Months {
			looked++
			if want := r.Rest.Value.Months[m].Kept; s.rest.Known && month.Kept != want {
				t.Errorf("%s, %v: %d draws are kept, %d by the plan as it is", s.Name, month.Month, month.Kept, want)
			}
		}
	}
	if looked < 100 {
		t.Errorf("%d months looked at", looked)
	}
}

// TestRiskIsOfAStopInItsMonth: no way stops in a month for longer than it does there, and what
// the sun alone risks in summer is not the pause of a winter's night.
func TestRiskIsOfAStopInItsMonth(t *testing.T) {
	r, err := everything(demoInputs(t, plantest.Set("reliability.years", "3")))
	if err != nil {
		t.Fatal(err)
	}
	looked := 0
	for _, s := range r.Tradeoff {
		if !s.sunOnly() && s.Kind != OffAtNight {
			continue
		}
		looked++
		said := s.Risk.Why.String()
		for m, hours := range s.stops {
			if month := time.Month(m + 1).String(); strings.Contains(said, "still in "+month) &&
				!strings.HasPrefix(said, fmt.Sprintf("%.1f h", hours)) {
				t.Errorf("%s: %s; in %s it stops for %g h at most", s.Name, said, month, hours)
			}
		}
		if slices.Max(s.stops[:]) != s.Stop.Value {
			t.Errorf("%s stops for %v h, by month for %v", s.Name, s.Stop.Value, s.stops)
		}
	}
	if looked < 3 {
		t.Errorf("%d rows looked at", looked)
	}
}

// TestNightAirAddsToThePlansOwn: an air pump that runs all day goes on by day
// where the pump rests at night; one that runs by day runs at night besides.
func TestNightAirAddsToThePlansOwn(t *testing.T) {
	for _, tt := range []struct {
		hours string
		want  float64 // air hours a day
	}{{"0-24", 24}, {"8-16", 16}, {"20-4", 10}} {
		r, err := everything(demoInputs(t, plantest.Set("air.power", "10 W"), plantest.Set("air.hours", tt.hours), plantest.Set("reliability.years", "1")))
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(r.Tradeoff, func(s Strategy) bool { return s.Kind == OffAtNight })
		full := r.Water.Pumps[r.Tradeoff[i].Pump].PerDay.Value.WattHours()
		if got := (r.Tradeoff[i].Energy.Value.WattHours() - full*16/24) / 10; math.Abs(got-tt.want) > 1e-6 {
			t.Errorf("air from %s: it runs %g h a day, want %g", tt.hours, got, tt.want)
		}
	}
}

// TestValveOnEveryKindOfLine: the water that the valve leaves, before cleaning, is
// that of 80 % speed, or the stated share of full speed's where the pump cannot be
// slowed, be it off the end of its curve or one of two with a line each. Dirt
// counts once.
func TestValveOnEveryKindOfLine(t *testing.T) {
	fixed := plantest.Set("pump.2.speed_control", "none")
	two := []plan.Setting{plantest.Set("pump.2.count", "2"), plantest.Set("pump.2.own_lines", "true")}
	wide := []plan.Setting{plantest.Set("lift.static_head", "0"), plantest.Set("lift.crest", "0 m"), plantest.Set("feed.1.bore", "150 mm"), plantest.Set("feed.2.bore", "150 mm"), plantest.Set("upkeep.flow_loss_when_dirty", "0 %")}
	for name, sets := range map[string][]plan.Setting{
		"slowed": nil, "not slowed": {fixed}, "two lines": two, "two lines, not slowed": append(two[:2:2], fixed), "off the curve": append(wide, fixed),
	} {
		r, err := everything(demoInputs(t, append(sets, plantest.Set("choice.pump", "24 V 65 W"), plantest.Set("reliability.years", "1"))...))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		var full, valve, slow Strategy
		for _, s := range r.Tradeoff {
			switch {
			case s.Kind == FullSpeed:
				full = s
			case s.Kind == Valve:
				valve = s
			case s.Kind == Slower && s.Speed == 0.8:
				slow = s
			}
		}
		want := 0.75 * float64(full.PerDay)
		if slow.PerDay > 0 {
			want = float64(slow.PerDay)
		}
		if got := float64(valve.PerDay); !valve.Possible() || math.Abs(got/want-1) > 1e-6 {
			t.Errorf("%s: %q, %g m³ a day through the valve, want %g", name, valve.Why, got, want)
		}
		if off := name == "off the curve"; r.Water.Pumps[full.Pump].Dirty.AtLeast != off {
			t.Errorf("%s: off its curve: %t", name, !off)
		}
	}
}

// TestLeastSpeedIsThePlansOwn: 0.55 times 100 is 55.000000000000007, and the row of
// the least speed is still that of 55 %.
func TestLeastSpeedIsThePlansOwn(t *testing.T) {
	r, err := everything(demoInputs(t, plantest.Set("lift.static_head", "0.3 m"), plantest.Set("pump.2.least_speed", "55 %"), plantest.Set("choice.pump", "24 V 65 W"), plantest.Set("reliability.years", "1")))
	if err != nil {
		t.Fatal(err)
	}
	least := 1.0
	for _, s := range r.Tradeoff {
		if s.Kind == Slower && s.Possible() {
			least = min(least, s.Speed)
		}
	}
	if least != 0.55 {
		t.Errorf("the slowest row runs at %g, want 0.55", least)
	}
}

// TestRowsAreThePlansOfTheirSpeed: a slowed row buys what the plan buys that runs at
// that speed; where nothing on sale carries full speed, a slower row still has its
// own answer.
func TestRowsAreThePlansOfTheirSpeed(t *testing.T) {
	at := []plan.Setting{{Key: "reliability.years", Text: "2"}, {Key: "reliability.longest_stop", Text: "5 h"}}
	rows := func(more ...plan.Setting) *Outcome {
		r, err := everything(demoInputs(t, append(slices.Clone(at), more...)...))
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	whole := rows()
	name := whole.Water.Pumps[whole.Base].Spec.Name
	compared := 0
	for _, s := range whole.Tradeoff {
		if s.Kind != Slower || s.Speed != 0.8 || !s.Panel.Known {
			continue
		}
		told := rows(plan.Setting{Key: "choice.pump", Text: name}, plan.Setting{Key: "run.speed", Text: "0.8"})
		c := told.Solar.Value.DayAndNight.Value.Front.Chosen
		compared++
		if s.Panel.Value != c.PanelW || s.Battery.Value != c.BoughtWh {
			t.Errorf("%s: %g W with %g Wh; the plan that is told buys %g W with %g Wh", s.Name, s.Panel.Value, s.Battery.Value, c.PanelW, c.BoughtWh)
		}
		// Only that pair on sale: full speed has no size, this row has.
		only := rows(plan.Setting{Key: "panel.watts", Text: fmt.Sprintf("%g W", c.PanelW)}, plan.Setting{Key: "battery.size", Text: fmt.Sprintf("%g Wh", c.BoughtWh)})
		if only.Solar.Value.DayAndNight.Known {
			t.Error("the slowed pump's pair carries full speed")
		}
		for _, o := range only.Tradeoff {
			if o.Kind == Slower && o.Speed == 0.8 && (!o.Panel.Known || o.Panel.Value != c.PanelW) {
				t.Errorf("%s has no answer of its own: %+v", o.Name, o.Panel)
			}
		}
	}
	if compared == 0 {
		t.Error("no slowed row to compare")
	}
}

// TestPlannedWattsAreOfThePlansSpeed: a plan that slows its pump all day draws what
// the row of that speed draws, not what full speed does.
func TestPlannedWattsAreOfThePlansSpeed(t *testing.T) {
	r, err := everything(demoInputs(t, plantest.Set("run.speed", "80 %"), plantest.Set("choice.pump", "24 V 65 W"), plantest.Set("reliability.years", "1")))
	if err != nil {
		t.Fatal(err)
	}
	of := func(match func(Strategy) bool) Strategy {
		i := slices.IndexFunc(r.Tradeoff, match)
		if i < 0 {
			t.Fatal("a row is missing")
		}
		return r.Tradeoff[i]
	}
	planned := of(func(s Strategy) bool { return s.Kind == AsPlanned })
	slow := of(func(s Strategy) bool { return s.Kind == Slower && s.Speed == 0.8 })
	if planned.Power != slow.Power || planned.Slowed != slow.Slowed || !slow.Power.Known {
		t.Errorf("as planned %+v and %+v, at that speed %+v and %+v", planned.Power, planned.Slowed, slow.Power, slow.Slowed)
	}
}

// TestEveryRowIsSized: in the end every way that can be run has its pair, or says why not,
// whether another outbid it or not; before that nothing is said of its stops.
func TestEveryRowIsSized(t *testing.T) {
	for _, pump := range []string{"24 V 38 W", "24 V 65 W", "230 V 90 W"} {
		in := demoInputs(t, plantest.Set("choice.pump", pump), plantest.Set("reliability.years", "3"))
		first, err := Evaluate(t.Context(), in, Decided)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range first.Tradeoff {
			if s.WayRound() && !s.Panel.Known && s.Stop.Known {
				t.Errorf("%s: %s stops for %v h, but has no panel", pump, s.Name, s.Stop.Value)
			}
		}
		r, err := everything(in)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range r.Tradeoff {
			if s.Possible() && !s.Panel.Known && s.Panel.Why == "" {
				t.Errorf("%s: %s has no panel, and no reason", pump, s.Name)
			}
		}
	}
}
