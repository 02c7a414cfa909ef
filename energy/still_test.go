package energy

import (
	"math"
	"testing"

	"sunrill/data/reftest"

	"sunrill/data/units"
)

// TestLongestPause: stretches off the clock, by hand.
func TestLongestPause(t *testing.T) {
	band := func(from, to, speed float64) RunBand {
		return RunBand{HourBand: HourBand{Key: "band", From: units.Duration(from) * units.Hour, To: units.Duration(to) * units.Hour}, Speed: speed}
	}
	for _, tt := range []struct {
		name  string
		bands []RunBand
		base  float64
		off   Months
		want  float64
	}{
		{"never off", nil, 1, 0, 0},
		{"always off", nil, 0, 0, 24},
		{"over midnight", []RunBand{band(22, 6, 0)}, 1, 0, 8},
		{"on for eight hours", []RunBand{band(8, 16, 1)}, 0, 0, 16},
		{"from half past", []RunBand{band(22.5, 6, 0)}, 1, 0, 7.5},
		{"two pauses", []RunBand{band(3, 5, 0), band(12, 17, 0)}, 1, 0, 5},
		{"slow is not off", []RunBand{band(22, 6, 0.5)}, 1, 0, 0},
		{"months off are left out", nil, 1, 1 << 6, 0},
	} {
		s, err := NewSchedule(tt.bands, tt.base, tt.off)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.longestPause(); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%s: %g h, want %g", tt.name, got, tt.want)
		}
	}
}

// TestWaterMovedWithAPencil: 10 W and 1 m³ in each hour from 6 to 18 of two days
// of January, sun for all of it on the second day only. A full battery of 65 Wh
// without losses carries the first six hours and half of the seventh, so that
// 6.5 and 12 m³ flow, 9.25 a day. Nothing flows from 13 h to 6 h of the next
// morning, and not all from 12 h.
func TestWaterMovedWithAPencil(t *testing.T) {
	r := Record{Panel: make([]float64, 48), Load: make([]float64, 48), Water: make([]float64, 48)}
	for i := range r.Load {
		if h := i % 24; h >= 6 && h < 18 {
			r.Load[i], r.Water[i] = 10, 1
			r.Panel[i] = float64(i / 24) // per watt of a panel of 10 W
		}
	}
	for _, running := range []Months{AllMonths, AllMonths &^ 1} {
		m := waterMoved(r, 10, IdealBattery(), 65, BalanceOptions{StartCharge: 1}, running)
		reftest.Near(t, "m³ a day", float64(m.PerDay[0]), 9.25, 1e-12)
		want := [2]float64{17, 18}
		if running != AllMonths {
			want = [2]float64{0, 0}
		}
		if got := [2]float64{m.Still, m.Short}; got != want {
			t.Errorf("running in %v: still and short for %v h, want %v", running, got, want)
		}
	}
	b, err := BalanceOf(Record{Panel: times(r.Panel, 10), Load: r.Load, Water: r.Water}, IdealBattery(), 65*units.WattHour, BalanceOptions{StartCharge: 1})
	if err != nil || b.Stops.LongestHours != 6 {
		t.Errorf("a balance stops for %d h, %v; want the 6 that are asked for", b.Stops.LongestHours, err)
	}
}
