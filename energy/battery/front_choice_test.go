package battery

import (
	"math"
	"strings"
	"testing"

	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/energy/bill"
	"sunrill/energy/supply"
)

// steady returns a record of days with a load of 20 W.
func steady(seed uint64, days int) supply.Record {
	return bareRecord(seed, 24*days, func(int) float64 { return 20 })
}

// plain sells any size, a watt for what a watt-hour costs; perWattAndWh takes 5 for a watt
// of panel and 4 for a watt-hour of battery, as money.
var (
	plain        = bill.Shop{PerWatt: 1, PerWh: 1, PanelLife: 25, Rate: 0.03, NoMoney: "no prices given"}
	perWattAndWh = bill.Shop{PerWatt: 5, PerWh: 4, PanelLife: 25, Rate: 0.03}
)

// yearly returns what a pair costs a year that takes so much of its battery.
func yearly(b Battery, shop bill.Shop, w, wh float64, run Balance) float64 {
	life := b.Life(WattHours(wh), WattHours(run.PerYear(run.TakenWh)), 298.15).Years()
	return float64(shop.CostOf(w, wh, life).PerYear)
}

// TestChoiceIsTheCheapestOfAll tries every panel with every battery on sale: what costs
// least of those that meet the target with cut-off and reconnect is bought, and what bounds
// a panel's cost is never above it.
func TestChoiceIsTheCheapestOfAll(t *testing.T) {
	panels := []float64{90, 120, 150, 200, 300, 450, 700, 1000}
	for seed := range uint64(4) {
		for _, stop := range []figure.Maybe[int]{{}, figure.Known(6)} {
			r, b := steady(seed, 200), lithium(t)
			b.FullCycles = 250 * float64(1+seed)
			o := SizeOptions{Unmet: 0.01, LongestStop: stop, Panels: panels, Shop: perWattAndWh}
			o.Shop.Batteries = []bill.Unit{{Energy: WattHours(300)}, {Energy: WattHours(450)}}
			bestW, bestWh, cost := 0.0, 0.0, math.Inf(1)
			least := map[float64]float64{}
			for _, w := range panels {
				least[w] = math.Inf(1)
				for wh := 0.0; wh < 9000; wh = o.Shop.OnSale(w, wh+1) {
					if run := newLoaded(r, b, o.Target(r.Hours()).limits).trial(w).whole(wh, true).balance(); o.Target(r.Hours()).meets(run) && !run.Drains() {
						least[w] = min(least[w], yearly(b, o.Shop, w, wh, run))
						if least[w] < cost {
							bestW, bestWh, cost = w, wh, least[w]
						}
					}
				}
			}
			f, err := Size(r, b, o)
			if err != nil {
				t.Fatal(err)
			}
			if f.Chosen.PanelW != bestW || f.Chosen.BoughtWh != bestWh {
				t.Errorf("seed %d, stop %+v: %g W and %g Wh are bought, %g W and %g Wh cost least", seed, stop, f.Chosen.PanelW, f.Chosen.BoughtWh, bestW, bestWh)
			}
			reftest.Near(t, "cost a year", float64(f.Chosen.PerYear.Value), cost, 1e-6)
			all := newSelection(r, b, o)
			all.measure(3)
			unseen := all.bound(5)
			for _, i := range all.every() {
				all.measure(i)
			}
			for i, w := range panels {
				if all.bound(i) > least[w]+2*tie*w {
					t.Errorf("%g W cost %g and are held to cost %g at least", w, least[w], all.bound(i))
				}
			}
			if unseen > all.bound(5) {
				t.Errorf("unseen 450 W are held to cost %g at least, seen %g", unseen, all.bound(5))
			}
		}
	}
}

// TestRuleSaysHowItWasChosen: by money or by planning prices, and where a larger panel was
// not looked at.
func TestRuleSaysHowItWasChosen(t *testing.T) {
	for _, c := range []struct {
		shop bill.Shop
		says string
	}{{perWattAndWh, "the least cost a year as bought"}, {plain, "by planning prices"}} {
		f, err := Size(steady(1, 200), lossy(), SizeOptions{Unmet: 0.05, Shop: c.shop})
		if err != nil || !strings.Contains(f.Rule, c.says) || f.Chosen.Price.Known != (c.shop.NoMoney == "") {
			t.Errorf("%s: %s, price %+v, %v", c.says, f.Rule, f.Chosen.Price, err)
		}
	}
	last := &selection{panels: []float64{100, 200}, best: Choice{Pair: Pair{PanelW: 200}}}
	if rule := last.rule(); !strings.Contains(rule, "it is the largest panel looked at") {
		t.Error(rule)
	}
}

// TestChoiceReadsLittle: over twenty years a choice among thirty panels and every
// battery takes no more than sixty readings of the record by all panels together, and
// four times the years take no more readings.
func TestChoiceReadsLittle(t *testing.T) {
	readings := func(years int) float64 {
		s := newSelection(bareRecord(1, years*8760, func(int) float64 { return 20 }), lithium(t), SizeOptions{Unmet: 0.01, Shop: perWattAndWh})
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

// TestWorstChoicesReadLittle: units so small that hundreds of panels and thousands of
// batteries are on sale, a few batteries for any panel and a list of many of both, by years
// in ten: none takes more readings of the record than a few for each rung of the ladder, and
// one price more takes few.
func TestWorstChoicesReadLittle(t *testing.T) {
	const most, more = 110, 30 // thirty rungs and what lies beside the best, two or three readings each
	few := []bill.Unit{{Energy: WattHours(256)}, {Energy: WattHours(640)}}
	tiny := []bill.Unit{{Energy: WattHours(5)}}
	for _, kind := range []string{"LiFePO4", "flooded lead"} {
		for _, c := range []struct {
			name   string
			panels []units.Power
			sizes  []bill.Unit
			limit  int
		}{
			{"any", nil, nil, 24}, {"tiny", []units.Power{5}, tiny, 24}, {"tiny, no stop", []units.Power{5}, tiny, 0}, {"few batteries", nil, few, 10},
			{"few batteries, long stops", nil, few, 24}, {"small panels", []units.Power{3, 50}, few, 6}, {"small batteries", nil, tiny, 3},
		} {
			b, _, err := BatteryFrom(plan.Battery{Kind: kind})
			if err != nil {
				t.Fatal(err)
			}
			o := SizeOptions{Unmet: 0.01, Shop: plain, YearsInTen: figure.Known(9.0), Limits: Always(c.limit)}
			o.Shop.Panels, o.Shop.Batteries = c.panels, c.sizes
			s := newSelection(bareRecord(3, 20*8760, func(int) float64 { return 20 }), b, o)
			readings := func() float64 {
				hours := 0
				for _, g := range s.rungs {
					hours += g.read
				}
				return float64(hours) / float64(s.r.Hours())
			}
			if !s.closely() {
				t.Fatalf("%s, %s: nothing is chosen", kind, c.name)
			}
			first, w := readings(), s.best.PanelW
			dearer := o.Shop
			dearer.PerWh *= 1.25
			s.again(dearer)
			s.closely()
			t.Logf("%s, %s: %.0f readings for %g W of %d panels, %.0f more at a dearer Wh", kind, c.name, first, w, len(s.panels), readings()-first)
			if all := readings(); first > most || all-first > more {
				t.Errorf("%s, %s: %.0f readings, %.0f more at a dearer Wh", kind, c.name, first, all-first)
			}
			fresh := newSelection(s.r, b, SizeOptions{Unmet: 0.01, Shop: dearer, YearsInTen: o.YearsInTen, Limits: o.Limits})
			if fresh.closely(); math.Abs(fresh.cost-s.cost) > 2*worthAStep*fresh.cost {
				t.Errorf("%s, %s: %g a year at a dearer Wh, %g chosen anew", kind, c.name, s.cost, fresh.cost)
			}
		}
	}
}
