package battery

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/energy/bill"
	"sunrill/energy/money"
	"sunrill/energy/supply"
)

// readingAll makes trials read every hour of the record, twice: the search as it is
// without courses.
func readingAll(s *selection) *selection {
	for i := range s.rungs {
		s.rungs[i].course = &course{most: math.Inf(1), limit: math.NaN()} // no other limit is less, nor more
	}
	return s
}

// drawnSize draws a record, a battery and what a size has to meet.
func drawnSize(t *rapid.T, listed bool) (supply.Record, Battery, SizeOptions) {
	watts := rapid.Float64Range(1, 60).Draw(t, "load")
	pause := rapid.IntRange(0, 12).Draw(t, "hours off")
	hours := rapid.IntRange(24*30, 24*500).Draw(t, "hours")
	surely := rapid.IntRange(0, 7).Draw(t, "years in ten") // so many of ten, of years enough that some may be bad
	if surely > 4 {
		hours = 8760 * rapid.IntRange(3, 6).Draw(t, "years")
	}
	r := bareRecord(rapid.Uint64().Draw(t, "seed"), hours, func(i int) float64 {
		if i%24 < pause {
			return watts / 8
		}
		return watts
	})
	if n := r.Hours(); n > 8760 && rapid.Bool().Draw(t, "a year of load") {
		r.Load = r.Load[:8760]
	}
	if rapid.Bool().Draw(t, "water") {
		r.Water = slices.Clone(r.Load)
	}
	if rapid.Bool().Draw(t, "cold") {
		r.BatteryC = make([]float64, r.Hours())
		for i := range r.BatteryC {
			r.BatteryC[i] = 5 - 10*math.Cos(2*math.Pi*float64(i%24)/24)
		}
	}
	b, _, err := BatteryFrom(plan.Battery{Kind: rapid.SampledFrom(batteryKinds()).Draw(t, "kind")})
	if err != nil {
		t.Fatal(err)
	}
	o := SizeOptions{Shop: plain, Unmet: rapid.SampledFrom([]float64{0, 0.001, 0.01, 0.03}).Draw(t, "unmet")}
	switch {
	case surely > 4:
		o.YearsInTen = figure.Known(float64(surely))
		for m := range o.Limits {
			o.Limits[m] = rapid.IntRange(0, 30).Draw(t, "limit")
		}
	case rapid.Bool().Draw(t, "stop"):
		o.LongestStop = figure.Known(rapid.IntRange(0, 30).Draw(t, "longest stop"))
	}
	if r.Water != nil {
		o.UnmetFlow = figure.Known(o.Unmet)
	}
	if rapid.Bool().Draw(t, "sizes on sale") {
		for _, wh := range rapid.SliceOfN(rapid.Float64Range(50, 8000), 1, 8).Draw(t, "sizes") {
			o.Shop.Batteries = append(o.Shop.Batteries, bill.Unit{Energy: WattHours(wh)})
		}
	}
	if rapid.Bool().Draw(t, "current that nothing holds back") {
		o.Shop.LeastPerWatt = rapid.Float64Range(0.1, 8).Draw(t, "battery per watt")
	}
	if listed {
		o.Panels = rapid.SliceOfN(rapid.Float64Range(2, 900), 1, 6).Draw(t, "panels")
	}
	o.Shop.PerWh = money.Money(rapid.Float64Range(0.05, 4).Draw(t, "price of a Wh"))
	if rapid.Bool().Draw(t, "controllers") {
		o.Shop.Volts, o.Shop.PerAmpere, o.Shop.PerAmp = []units.Voltage{12, 24, 48}, 1.3, money.Money(rapid.Float64Range(0, 9).Draw(t, "price of an ampere"))
		o.Shop.UnitV, o.Shop.Controllers = 12, []bill.Controller{{Current: 10}, {Current: 30}}
	}
	return r, b, o
}

// TestSpellsChangeNothing: the search that runs a size only through the spells that
// it may not get through finds what reading all of the record finds, for every panel
// and for the choice.
func TestSpellsChangeNothing(t *testing.T) {
	chosen, spared := 0, 0
	for _, c := range []struct {
		name  string
		cases int
		list  bool
	}{{"panels on sale", 3, true}, {"a ladder of panels", 1, false}} {
		for k := range c.cases {
			t.Run(fmt.Sprintf("%s %d", c.name, k+1), func(t *testing.T) {
				rapid.Check(t, func(t *rapid.T) {
					r, b, o := drawnSize(t, c.list)
					if !c.list { // the rungs alone: what lies between two is looked at where it spares enough
						o.Panels = newLoaded(r, b, nil).ladder(o)
					}
					lean, whole, close := newSelection(r, b, o), readingAll(newSelection(r, b, o)), newSelection(r, b, o)
					lean.fitAll(lean.every()...)
					whole.fitAll(whole.every()...)
					for _, i := range lean.every() {
						spared += whole.rungs[i].read - lean.rungs[i].read
						sameTrial(t, &lean.rungs[i], &whole.rungs[i])
					}
					ok := whole.closely()
					if lean.closely() != ok || close.closely() != ok {
						t.Fatalf("something is chosen: %v, reading all %v", !ok, ok)
					}
					for _, s := range []*selection{lean, close} {
						if a, b := s.best, whole.best; ok && (math.Abs(s.cost-whole.cost) > 1e-9*math.Abs(whole.cost)) {
							t.Fatalf("%g W with %g Wh, reading all %g W with %g Wh: %g and %g", a.PanelW, a.BoughtWh, b.PanelW, b.BoughtWh, s.cost, whole.cost)
						}
					}
					if ok {
						chosen++
					}
				})
			})
		}
	}
	if chosen == 0 || spared <= 0 {
		t.Errorf("%d choices, %d hours spared", chosen, spared)
	}
}

// TestFloorsHold: no size below what is held to be the least of a panel meets the target, in
// whichever order panels are looked at, whatever is on sale and whatever the best so far costs.
func TestFloorsHold(t *testing.T) {
	below := 0
	rapid.Check(t, func(t *rapid.T) {
		r, b, o := drawnSize(t, true)
		s := newSelection(r, b, o)
		for _, i := range rapid.Permutation(s.every()).Draw(t, "order") {
			if s.measure(i); s.rungs[i].out {
				continue
			}
			g, before := &s.rungs[i], s.cost
			s.take(i)
			for wh := range s.saleSizes(g, 0) {
				if wh*b.UsableOfNominal() >= g.floor*(1-1e-9) || below > 1e5 || s.worth(g.w, wh, s.life(wh, 0)) >= before {
					break
				}
				if run := g.whole(wh, true).balance(); s.t.meets(run) && !run.Drains() {
					t.Fatalf("%g W with %g Wh meets the target, held to need %g Wh usable", g.w, wh, g.floor)
				}
				below++
			}
		}
	})
	if below == 0 {
		t.Error("no size lies below the least of its panel: the draw is too one-sided")
	}
}

// TestNothingInStoreIsNoCourse: a course made for a battery of nothing, which never charges, is
// made anew for one that does, as else every size would read all of the record.
func TestNothingInStoreIsNoCourse(t *testing.T) {
	l := newLoaded(steady(1, 365), lithium(t), nil)
	g := l.trial(200)
	if g.at(0, 0).closed {
		t.Error("a store that may not charge is full at some time")
	}
	if c := g.at(1000, cellOf(l.b, 1000).limIn); !c.closed {
		t.Error("1000 Wh on 200 W for 20 W are never full")
	}
}

// TestFullAtTheEnd: a store that is full in the last hour of the record begins the second
// reading with what that hour leaves, and so does not drain.
func TestFullAtTheEnd(t *testing.T) {
	r := steady(1, 60)
	r.Start, r.Panel, r.Load = 14, r.Panel[14:14+24*50], r.Load[14:14+24*50] // from 14 to 14
	b := lithium(t)
	g := newLoaded(r, b, nil).trial(400)
	got := g.whole(600, true).balance()
	o := FromFull()
	o.Repeat = true
	want, err := BalanceOf(scaledRecord(r, 400), b, WattHours(600), o)
	if err != nil {
		t.Fatal(err)
	}
	reftest.Near(t, "start Wh", got.StartWh, want.StartWh, 1e-9)
	if from := g.at(got.UsableWh, math.Inf(1)).spells[0].from; from < 0 || want.StartWh >= want.UsableWh || got.Drains() {
		t.Errorf("the first spell begins at %d, the store with %g of %g Wh and drains %v", from, want.StartWh, want.UsableWh, got.Drains())
	}
}

// TestLosingPanelsMeetNothing: no battery meets a target on a panel that is ruled out for
// making too little of it, and such panels are not only those of less sun than load.
func TestLosingPanelsMeetNothing(t *testing.T) {
	lost := 0
	rapid.Check(t, func(t *rapid.T) {
		r, b, o := drawnSize(t, true)
		s := newSelection(r, b, o)
		if s.load == 0 || s.sun.Sum == 0 {
			return
		}
		even := s.load * (1 - s.unmet) / s.sun.Sum
		for _, more := range []float64{1.001, 1.02, 1.05, 1.1, 1.2, 1.5} {
			g := s.trial(even * more)
			c := g.at(0, math.Inf(1))
			if c.closed || !g.loses(c, s.unmet) {
				continue
			}
			lost++
			for _, days := range []float64{0, 0.3, 1, 3, 10, 100} {
				run := g.whole(days*24*s.load/float64(r.Hours())/b.UsableOfNominal(), true).balance()
				if s.t.meets(run) && !run.Drains() {
					t.Fatalf("%g W with %g days of load meets the target", g.w, days)
				}
			}
		}
	})
	if lost == 0 {
		t.Error("no panel is ruled out: the draw is too one-sided")
	}
}

// sameTrial holds the least battery of a panel, and its sizes, to reading all.
func sameTrial(t *rapid.T, lean, all *rung) {
	t.Helper()
	if math.Abs(lean.fit.least-all.fit.least) > 2*sizeTolerance || math.IsInf(lean.fit.least, 1) != math.IsInf(all.fit.least, 1) {
		t.Fatalf("%g W: %.6f Wh, reading all %.6f", lean.w, lean.fit.least, all.fit.least)
	}
	if math.IsInf(lean.fit.least, 1) {
		return
	}
	near := cmpopts.EquateApprox(1e-9, 1e-7)
	for _, share := range []float64{0, 0.5, 1, 1.3} {
		wh := share * lean.fit.pair.BatteryWh
		for _, connected := range []bool{false, true} {
			got, want := lean.run(wh, connected).balance(), all.whole(wh, connected).balance()
			if diff := cmp.Diff(want, lean.whole(wh, connected).balance(), near); diff != "" {
				t.Fatalf("%g W with %g Wh, cut off %v, every account (-all +from full):\n%s", lean.w, wh, connected, diff)
			}
			if got.Drains() != want.Drains() || math.Abs(got.TakenWh-want.TakenWh) > 1e-7*(1+want.TakenWh)+1e-12*want.LoadWh { // of sums of the load
				t.Fatalf("%g W with %g Wh: takes %g Wh and drains %v, reading all %g and %v", lean.w, wh, got.TakenWh, got.Drains(), want.TakenWh, want.Drains())
			}
			if diff := cmp.Diff(want, got, near, cmpopts.IgnoreFields(Balance{}, "PanelWh", "SpilledWh", "ChargeLossWh", "DischargeLossWh", "SelfDischargeWh",
				"StartWh", "EndWh", "TakenWh", "LowestCharge", "LongestSinceFullHours")); diff != "" {
				t.Fatalf("%g W with %g Wh, cut off %v (-all +spells):\n%s", lean.w, wh, connected, diff)
			}
		}
	}
}

// TestReachedIsRead: a store that begins where it was surely full is in any hour as one that was
// read from the first hour of the first reading on.
func TestReachedIsRead(t *testing.T) {
	short := 0
	rapid.Check(t, func(t *rapid.T) {
		r, b, _ := drawnSize(t, true)
		l := newLoaded(r, b, nil)
		if l.load == 0 || l.sun.Sum == 0 {
			return
		}
		g := l.trial(l.load / l.sun.Sum * rapid.Float64Range(0.5, 6).Draw(t, "panel over load"))
		wh := rapid.Float64Range(0, 3).Draw(t, "days of load") * supply.DayLoad(r)
		hour := rapid.IntRange(0, r.Hours()-1).Draw(t, "hour")
		reached, read := g.store(wh, true), g.store(wh, true)
		g.reach(reached, hour)
		if from, full := g.fullBefore(hour, reached.cap, reached.limIn); full && from > 0 {
			short++
		}
		read.begin(false)
		read.advance(&r, 0, r.Hours())
		read.begin(true)
		read.advance(&r, 0, hour)
		if math.Abs(reached.s-read.s) > 1e-9*(1+read.cap) || reached.on != read.on {
			t.Fatalf("%g Wh and on %v in hour %d, read from the start %g Wh and %v", reached.s, reached.on, hour, read.s, read.on)
		}
	})
	if short == 0 {
		t.Error("every store was read from the start")
	}
}
