package energy

import (
	"testing"

	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/pumps/works"
)

// TestSwapPaysBack: a saving and its payback by hand.
func TestSwapPaysBack(t *testing.T) {
	p, curves := plantest.OnWaterCurve(t, plantest.TwoPumps, plantest.Set("pump.2.present", "true"), plantest.Set("pump.1.price", "80"), plantest.Set("mains.price", "0.5"), plantest.Set("mains.discount_rate", "0 %"))
	w, err := works.NewWater(p, curves, works.Surroundings{})
	if err != nil {
		t.Fatal(err)
	}
	costs, err := CostsOf(w, p)
	if err != nil {
		t.Fatal(err)
	}
	swaps, err := SwapsOf(w, p, costs)
	if err != nil || len(swaps) != 1 {
		t.Fatal(swaps, err)
	}
	kwh := func(i int) float64 {
		return (float64(w.Pumps[i].Clean.Power.Value) + float64(w.Pumps[i].Dirty.Power.Value)) / 2 * 8.76
	}
	saving := 0.5 * (kwh(1) - kwh(0))
	reftest.Near(t, "saving a year", float64(swaps[0].Saving.Value), saving, 1e-9)
	reftest.Near(t, "payback [years]", swaps[0].Payback.Value.Simple.Value, 80/saving, 1e-9)
}
