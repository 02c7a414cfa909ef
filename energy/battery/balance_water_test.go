package battery

import (
	"testing"

	"sunrill/data/plan"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/energy/supply"
)

// TestWaterMovedWithAPencil: 10 W and 1 m³ in each hour from 6 to 18 of two days
// of January, sun for all of it on the second day only. A full battery of 65 Wh
// without losses carries the first six hours and half of the seventh, so that
// 6.5 and 12 m³ flow, 9.25 a day. Nothing flows from 13 h to 6 h of the next
// morning, and not all from 12 h.
func TestWaterMovedWithAPencil(t *testing.T) {
	r := supply.Record{Panel: make([]float64, 48), Load: make([]float64, 48), Water: make([]float64, 48)}
	for i := range r.Load {
		if h := i % 24; h >= 6 && h < 18 {
			r.Load[i], r.Water[i] = 10, 1
			r.Panel[i] = float64(i / 24) // per watt of a panel of 10 W
		}
	}
	for _, running := range []plan.MonthSet{plan.AllYear, plan.AllYear &^ 1} {
		m := WaterMoved(r, 10, IdealBattery(), 65, BalanceOptions{StartCharge: 1}, running)
		reftest.Near(t, "m³ a day", float64(m.PerDay[0]), 9.25, 1e-12)
		want := [2][12]float64{{17}, {18}} // both begin in January
		if running != plan.AllYear {
			want = [2][12]float64{}
		}
		if got := [2][12]float64{m.Still, m.Short}; got != want {
			t.Errorf("running in %v: still and short for %v h, want %v", running, got, want)
		}
	}
	b, err := BalanceOf(supply.Record{Panel: supply.Times(r.Panel, 10), Load: r.Load, Water: r.Water}, IdealBattery(), 65*units.WattHour, BalanceOptions{StartCharge: 1})
	if err != nil || b.Stops.LongestHours != 6 {
		t.Errorf("a balance stops for %d h, %v; want the 6 that are asked for", b.Stops.LongestHours, err)
	}
}
