package energy

import (
	"strings"
	"testing"

	"sunrill/data/plan"
	"sunrill/data/plantest"
)

// TestSizeSaysWhereWinterIsNotWorthIt: as a plan does, by the bright months too.
func TestSizeSaysWhereWinterIsNotWorthIt(t *testing.T) {
	for lat, not := range map[string]string{"51.5": "Mar-Oct alone cost less than half", "40.4": "", "60.2": "most of it is thrown away"} {
		z, err := storageAt(t, lat, "0").Size()
		if err != nil {
			t.Fatal(err)
		}
		if why := string(z.Worth.Why); !z.Worth.Known || z.Worth.Value != (not == "") || !strings.Contains(why, not) {
			t.Errorf("at %s N: worth it %t, %s", lat, z.Worth.Value, why)
		}
	}
}

// TestSeasonSlowsInItsOwnMonths: a setback in months of which a season has none is full speed
// there, and of which it has some, in those.
func TestSeasonSlowsInItsOwnMonths(t *testing.T) {
	j := searched(t, demoInputs(t, plantest.Set("choice.pump", "24 V 65 W")))
	at := band(0.7, night)
	at.Months = 1 | 1<<11
	s := &Strategy{Variant: slowIn("night at 70 % speed", j.base(), at)}
	if err := j.work(s); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		on     plan.MonthSet
		name   string
		kind   StrategyKind
		slowed plan.MonthSet
	}{{0x1fe, "full speed", FullSpeed, 0}, {0xff, "night at 70 % speed in Jan", DarkSetback, 1}} {
		v := j.within(s, c.on)
		slowed, run := plan.MonthSet(0), v.of(j.plan).Run
		for _, b := range run.Bands {
			slowed |= b.Months
		}
		if v.Name != c.name || v.Kind != c.kind || slowed != c.slowed || run.MonthsOff != plan.AllYear&^c.on {
			t.Errorf("in %s: %s (%s), slowed in %s, off in %s", c.on, v.Name, v.Kind, slowed, run.MonthsOff)
		}
	}
}
