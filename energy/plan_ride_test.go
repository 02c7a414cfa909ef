package energy

import (
	"math"
	"testing"

	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/supply"
)

// By hand: a 100 W panel with a half-sine day of 7.66 sun hours (the sum of the
// 12 mid-hours) gives 689 Wh after a tenth is kept back: 6 whole hours of 100 W,
// the six around noon.
func TestRideThroughAsksForWhatTheDayPays(t *testing.T) {
	r := sunnyDays(31, func(int) float64 { return 1 })
	rec, err := r.RideThrough(100, 1, supply.Draw{Source: 100, Duty: supply.Duty{Flow: 1 * units.CubicMetrePerHour}})
	if err != nil {
		t.Fatal(err)
	}
	for h := range 24 {
		want := 0.0
		if h >= 9 && h < 15 {
			want = 100
		}
		if rec.Load[h] != want || math.Abs(rec.Water[h]-want/100) > 1e-12 {
			t.Errorf("hour %d: load %g W, water %g m3, want %g W", h, rec.Load[h], rec.Water[h], want)
		}
	}
	// An ideal battery that holds the morning's surplus carries every hour of it.
	b, err := battery.BalanceOf(rec, battery.IdealBattery(), 500*units.WattHour, battery.FromFull())
	if err != nil || b.UnmetWh > 1e-6 {
		t.Errorf("unmet %g Wh, %v", b.UnmetWh, err)
	}
	if _, err := r.RideThrough(100, 0, supply.Draw{Source: 100}); err == nil {
		t.Error("no efficiency was taken")
	}
}

// sunnyDays is a record of days with a half-sine of sun from 6 to 18 h.
func sunnyDays(days int, peak func(day int) float64) supply.SunRecord {
	r := supply.SunRecord{}
	for d := range days {
		for h := range 24 {
			r.Yield = append(r.Yield, max(0, peak(d)*math.Sin(math.Pi*(float64(h)+0.5-6)/12)))
		}
	}
	return r
}
