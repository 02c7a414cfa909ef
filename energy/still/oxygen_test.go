package still

import (
	"math"
	"slices"
	"strings"
	"testing"

	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/pumps"
)

func saturation(t testing.TB, c float64, p pumps.Pascal) float64 {
	t.Helper()
	o, err := OxygenSaturation(units.Celsius(c), p)
	if err != nil {
		t.Fatal(err)
	}
	return float64(o)
}

// DO1: Chapra's table as printed in published code, to 0.001. DO2: EN 25814
// from 16 to 30 °C as printed in an instrument manual, to 0.01; it holds 20, 25
// and 30, the colder ones are the equation's.
func TestDO1DO2Saturation(t *testing.T) {
	for c, want := range map[float64]float64{0: 14.621, 8: 11.843, 16: 9.870, 24: 8.418, 32: 7.305, 40: 6.413} {
		reftest.Near(t, "DO1", saturation(t, c, pumps.Atmosphere), want, 0.001)
	}
	for c, want := range map[float64]float64{5: 12.77, 10: 11.29, 15: 10.08, 20: 9.09, 25: 8.26, 30: 7.56} {
		reftest.Near(t, "DO2", saturation(t, c, pumps.Atmosphere), want, 0.01)
	}
}

// DO3: Montgomery et al. 1964, an older table; published tables differ by up to 0.03 mg/L.
func TestDO3OlderTable(t *testing.T) {
	for c, want := range map[float64]float64{0: 14.63, 15: 10.07, 25: 8.26, 35: 6.98} {
		reftest.Near(t, "DO3", saturation(t, c, pumps.Atmosphere), want, 0.035)
	}
}

// DO4: an instrument maker's table for 700 mmHg, printed to 0.1.
func TestDO4LowPressure(t *testing.T) {
	for c, want := range map[float64]float64{0: 13.5, 10: 10.4, 15: 9.3, 20: 8.4} {
		reftest.Near(t, "DO4", saturation(t, c, pumps.Atmosphere*700/760), want, 0.05)
	}
}

// DO9: the old altitude factor 9.08/1.13 = 8.04 at 1000 m; 7.09 at 2000 m is the
// formula worked by hand.
func TestDO9Altitude(t *testing.T) {
	at := func(z units.Length) pumps.Pascal {
		p := pumps.AirPressure(z)
		return p
	}
	reftest.Near(t, "DO9", saturation(t, 20, at(1000)), 8.04, 0.01)
	reftest.Near(t, "DO9", saturation(t, 20, at(2000)), 7.09, 0.01)
	for _, bad := range []float64{-5, 45, math.NaN()} {
		if _, err := OxygenSaturation(units.Celsius(bad), pumps.Atmosphere); plantest.FaultKeys(err) != "water.temperature" {
			t.Errorf("%g C: %v", bad, err)
		}
	}
}

// NT1 worked by hand: 2 m³ of bed with voids 0.4 at 8 mg/L holds 6.4 g; 20 mm
// grain gives 180 m²/m³ (BF2), 360 m², which at 0.05, 0.1 and 0.3 g N/m² a day
// uses 3.43, 6.86 and 20.6 g/h: 1.9 h, 56 min and 19 min.
func TestNT1BedAtRest(t *testing.T) {
	area := 2 * SpecificSurface(20*units.Millimetre, 0.4)
	reftest.Near(t, "BF2", area/2, 180, 1e-9)
	for _, c := range []struct{ rate, demand, digit, minutes float64 }{{0.05, 3.43, 0.0051, 112}, {0.1, 6.86, 0.0051, 56}, {0.3, 20.6, 0.051, 18.7}} {
		d := biofilmDemand(area, c.rate, 4.57)
		reftest.Near(t, "NT1 demand", d, c.demand, c.digit) // half of the last printed digit
		reftest.Near(t, "NT1 time", 60*hoursUntil(8, 0, 9, 0, d, 0.8), c.minutes, 0.5)
	}
}

// NT2 worked by hand: 10 kg of fish at 200 mg/kg/h in 10 m³ use 0.20 mg/L an
// hour, so from 8 to 5 mg/L takes 15 h.
func TestNT2FishAlone(t *testing.T) {
	reftest.Near(t, "NT2", hoursUntil(8, 5, 9, 0, 10*200.0/1000, 10), 15, 1e-9)
}

// FI1: a regression for tilapia, from a reprint of a model of a recirculating fish
// farm, has fed fish of 100 g at 25 °C use
//
//	FR = 2014.45 + 2.75 W - 165.2 T + 0.007 W² + 3.93 T² - 0.21 W T = 160.7 mg/kg/h
//
// which the table's range for pond fish, warmed by its factor, has to hold.
func TestFI1FishUseHoldsTheTilapiaRegression(t *testing.T) {
	const w, c = 100, 25
	fr := 2014.45 + 2.75*w - 165.2*c + 0.007*w*w + 3.93*c*c - 0.21*w*c
	reftest.Near(t, "FI1", fr, 160.7, 0.05)
	r := TableOxygenRates()
	warm := math.Pow(r.Factor, (c-20)/10.0)
	if low, high := r.Fish.Low*warm, r.Fish.High*warm; low > fr || fr > high {
		t.Errorf("the table has %.0f to %.0f mg/kg/h at 25 °C, tilapia use %.1f", low, high, fr)
	}
}

// BF3: 50 g a day of feed at 35 % protein gives 1.61 g TAN, which takes 7.36 g of oxygen (by hand).
func TestBF3Ammonia(t *testing.T) {
	r := TableOxygenRates()
	tan := AmmoniaFromFeed(50*units.Gram, r.Protein, r.TANShare).In(units.Gram)
	reftest.Near(t, "BF3", tan, 1.61, 0.005)
	reftest.Near(t, "BF3 oxygen", tan*r.OxygenPerN, 7.36, 0.005)
}

func TestStopAdviceOrder(t *testing.T) {
	for _, c := range []struct{ slow, air bool }{{true, true}, {false, false}} {
		a := StopAdvice(c.slow, c.air)
		slow := slices.IndexFunc(a, func(s string) bool { return strings.Contains(s, "slow") })
		air := slices.IndexFunc(a, func(s string) bool { return strings.Contains(s, "air") })
		saving := slices.IndexFunc(a, func(s string) bool { return strings.Contains(s, "saving") })
		if slow != 0 || air != 1 || saving != len(a)-1 {
			t.Errorf("slow running first, then air, savings last; got %q", a)
		}
	}
}

// The tables against what was read: koi use 90 mg/kg/h at rest at 20 °C and half of
// that at 10; fish should keep 5 mg/L (UF/IFAS).
func TestStopTables(t *testing.T) {
	r := TableOxygenRates()
	if r.Fish.Low != 90 || r.Fish.Low/r.Factor != 45 || r.Least != 5 {
		t.Errorf("the oxygen table: %+v", r)
	}
	for _, s := range []Span{r.Fish, r.Water, r.Mud, r.Nitrification} {
		if s.Low > s.High || s.Low <= 0 {
			t.Errorf("%+v is upside down", s)
		}
	}
	last := units.Mass(-1)
	for _, word := range []string{"none", "light", "medium", "heavy"} {
		p := Standing{Volume: 1}
		err := p.Stocked(word, 0, 0)
		if err != nil || p.FishLow > p.FishHigh || p.FeedLow > p.FeedHigh || p.FishHigh <= last {
			t.Errorf("%s: %+v, %v", word, p, err)
		}
		last = p.FishHigh
	}
	own := Standing{Volume: 9.2}
	if err := own.Stocked("light", 0.9, 6*units.Gram); err != nil || own.FishLow != 0.9 || own.FishHigh != 0.9 || own.FeedLow != 6*units.Gram || own.FeedHigh != 6*units.Gram {
		t.Errorf("the keeper's own figures: %+v, %v", own, err)
	}
	if err := own.Stocked("none", 0.9, 6*units.Gram); err != nil || own.FishHigh != 0 || own.FeedHigh != 0 {
		t.Errorf("none, for all that a mass is given: %+v, %v", own, err)
	}
	if err := own.Stocked("hevy", 0, 0); plantest.FaultKeys(err) != "pond.stocking" {
		t.Errorf("hevy: %v", err)
	}
}
