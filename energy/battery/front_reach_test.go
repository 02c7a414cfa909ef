package battery

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"sunrill/data/clock"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/energy/supply"
)

func TestDarkOffTakesTheDarkestOut(t *testing.T) {
	made, asked := [12]float64{}, [12]float64{}
	for m := range made {
		made[m], asked[m] = 10, 1
	}
	made[11], made[0] = 0, 0.05 // of 100: 24 times the load makes 0 and 0.14 of it
	if off := DarkOff(made, asked); !slices.Equal(off, []int{0, 11}) {
		t.Errorf("%v, want January and December", off)
	}
	if off := DarkOff([12]float64{1}, [12]float64{0, 1}); off != nil {
		t.Errorf("%v, want none: nothing is left", off)
	}
}

// TestDarkMonthIsNoChoice: a year whose December has no sun has pairs that would carry
// it and no answer, with prices or without; standing still in the months named has one.
func TestDarkMonthIsNoChoice(t *testing.T) {
	r := steady(2, 365)
	for i := range r.Panel {
		if supply.MonthAt(0, i) == 11 {
			r.Panel[i] = 0
		}
	}
	for _, o := range []SizeOptions{{Shop: plain, Unmet: 0.01}, {Unmet: 0.01, Shop: perWattAndWh}} {
		_, err := Size(r, lossy(), o)
		var none *NothingReaches
		if !errors.As(err, &none) || none.Dark == nil || none.Dark.Month != 11 || none.Dark.Ratio != 0 || !slices.Contains(none.MonthsOff, 11) {
			t.Fatalf("%+v", err)
		}
		if text := none.Error(); !strings.HasPrefix(text, "sun alone is no sane supply here") || !strings.Contains(text, "makes the load of December") {
			t.Error(text)
		}
		if !slices.Contains(none.StopMonths, 11) {
			t.Errorf("a day's load in store stops in %v", none.StopMonths)
		}
		still := r
		still.Load = slices.Clone(r.Load)
		for _, m := range none.MonthsOff {
			still.Standby |= 1 << m
		}
		for i := range still.Load {
			if still.Standby>>supply.MonthAt(0, i)&1 == 1 {
				still.Load[i] = 0
			}
		}
		if _, err := Size(still, lossy(), o); err != nil {
			t.Errorf("standing still in %v: %v", none.MonthsOff, err)
		}
	}
}

// TestNothingReachesInWords: sizes, shares and stops by hand.
func TestNothingReachesInWords(t *testing.T) {
	best := Balance{LoadWh: 400, UnmetWh: 20, UsableWh: 100}
	best.Stops.LongestHours = 7
	drained := best
	drained.StartWh = 50
	for want, e := range map[string]NothingReaches{
		"the measured panel with 480 Wh, a day's load, misses 5 % of the energy; 2.5 times the measured panel with 500 Wh would do; or 80 % of the load": {PanelW: 1, Multiples: true, BatteryWh: 480, Best: best, NeedPanelW: 2.5, NeedPanelWh: 500, LoadShare: 0.8},
		"120 W of panel cannot keep up with the load and would live off the battery's first charge":                                                      {PanelW: 120, BatteryWh: 600, Best: drained},
	} {
		if got := e.Error(); got != ErrNothingReaches.Error()+": "+want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

// TestSharesOfABalance with a pencil: two days of 10 W, 50 W in four hours around noon
// and no battery meet 2 x 4 of 48 hours; each hour is to move 1 m³.
func TestSharesOfABalance(t *testing.T) {
	var r supply.Record
	for hour := range 48 {
		panel := 0.0
		if hour%24 >= 10 && hour%24 < 14 {
			panel = 50
		}
		r.Panel, r.Load, r.Water = append(r.Panel, panel), append(r.Load, 10), append(r.Water, 1)
	}
	b, err := BalanceOf(r, IdealBattery(), 0, BalanceOptions{})
	if err != nil {
		t.Fatal(err)
	}
	reftest.Near(t, "unmet", b.UnmetFraction(), 400.0/480, 1e-12)
	reftest.Near(t, "water missed", b.UnmetFlow(), 40.0/48, 1e-12)
	reftest.Near(t, "energy ratio", b.EnergyRatio(), 400.0/480, 1e-12)
	reftest.Near(t, "delivered Wh", b.Delivered(), 80, 1e-9)
	reftest.Near(t, "spilled Wh", b.SpilledWh, 320, 1e-9)
	reftest.Near(t, "unmet Wh a year", b.PerYear(b.UnmetWh), 400*182.5, 1e-6)
}

// TestBuyOfASpread: the size that would be bought on its own record is the choice's, and
// what would be bought in each meets the target there.
func TestBuyOfASpread(t *testing.T) {
	o := SizeOptions{Shop: plain, Unmet: 0.01}
	b := lithium(t)
	records := []supply.Record{steady(0, 365), steady(1, 365), steady(2, 365)}
	f, err := Size(records[0], b, o)
	if err != nil {
		t.Fatal(err)
	}
	s := SpreadOf(len(records), func(i int) supply.Record { return records[i] }, b, o, f.Chosen)
	reftest.Near(t, "own size Wh", s.BuyWh[0], f.Chosen.BoughtWh, 1e-9)
	misses := 0
	for i, r := range records {
		if run := ConnectedRun(r, b, f.Chosen.PanelW, f.Chosen.BoughtWh); run.UnmetFraction() > 0.01 {
			misses++
		}
		if run := ConnectedRun(records[i], b, f.Chosen.PanelW, s.BuyWh[i]); run.UnmetFraction() > 0.01 {
			t.Errorf("record %d: %g Wh miss %g", i, s.BuyWh[i], run.UnmetFraction())
		}
	}
	if s.Misses != misses {
		t.Errorf("%d records are missed, counted anew %d", s.Misses, misses)
	}
}

// TestFortnightOfAChoice: a choice goes into its darkest fortnight as the second reading
// of the record does, with cut-off and reconnect. The record doubled and cut off at the
// last hour has the same charge.
func TestFortnightOfAChoice(t *testing.T) {
	r, b := steady(4, 60), lossy()
	b.CutOff, b.Reconnect = 0.1, 0.3
	c := Choice{Pair: Pair{PanelW: 100}, BoughtWh: 500}
	f, ok := c.DarkestFortnight(r, b)
	if !ok {
		t.Fatal("60 days hold no fortnight")
	}
	end := r.Hours() + f.Start + 14*clock.HoursPerDay
	twice := scaledRecord(supply.Record{Panel: slices.Concat(r.Panel, r.Panel)[:end], Load: slices.Concat(r.Load, r.Load)[:end]}, 100)
	run, err := BalanceOf(twice, b, 500*units.WattHour, FromFull())
	if err != nil {
		t.Fatal(err)
	}
	reftest.Near(t, "charge at the end", f.Hours[len(f.Hours)-1].Charge, run.EndWh/500, 1e-9)
	short := 0.0
	for _, h := range f.Hours {
		short += float64(h.Short)
	}
	if short == 0 || math.IsNaN(short) {
		t.Error("nothing was short: the test shows no stop")
	}
}
