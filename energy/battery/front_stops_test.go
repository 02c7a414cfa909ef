package battery

import (
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"sunrill/energy/supply"
)

// TestHardTimesChangeNothing: what is chosen under a load is the same where it is known in
// which hours another load stopped too long, and found by reading less of the record.
func TestHardTimesChangeNothing(t *testing.T) {
	alone, knowing := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		r, b, o := drawnSize(t, rapid.Bool().Draw(t, "panels on sale"))
		o.Brief = true
		other := r
		if rapid.Bool().Draw(t, "a longer record") {
			other.Panel, other.BatteryC = slices.Concat(r.Panel[r.Hours()/3:], r.Panel), slices.Concat(r.BatteryC, r.BatteryC)
		}
		other.Load = supply.Times(r.Load, rapid.Float64Range(0.5, 1.5).Draw(t, "other load"))
		h := &HardTimes{}
		chosen := func(r supply.Record, o SizeOptions) (Front, int) {
			s, read := newSelection(r, b, o), 0
			f, _ := s.choose()
			for i := range s.rungs {
				read += s.rungs[i].read
			}
			return f, read
		}
		o.Hard = h
		f, _ := chosen(other, o)
		if f.Chosen.BoughtWh == 0 {
			return
		}
		o.Most = rapid.Float64Range(0.5, 1.2).Draw(t, "most") * float64(o.Shop.CostOf(f.Chosen.PanelW, f.Chosen.BoughtWh, f.Chosen.Life.Years()).PerYear)
		o.Hard = nil
		want, without := chosen(r, o)
		o.Hard = h
		got, with := chosen(r, o)
		if !reflect.DeepEqual(got.Chosen, want.Chosen) {
			t.Fatalf("%+v with what is known, %+v without", got.Chosen, want.Chosen)
		}
		alone, knowing = alone+without, knowing+with
	})
	if knowing >= alone {
		t.Errorf("%d hours read with what is known, %d without", knowing, alone)
	}
}
