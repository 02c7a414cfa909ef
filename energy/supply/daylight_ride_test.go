package supply

import (
	"math"
	"testing"

	"sunrill/data/units"
)

// By hand: a 100 W panel with a half-sine day of 7.66 sun hours (the sum of the
// 12 mid-hours) gives 689 Wh after a tenth is kept back: 6 whole hours of 100 W,
// the six around noon.
func TestRideThroughAsksForWhatTheDayPays(t *testing.T) {
	r := sineDays(31, func(int) float64 { return 1 })
	rec := r.RideThrough(100, Draw{Source: 100, Duty: Duty{Flow: 1 * units.CubicMetrePerHour}})
	for h := range 24 {
		want := 0.0
		if h >= 9 && h < 15 {
			want = 100
		}
		if rec.Load[h] != want || math.Abs(rec.Water[h]-want/100) > 1e-12 {
			t.Errorf("hour %d: load %g W, water %g m3, want %g W", h, rec.Load[h], rec.Water[h], want)
		}
	}
	// A store of 500 Wh without losses, full at first, carries every hour of it.
	level := 500.0
	for h := range rec.Load {
		if level = min(500, level+100*rec.Panel[h]-rec.Load[h]); level < 0 {
			t.Fatalf("hour %d: %g Wh are short", h, -level)
		}
	}
}
