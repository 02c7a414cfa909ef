package battery

import (
	"math"
	"slices"
	"strings"
	"testing"

	"sunrill/data/figure"
	"sunrill/data/reftest"
	"sunrill/energy/money"
	"sunrill/energy/supply"
)

// TestWithoutPricesTheSteepEndIsNotBought: on a front seen for 22 W on flooded
// lead with an 11 h stop, 85 W more panel save 44 kWh of battery. The first pair
// does not make enough in the worst month and may not be chosen at any sum.
func TestWithoutPricesTheSteepEndIsNotBought(t *testing.T) {
	pairs := [][2]float64{{300, 900}, {425, 55150}, {510, 11020}, {4000, 8000}}
	s := &selection{ratio: DesignRatio / 400, panels: []float64{300, 425, 510, 4000}}
	slices.SortStableFunc(pairs, func(a, b [2]float64) int {
		if s.worth(a[0], a[1], 0) < s.worth(b[0], b[1], 0) {
			return -1
		}
		return 1
	})
	if got := pairs[0][0]; got != 510 {
		t.Errorf("%g W is chosen, want 510", got)
	}
	if !math.IsInf(s.worth(300, 900, 0), 1) {
		t.Error("a panel that makes too little in the worst month may be chosen")
	}
}

// steady returns a record of days with a load of 20 W.
func steady(seed uint64, days int) supply.Record {
	return bareRecord(seed, 24*days, func(int) float64 { return 20 })
}

// perWattAndWh is a cost without wear: 5 for each watt of panel and 4 for each
// watt-hour of battery.
func perWattAndWh(w, wh, _ float64) (price, perYear money.Money) {
	return 0, money.Money(5*w + 4*wh)
}

// TestChoiceIsTheCheapestOfAll tries every panel with every battery on sale: what costs
// least of those that meet the target with cut-off and reconnect is bought, and what bounds
// a panel's cost is never above it.
func TestChoiceIsTheCheapestOfAll(t *testing.T) {
	panels := []float64{90, 120, 150, 200, 300, 450, 700, 1000}
	sizes := []float64{300, 450, 600, 900, 1200, 1800, 2500, 4000, 8000}
	for seed := range uint64(4) {
		for _, stop := range []figure.Maybe[int]{{}, figure.Known(6)} {
			r, b := steady(seed, 200), lithium(t)
			o := SizeOptions{Unmet: 0.01, LongestStop: stop, Panels: panels, SaleWh: sizes, Cost: perWattAndWh}
			cost := func(w, wh float64) float64 { return 5*w + 4*wh }
			bestW, bestWh := 0.0, math.Inf(1)
			least := map[float64]float64{}
			for _, w := range panels {
				for _, wh := range slices.Backward(sizes) {
					if run := newLoaded(r, b, o.Target(r.Hours()).limits).trial(w).whole(wh, true).balance(); !o.Target(run.Hours).meets(run) || run.Drains() {
						continue
					}
					least[w] = wh
				}
				if wh, ok := least[w]; ok && cost(w, wh) < cost(bestW, bestWh) {
					bestW, bestWh = w, wh
				}
			}
			f, err := Size(r, b, o)
			if err != nil {
				t.Fatal(err)
			}
			if f.Chosen.PanelW != bestW || f.Chosen.BoughtWh != bestWh {
				t.Errorf("seed %d, stop %+v: %g W and %g Wh are bought, %g W and %g Wh cost least", seed, stop, f.Chosen.PanelW, f.Chosen.BoughtWh, bestW, bestWh)
			}
			reftest.Near(t, "cost a year", float64(f.Chosen.PerYear.Value), cost(bestW, bestWh), 1e-9)
			all := newSelection(r, b, o)
			all.measure(3)
			unseen := all.bound(5)
			for _, i := range all.every() {
				all.measure(i)
			}
			for i, w := range panels {
				if wh, ok := least[w]; ok && all.bound(i) > cost(w, wh)+2*tie*w {
					t.Errorf("%g W cost %g and are held to cost %g at least", w, cost(w, wh), all.bound(i))
				}
			}
			if unseen > all.bound(5) {
				t.Errorf("unseen 450 W are held to cost %g at least, seen %g", unseen, all.bound(5))
			}
		}
	}
}

// TestLargerBatteryThatLastsIsBought: with 250 full cycles and ten years to reckon, every
// battery is replaced as often as its life asks; of the sizes in steps of 10 Wh, up to
// four times the least, none costs less a year than the one bought.
func TestLargerBatteryThatLastsIsBought(t *testing.T) {
	const years = 10
	perYear := func(w, wh, life float64) float64 {
		return w/20 + 0.5*wh*math.Ceil(years/life-1e-9)/years
	}
	b := lossy()
	b.FullCycles, b.CutOff, b.Reconnect = 250, 0.05, 0.2
	o := SizeOptions{Unmet: 0.05, Years: years, Cost: func(w, wh, life float64) (price, year money.Money) { return 0, money.Money(perYear(w, wh, life)) }}
	larger := 0
	for seed := range uint64(4) {
		f, err := Size(steady(seed, 365), b, o)
		if err != nil {
			t.Fatal(err)
		}
		c := f.Chosen
		if c.BoughtWh > c.OnSaleWh {
			larger++
		}
		r := steady(seed, 365)
		for wh := c.OnSaleWh; wh <= 4*c.OnSaleWh; wh += saleStep {
			run := ConnectedRun(r, b, c.PanelW, wh)
			life := b.Life(WattHours(wh), WattHours(run.PerYear(run.TakenWh)), 298.15).Years()
			if got := perYear(c.PanelW, wh, life); got < float64(c.PerYear.Value)*(1-1e-9) && run.UnmetFraction() <= 0.05 {
				t.Errorf("seed %d: %g Wh cost %g a year, the %g Wh bought %g", seed, wh, got, c.BoughtWh, float64(c.PerYear.Value))
			}
		}
	}
	if larger == 0 {
		t.Error("no size beyond the least was bought: the test shows nothing")
	}
}

// TestRuleSaysHowItWasChosen: by cost, by W plus Wh, or the largest where none makes
// enough in the worst month.
func TestRuleSaysHowItWasChosen(t *testing.T) {
	r, b := steady(1, 200), lossy()
	for name, c := range map[string]struct {
		o    SizeOptions
		says string
	}{
		"prices":       {SizeOptions{Unmet: 0.05, Cost: perWattAndWh, Years: 7}, "reckoned over 7 years"},
		"paid panels":  {SizeOptions{Unmet: 0.05, Cost: func(w, wh, _ float64) (a, y money.Money) { return 0, money.Money(wh - 10*w) }}, "it is the largest panel looked at"},
		"no prices":    {SizeOptions{Unmet: 0.05}, "the pair of least W plus Wh"},
		"small panels": {SizeOptions{Unmet: 0.2, Panels: []float64{250, 280}}, "the largest panel looked at, as none makes 1.3 times"},
	} {
		f, err := Size(r, b, c.o)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if !strings.Contains(f.Rule, c.says) {
			t.Errorf("%s: %s", name, f.Rule)
		}
		if f.Chosen.Price.Known != (c.o.Cost != nil) {
			t.Errorf("%s: price %+v", name, f.Chosen.Price)
		}
	}
}

// TestChoiceReadsLittle: over twenty years a choice among thirty panels and every
// battery takes no more than sixty readings of the record by all panels together, and
// four times the years take no more readings.
func TestChoiceReadsLittle(t *testing.T) {
	readings := func(years int) float64 {
		s := newSelection(bareRecord(1, years*8760, func(int) float64 { return 20 }), lithium(t), SizeOptions{Unmet: 0.01, Cost: perWattAndWh})
		if !s.closely() {
			t.Fatal("nothing is chosen")
		}
		hours := 0
		for _, g := range s.rungs {
			hours += g.read
		}
		return float64(hours) / float64(s.r.Hours())
	}
	five, twenty := readings(5), readings(20)
	t.Logf("%.1f readings of five years, %.1f of twenty", five, twenty)
	if twenty > 60 || twenty > 1.2*five {
		t.Errorf("%.1f readings of five years, %.1f of twenty", five, twenty)
	}
}
