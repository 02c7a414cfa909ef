package battery

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sunrill/data/plan"
)

// whole is a store that reads all of the reading that does not count.
type whole struct{ *store }

func (whole) seek() bool { return false }

// TestLeadInChangesNothing: a store that skips what the second reading does not
// depend on comes to the same as one that reads all, cut off or not.
func TestLeadInChangesNothing(t *testing.T) {
	kinds := batteryKinds()
	found, lost := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		r := bareRecord(rapid.Uint64().Draw(t, "seed"), rapid.IntRange(24*40, 24*500).Draw(t, "hours"), func(int) float64 { return 20 })
		b, _, err := BatteryFrom(plan.Battery{Kind: rapid.SampledFrom(kinds).Draw(t, "kind")})
		if err != nil {
			t.Fatal(err)
		}
		panel := rapid.Float64Range(0, 900).Draw(t, "panel")
		size := rapid.Float64Range(0, 6000).Draw(t, "size")
		o := BalanceOptions{StartCharge: rapid.Float64Range(0, 1).Draw(t, "start"), Connected: rapid.Bool().Draw(t, "connected")}
		short, all := newStore(r, panel, b, size, o), newStore(r, panel, b, size, o)
		probe := newStore(r, panel, b, size, o)
		probe.seek()
		read(&r, []carrier{probe}, r.Hours()-r.Hours()/4)
		if probe.settled() {
			found++
		} else {
			lost++
		}
		sweep(r, 2, []carrier{short})
		sweep(r, 2, []carrier{whole{all}})
		if diff := cmp.Diff(all.balance(), short.balance()); diff != "" {
			t.Fatalf("%.0f W with %.0f Wh (-whole +short):\n%s", panel, size, diff)
		}
	})
	if found == 0 || lost == 0 {
		t.Errorf("%d stores settled and %d did not: both ways want a test", found, lost)
	}
}
