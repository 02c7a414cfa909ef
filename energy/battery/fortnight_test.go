package battery

import (
	"math"
	"math/rand/v2"
	"testing"

	"sunrill/data/clock"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/energy/supply"
)

// TestDarkestFortnight compares with the plain definition: every window summed
// on its own, and the battery balanced over the record cut off at each hour.
func TestDarkestFortnight(t *testing.T) {
	dice := rand.New(rand.NewPCG(1, 2))
	const first = 7 // hours before the record's first midnight
	r := supply.Record{Start: clock.HoursPerDay - first}
	for range 60*clock.HoursPerDay + first {
		hour := (r.Start + len(r.Panel)) % clock.HoursPerDay
		sun := 0.0
		if hour > 6 && hour < 18 {
			sun = 2 * dice.Float64()
		}
		r.Panel, r.Load = append(r.Panel, sun), append(r.Load, 30)
	}
	const scale = 55
	nominal := 900 * units.WattHour
	f, ok := DarkestFortnight(r, scale, lossy(), nominal, FromFull())
	if !ok {
		t.Fatal("60 days hold no fortnight")
	}
	if (f.Start-first)%clock.HoursPerDay != 0 || len(f.Hours) != 14*24 {
		t.Fatalf("it starts in hour %d and has %d hours", f.Start, len(f.Hours))
	}
	made := func(start int) float64 {
		sum := 0.0
		for _, p := range r.Panel[start : start+14*24] {
			sum += p
		}
		return sum
	}
	for start := first; start+14*24 <= len(r.Panel); start += 24 {
		if made(start) < made(f.Start)-1e-9 {
			t.Errorf("days from hour %d are darker than those from %d", start, f.Start)
		}
	}
	scaled := supply.Record{Start: r.Start, Load: r.Load}
	for _, p := range r.Panel {
		scaled.Panel = append(scaled.Panel, scale*p)
	}
	short, shortAt := 0.0, 0.0
	for k, h := range f.Hours {
		cut := scaled
		cut.Panel, cut.Load = scaled.Panel[:f.Start+k+1], scaled.Load[:f.Start+k+1]
		got, err := BalanceOf(cut, lossy(), nominal, FromFull())
		if err != nil {
			t.Fatal(err)
		}
		if want := got.EndWh / nominal.In(units.WattHour); math.Abs(h.Charge-want) > 1e-9 {
			t.Fatalf("hour %d: charge %g, balanced %g", k, h.Charge, want)
		}
		if k == 0 {
			shortAt = got.UnmetWh
		} else {
			short += float64(h.Short)
		}
		if k == len(f.Hours)-1 && math.Abs(short-(got.UnmetWh-shortAt)) > 1e-6 {
			t.Errorf("short of %g Wh, balanced %g", short, got.UnmetWh-shortAt)
		}
	}
	if short == 0 {
		t.Error("nothing was short: the test shows no stop")
	}
	if _, ok := DarkestFortnight(supply.Record{Panel: make([]float64, 300), Load: make([]float64, 300)}, 1, lossy(), nominal, FromFull()); ok {
		t.Error("300 hours are no fortnight")
	}
}

// By hand: of two years at 100 W, the fourteen days from 1 March of the second at
// 10 W; the record begins on 1 January. Mean (716 × 100 + 14 × 10) / 730 = 98.27.
func TestFortnightHasItsDate(t *testing.T) {
	var r supply.Record
	for h := range 2 * 8760 {
		p := 100.0
		if day := h/24 - 365 - 59; day >= 0 && day < 14 {
			p = 10
		}
		r.Panel, r.Load, r.Water = append(r.Panel, p), append(r.Load, 20), append(r.Water, 2)
	}
	f, ok := DarkestFortnight(r, 1, lossy(), 100*units.WattHour, FromFull())
	if !ok || f.Day != 1 || f.Month != 3 || f.Year != 2 {
		t.Fatalf("it begins on %d/%d of year %d", f.Day, f.Month, f.Year)
	}
	reftest.Near(t, "share of the sun", f.SunShare, 10/98.27, 1e-4)
	reftest.Near(t, "asked", float64(f.Asked), 2*14*24, 1e-9)
	if f.Days != 14 || f.Stops < 300 || f.Lowest > 0.5 || !(f.Moved < f.Asked) {
		t.Errorf("of %d days %d hours short, lowest %g, %g m3 moved", f.Days, f.Stops, f.Lowest, float64(f.Moved))
	}
}
