package battery

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/energy/supply"
)

func lithium(tb testing.TB) Battery {
	tb.Helper()
	b, _, err := BatteryFrom(plan.Battery{})
	if err != nil {
		tb.Fatal(err)
	}
	return b
}

// TestFrontPasses: 30 panels over 20 years take at most 60 readings of the
// record, choice included, for every kind of battery.
func TestFrontPasses(t *testing.T) {
	r := bareRecord(1, 20*8760, func(int) float64 { return 20 })
	for _, kind := range batteryKinds() {
		for _, o := range []SizeOptions{{Shop: plain, Unmet: 0.01}, {Shop: plain}, {Shop: plain, Unmet: 0.01, LongestStop: figure.Known(6)}} {
			b, _, err := BatteryFrom(plan.Battery{Kind: kind})
			if err != nil {
				t.Fatal(err)
			}
			s := newSelection(r, b, o)
			panels := s.every()
			if !s.closely() || len(panels) != ladderRungs {
				t.Fatalf("%s %+v: nothing chosen of %d panels", kind, o, len(panels))
			}
			f := s.front(true, panels...)
			if n := s.passes(); n > 60 {
				t.Errorf("%s %+v: %d passes for %d pairs", kind, o, n, len(f.Pairs))
			}
		}
	}
}

// passes returns how many readings of the record the panel took that was asked most.
func (s *selection) passes() (most int) {
	for _, g := range s.rungs {
		most = max(most, (g.read+s.r.Hours()-1)/s.r.Hours())
	}
	return most
}

// TestFrontCases holds the front to what must be so of any record, battery and
// target: what a size may not get wrong.
func TestFrontCases(t *testing.T) {
	kinds := batteryKinds()
	rapid.Check(t, func(t *rapid.T) {
		watts := rapid.Float64Range(0, 60).Draw(t, "load")
		night := rapid.Bool().Draw(t, "night")
		load := func(i int) float64 {
			if h := i % 24; night && h >= 6 && h < 18 {
				return 0
			}
			return watts
		}
		r := bareRecord(rapid.Uint64().Draw(t, "seed"), rapid.IntRange(24*30, 24*130).Draw(t, "hours"), load)
		b, _, err := BatteryFrom(plan.Battery{Kind: rapid.SampledFrom(kinds).Draw(t, "kind")})
		if err != nil {
			t.Fatal(err)
		}
		o := SizeOptions{Shop: plain, Unmet: rapid.SampledFrom([]float64{0, 0.003, 0.01, 0.1}).Draw(t, "unmet")}
		f, err := Size(r, b, o)
		if err != nil && !errors.Is(err, ErrNothingReaches) {
			t.Fatal(err)
		}
		for i, p := range f.Pairs {
			if i > 0 && (p.PanelW <= f.Pairs[i-1].PanelW || p.BatteryWh >= f.Pairs[i-1].BatteryWh) {
				t.Fatalf("pair %d (%g W, %g Wh) is dominated by or less than %g W, %g Wh", i, p.PanelW, p.BatteryWh, f.Pairs[i-1].PanelW, f.Pairs[i-1].BatteryWh)
			}
			if p.Free.UnmetFraction() > o.Unmet {
				t.Fatalf("%g W: %g unmet, target %g", p.PanelW, p.Free.UnmetFraction(), o.Unmet)
			}
			// Dark from 18 to 06: twelve hours of load, less what may be missed in
			// the whole record, have to lie in store.
			if need := 12*watts/b.DischargeShare - o.Unmet*p.Free.LoadWh/b.DischargeShare; night && p.Free.UsableWh < need-1e-6 {
				t.Fatalf("%g W: %g Wh usable, less than a night's %g", p.PanelW, p.Free.UsableWh, need)
			}
			scaled := scaledRecord(r, p.PanelW)
			before := math.Inf(1)
			for _, more := range []float64{0.5, 0.9, 1, 1.05, 1.7, 4} {
				run, err := BalanceOf(scaled, b, WattHours(p.BatteryWh*more), BalanceOptions{StartCharge: 1, Repeat: true})
				if err != nil {
					t.Fatal(err)
				}
				if run.UnmetWh > before+1e-7 {
					t.Fatalf("%g W: %g times the battery misses more, %g after %g Wh", p.PanelW, more, run.UnmetWh, before)
				}
				before = run.UnmetWh
			}
		}
		if watts == 0 && err == nil && f.Chosen.Connected.UnmetWh != 0 {
			t.Fatalf("no load, but %g Wh unmet", f.Chosen.Connected.UnmetWh)
		}
		if err == nil && f.Chosen.Connected.UnmetFraction() > o.Unmet+1e-12 {
			t.Fatalf("chosen with cut-off misses %g, target %g", f.Chosen.Connected.UnmetFraction(), o.Unmet)
		}
	})
}

func scaledRecord(r supply.Record, w float64) supply.Record {
	p := make([]float64, len(r.Panel))
	for i, v := range r.Panel {
		p[i] = w * v
	}
	r.Panel = p
	return r
}

// TestEnergyCloses: what the panel made is what the load got, what was lost and
// spilled, and what lies in store, to 1e-9 of the energy that flows.
func TestEnergyCloses(t *testing.T) {
	kinds := batteryKinds()
	rapid.Check(t, func(t *rapid.T) {
		r := bareRecord(rapid.Uint64().Draw(t, "seed"), rapid.IntRange(24, 24*800).Draw(t, "hours"), func(i int) float64 { return float64(i % 31) })
		b, _, err := BatteryFrom(plan.Battery{Kind: rapid.SampledFrom(kinds).Draw(t, "kind")})
		if err != nil {
			t.Fatal(err)
		}
		r = scaledRecord(r, rapid.Float64Range(0, 500).Draw(t, "panel"))
		o := BalanceOptions{
			StartCharge: rapid.Float64Range(0, 1).Draw(t, "start"),
			Repeat:      rapid.Bool().Draw(t, "repeat"), Connected: rapid.Bool().Draw(t, "connected"),
		}
		got, err := BalanceOf(r, b, WattHours(rapid.Float64Range(0, 5000).Draw(t, "size")), o)
		if err != nil {
			t.Fatal(err)
		}
		in := got.PanelWh + got.StartWh
		out := got.Delivered() + got.SpilledWh + got.ChargeLossWh + got.DischargeLossWh + got.SelfDischargeWh + got.EndWh
		// What was delivered is a difference of two sums, so the load's counts too.
		if math.Abs(in-out) > 1e-9*max(in, got.LoadWh, 1) {
			t.Fatalf("in %.12g, out %.12g Wh", in, out)
		}
		if got.LowestCharge < 1-b.UsableShare-1e-9 || got.LowestCharge > 1 || got.EndWh > got.UsableWh {
			t.Fatalf("charge %g, store %g of %g", got.LowestCharge, got.EndWh, got.UsableWh)
		}
	})
}

// TestNothingReaches: where nothing on sale will do, what would is said, and
// does.
func TestNothingReaches(t *testing.T) {
	r := bareRecord(5, 2*8760, func(int) float64 { return 20 })
	b := lossy()
	o := SizeOptions{Shop: plain, Unmet: 0.01, Panels: []float64{120}}
	o.Shop.OnlyWh = figure.Known(600.0)
	_, err := Size(r, b, o)
	var none *NothingReaches
	if !errors.As(err, &none) || !errors.Is(err, ErrNothingReaches) {
		t.Fatalf("%v, want NothingReaches", err)
	}
	o.Panels = []float64{none.NeedPanelW}
	if f, err := Size(r, b, o); err != nil || f.Chosen.BoughtWh > 600 {
		t.Errorf("the panel named, %g W, does not reach it: %v", none.NeedPanelW, err)
	}
	slower := r
	slower.Load = make([]float64, len(r.Load))
	for i, l := range r.Load {
		slower.Load[i] = l * none.LoadShare
	}
	o.Panels = []float64{120}
	if _, err := Size(slower, b, o); none.LoadShare == 0 || err != nil {
		t.Errorf("the load share named, %g, does not reach it: %v", none.LoadShare, err)
	}
	o.Panels = []float64{250}
	if _, err := Size(r, b, o); !errors.As(err, &none) {
		t.Fatalf("%v, want NothingReaches", err)
	}
	still := r
	still.Load = slices.Clone(r.Load)
	for i := range still.Load {
		if slices.Contains(none.MonthsOff, supply.MonthAt(0, i)) {
			still.Load[i] = 0
		}
	}
	if _, err := Size(still, b, o); len(none.MonthsOff) == 0 || err != nil {
		t.Errorf("standing still in months %v does not reach it: %v", none.MonthsOff, err)
	}
}

// TestNothingKeepsUp: a panel that makes less than the load lives off its first
// charge; no battery is named for it, and its watts only where they are known.
func TestNothingKeepsUp(t *testing.T) {
	r := supply.Record{}
	for i := range 48 {
		r.Panel = append(r.Panel, map[bool]float64{true: 55}[i%24 >= 8 && i%24 < 16])
		r.Load = append(r.Load, 20)
	}
	_, err := Size(r, lossy(), SizeOptions{Shop: plain, Unmet: 0.01, Panels: []float64{1}})
	var none *NothingReaches
	if !errors.As(err, &none) {
		t.Fatalf("%v, want NothingReaches", err)
	}
	if none.NeedPanelW <= 1 || len(none.MonthsOff) != 0 {
		t.Errorf("%+v", none)
	}
	none.Multiples = true
	if text := none.Error(); strings.Contains(text, " W ") || !strings.Contains(text, "the measured panel") {
		t.Error(text)
	}
}

func TestSizeRefuses(t *testing.T) {
	r := bareRecord(5, 100, func(int) float64 { return 20 })
	for key, o := range map[string]SizeOptions{
		"unmet":        {Unmet: 1},
		"longest-stop": {LongestStop: figure.Known(-1)},
		"panel":        {Panels: []float64{-1}},
	} {
		_, err := Size(r, IdealBattery(), o)
		var fault *data.Error
		if !errors.As(err, &fault) || fault.Key != key {
			t.Errorf("%v, want a fault of %s", err, key)
		}
	}
}

// AU1 to AU5. The formulas, of Messenger & Ventre and of Masters 2004, are
// quoted from memory; the figures are those of methods 3.4, calculated by hand.
func TestAU1toAU5Autonomy(t *testing.T) {
	for i, want := range []Autonomy{
		{16.4, 4.10, 19.6, 7.64}, {14.5, 3.62, 15.7, 6.07}, {12.6, 3.14, 12.5, 4.72}, {10.7, 2.66, 9.88, 3.59}, {8.80, 2.18, 7.85, 2.68},
	} {
		got := AutonomyOf(float64(i + 1))
		for _, c := range [][2]float64{{got.Critical, want.Critical}, {got.NonCritical, want.NonCritical}, {got.Masters99, want.Masters99}, {got.Masters95, want.Masters95}} {
			if math.Abs(c[0]/c[1]-1) > 0.004 { // three figures printed
				t.Errorf("AU%d: %.3f, want %.3g", i+1, c[0], c[1])
			}
		}
	}
}

// SA2 to SA5: the array-to-load ratio of IEEE 1013 (a module of 5.5 A at 12 V, 3.53
// kWh/m², 14.4 Ah a day), two batteries of a blog and one of a battery maker's
// note. SA1, the worksheet's efficiencies of wire and battery, has no place here:
// both losses are counted hour by hour.
func TestSA2toSA5HandSizing(t *testing.T) {
	sun := [12]float64{}
	r := supply.Record{Panel: make([]float64, 8760), Load: make([]float64, 8760)}
	for i := range r.Load {
		r.Panel[i], r.Load[i] = 0.1, 14.4*12/24
		sun[i%12] = 3.53
	}
	reftest.Near(t, "SA2", HandbookOf(r, IdealBattery(), 5.5*12, 0, &sun).ArrayToLoad.Value, 1.35, 0.005)
	cold := IdealBattery()
	cold.UsableShare, cold.ColdShare = 0.5, 1/1.30
	sa3 := cold.Nominal(2.5 * 1000 * units.WattHour).In(units.WattHour)
	reftest.Near(t, "SA3 Wh", sa3, 6500, 1e-6)
	reftest.Near(t, "SA3 Ah", sa3/12, 542, 0.5)
	cold.ColdShare = 1
	reftest.Near(t, "SA4 Ah", cold.Nominal(2.5*1000*units.WattHour).In(units.WattHour)/12, 416.7, 0.05)
	row, err := data.BatteryKindOf("flooded lead")
	if err != nil {
		t.Fatal(err)
	}
	b := BatteryOf(row, data.BatteryCold())
	reftest.Near(t, "SA5 Ah", 1000/b.CapacityAt(units.Celsius(-10)), 1650, 1e-6)
}

// TestHandbookOf by a pencil: 100 W, 2 kWh/m² in the worst month and half of it
// left after losses, 10 W round the clock, 480 Wh: 200/240, 100/240, two days.
func TestHandbookOf(t *testing.T) {
	r := supply.Record{Panel: make([]float64, 8760), Load: make([]float64, 8760)}
	for i := range r.Load {
		r.Load[i] = 10
		if i%24 == 12 {
			r.Panel[i] = 1 // Wh for each watt
		}
	}
	poa := [12]float64{2, 3, 4, 5, 6, 7, 7, 6, 5, 4, 3, 2.5}
	h := HandbookOf(r, IdealBattery(), 100, 480*units.WattHour, &poa)
	reftest.Near(t, "array to load", h.ArrayToLoad.Value, 200.0/240, 1e-12)
	reftest.Near(t, "energy ratio", h.EnergyRatio.Value, 100.0/240, 1e-12)
	if h.ArrayMonth != 0 {
		t.Errorf("the month of least sun is %d, want January", h.ArrayMonth)
	}
	reftest.Near(t, "days", h.AutonomyDays.Value, 2, 1e-12)
	reftest.Near(t, "asked", h.Asked.Value.Critical, 14.5, 1e-12) // AU2
	if h = HandbookOf(r, IdealBattery(), 100, 480*units.WattHour, nil); h.ArrayToLoad.Known || h.ArrayToLoad.Why == "" {
		t.Error("array to load is known without the sun")
	}
}

// TestSpreadOf: the record a choice was sized on gives its own figures back,
// and other weather gives others.
func TestSpreadOf(t *testing.T) {
	steady := func(int) float64 { return 20 }
	var records []supply.Record
	for seed := range uint64(5) {
		records = append(records, bareRecord(seed, 3*8760, steady))
	}
	o := SizeOptions{Shop: plain, Unmet: 0.01}
	f, err := Size(records[0], lossy(), o)
	if err != nil {
		t.Fatal(err)
	}
	s := SpreadOf(len(records), func(i int) supply.Record { return records[i] }, lossy(), o, f.Chosen)
	reftest.Near(t, "own least Wh", s.LeastWh[0], f.Chosen.BatteryWh, 1e-6)
	reftest.Near(t, "own unmet Wh", s.Bought[0].UnmetWh, f.Chosen.Connected.UnmetWh, 1e-9)
	if len(s.LeastWh) != 5 || slices.Min(s.LeastWh) >= slices.Max(s.LeastWh) {
		t.Errorf("spread %v", s.LeastWh)
	}
}
