package energy

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"sunrill/data"
)

// TestWhPerVolumeOfPartYears: months off, or an air pump beside the water, change
// what a year takes and moves, but not what a litre takes of the pump alone.
func TestWhPerVolumeOfPartYears(t *testing.T) {
	const tolerance = 1e-9
	full := func(sets ...data.Setting) Strategy {
		t.Helper()
		r, err := Plan(demoInputs(t, append(sets, data.Setting{Key: "reliability.years", Text: "1"})...))
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
	some := full(data.Setting{Key: "run.months_off", Text: "Jun-Aug"})
	if got, want := some.WhPerM3.Value, always.WhPerM3.Value; math.Abs(got/want-1) > tolerance {
		t.Errorf("three months off: %g Wh/m3, want %g", got, want)
	}
	air := full(data.Setting{Key: "air.power", Text: "60 W"})
	if got, want := (air.WhPerM3.Value-always.WhPerM3.Value)*float64(always.PerDay), 60*24.0; math.Abs(got/want-1) > tolerance {
		t.Errorf("60 W of air add %g Wh a day, want %g", got, want)
	}
}

// TestPumpThatDoesNotRestart: a crest that only the larger pump clears. The
// smaller would do if it never stopped, so that it is passed over; named all the
// same it is offered no row that stops it.
func TestPumpThatDoesNotRestart(t *testing.T) {
	high := []data.Setting{{Key: "lift.vented", Text: "no"}, {Key: "reliability.years", Text: "1"}, {Key: "pond.turnover_goal", Text: "8 h"}}
	r, err := Plan(demoInputs(t, high...))
	if err != nil {
		t.Fatal(err)
	}
	first := r.Water.Choice.Index
	if r.Water.Pumps[first].Spec.Name != "24 V 38 W" {
		t.Fatalf("with no crest %s is chosen", r.Water.Pumps[first].Spec.Name)
	}
	head, _ := r.Water.Works.Pumps[first].Curve(1).ShutOff()
	over := append(high, data.Setting{Key: "lift.crest", Text: fmt.Sprintf("%.3f m", float64(head)+0.05)})
	if r, err = Plan(demoInputs(t, over...)); err != nil {
		t.Fatal(err)
	}
	if c := r.Water.Choice; r.Water.Pumps[c.Index].Spec.Name != "24 V 65 W" || !c.PassedOver {
		t.Errorf("over the crest %s is chosen, passed over %v", r.Water.Pumps[c.Index].Spec.Name, c.PassedOver)
	}
	if r, err = Plan(demoInputs(t, append(over, data.Setting{Key: "choice.pump", Text: "24 V 38 W"})...)); err != nil {
		t.Fatal(err)
	}
	refused := 0
	for _, s := range r.Tradeoff {
		switch s.Kind {
		case OnTimer, OffAtNight, DaylightOnly, DaylightBuffered:
			refused++
			if s.Possible() || !strings.Contains(s.Why, "start") {
				t.Errorf("%s is offered: %q", s.Name, s.Why)
			}
		}
	}
	if refused != 4 {
		t.Errorf("%d rows looked at", refused)
	}
}
