package still

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

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
		p, err := pumps.AirPressure(z)
		if err != nil {
			t.Fatal(err)
		}
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
		reftest.Near(t, "NT1 time", hoursTo(8, 0, 0.8, d).Value.In(units.Minute), c.minutes, 0.5)
	}
}

// NT2 worked by hand: 10 kg of fish at 200 mg/kg/h in 10 m³ use 0.20 mg/L an
// hour, so from 8 to 5 mg/L takes 15 h.
func TestNT2FishAlone(t *testing.T) {
	reftest.Near(t, "NT2", hoursTo(8, 5, 10, 10*200.0/1000).Value.In(units.Hour), 15, 1e-9)
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

func courtyard(t testing.TB, stocking string, warmC float64) PondAtRest {
	t.Helper()
	p, err := Stocked(PondAtRest{
		Volume: 9.2, Surface: 12, Stocking: stocking, Bed: Gravel{Volume: 1.4, Voids: 0.4, Grain: 20 * units.Millimetre},
		Month: "January", Water: units.Celsius(warmC), Altitude: 900, Rates: TableOxygenRates(),
	}, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Worked by hand for 17 °C and 3 °C of warm spell, so every rate stands as in
// its table: saturation at 20 °C and 900 m (90.97 kPa) is 9.09 × (0.8978 - 0.0231)/(1 - 0.0231) =
// 8.14; light stocking of 9.2 m³ is at most 2.76 kg. Fish 0.552, water 1.84,
// mud 0.96 g/h; the bed takes 27.6 g of feed × 0.35 × 0.092 × 4.57 / 24 = 0.169.
func TestRestByHand(t *testing.T) {
	p := courtyard(t, "light", 17)
	r, err := Rest(p)
	if err != nil {
		t.Fatal(err)
	}
	reftest.Near(t, "saturation", float64(r.Saturation), 8.14, 0.01)
	reftest.Near(t, "fish", r.Demand.Fish, 0.552, 1e-9)
	reftest.Near(t, "water", r.Demand.Water, 1.84, 1e-9)
	reftest.Near(t, "mud", r.Demand.Mud, 0.96, 1e-9)
	reftest.Near(t, "bed", r.Demand.Bed, 0.169, 0.001)
	// 60 % of 8.14 is 4.88, already under 5; 80 % is 6.51: 1.51 × 9.2 / 3.521 = 3.95 h.
	reftest.Near(t, "early", r.LowEarly.Value.In(units.Hour), 0, 0)
	reftest.Near(t, "late", r.LowLate.Value.In(units.Hour), 3.95, 0.03)
	// Fish alone: 0.46 kg × 90 mg/kg/h = 0.0414 g/h: 336 h.
	reftest.Near(t, "fish alone", r.High.Value.In(units.Hour), 1.51*9.2/0.0414, 3)
	reftest.Near(t, "pore water", r.PoreWater.Value.In(units.Litre), 560, 1e-9)
	reftest.Near(t, "share", r.PoreShare.Value, 0.56/9.2, 1e-12)
}

// TestRestInWarmerWater: the factor of the table is what fish, water and mud use
// more for each 10 °C. At 27 °C and 3 °C of warm spell all three are that many
// times TestRestByHand's at 20 °C; the bed's load comes from the feed and stays.
func TestRestInWarmerWater(t *testing.T) {
	p := courtyard(t, "light", 27)
	r, err := Rest(p)
	if err != nil {
		t.Fatal(err)
	}
	factor := p.Rates.Factor
	if factor <= 1.5 || factor >= 3 {
		t.Errorf("a factor of %g for 10 °C; fish and mud double or so (Q10 of 2, any textbook of fish culture)", factor)
	}
	reftest.Near(t, "fish", r.Demand.Fish, factor*0.552, 1e-9)
	reftest.Near(t, "water", r.Demand.Water, factor*1.84, 1e-9)
	reftest.Near(t, "mud", r.Demand.Mud, factor*0.96, 1e-9)
	reftest.Near(t, "bed", r.Demand.Bed, 0.169, 0.001)
}

func TestRiskIsNeverCleared(t *testing.T) {
	for _, stocking := range []string{"none", "light", "medium", "heavy"} {
		p := courtyard(t, stocking, 10)
		r, err := Rest(p)
		if err != nil {
			t.Fatal(err)
		}
		last := Grade(0)
		for _, h := range []float64{0, 0.5, 1, 4, 8, 16, 48, 500} {
			g := GradeStop(units.Duration(h)*units.Hour, p, r)
			if g.Grade < SlightRisk || len(g.Reasons) == 0 || g.Grade < last {
				t.Errorf("%s, %g h: %v %q after %v", stocking, h, g.Grade, g.Reasons, last)
			}
			last = g.Grade
			if h >= 1 && stocking == "medium" && g.Grade < ModerateRisk {
				t.Errorf("medium stocking, %g h: %v", h, g.Grade)
			}
			// A heavily stocked pond stands one grade above what its hours alone
			// say, as far as the grades go.
			if stocking == "heavy" && h > 0 {
				bare := p
				bare.Stocking = "light"
				if plain := GradeStop(units.Duration(h)*units.Hour, bare, r); g.Grade != min(plain.Grade+1, SevereRisk) {
					t.Errorf("heavy stocking, %g h: %v, and %v by the hours alone", h, g.Grade, plain.Grade)
				}
			}
			all := g.Figure().Why.String()
			if h > 0 && (!strings.Contains(all, "January") || !strings.Contains(all, "stocking")) {
				t.Errorf("the reasons lack month or stocking: %s", all)
			}
		}
		want := SevereRisk
		if stocking == "none" {
			want = HighRisk // the bed and what lives in the mud
		}
		if last != want {
			t.Errorf("%s: 500 h still is %v, want %v", stocking, last, want)
		}
	}
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
	if len(StopCautions()) != 2 {
		t.Error("the standing cautions are gone")
	}
}

func TestRestBadInput(t *testing.T) {
	for name, c := range map[string]struct {
		keys   string
		change func(*PondAtRest)
	}{
		"no volume":    {"pond.volume", func(p *PondAtRest) { p.Volume = 0 }},
		"surface":      {"pond.surface", func(p *PondAtRest) { p.Surface = -1 }},
		"fish":         {"pond.fish_mass", func(p *PondAtRest) { p.FishLow = 99 }},
		"feed":         {"pond.feed_per_day", func(p *PondAtRest) { p.FeedHigh = -1 }},
		"bed":          {"filter", func(p *PondAtRest) { p.Bed.Voids = 1.2 }},
		"hot spring":   {"water.temperature", func(p *PondAtRest) { p.Water = units.Celsius(60) }},
		"off the land": {"site.altitude", func(p *PondAtRest) { p.Altitude = 20000 }},
	} {
		p := courtyard(t, "light", 15)
		c.change(&p)
		if _, err := Rest(p); plantest.FaultKeys(err) != c.keys {
			t.Errorf("%s: %v, want a fault of %s", name, err, c.keys)
		}
	}
	if _, err := Stocked(PondAtRest{Stocking: "hevy"}, 0, 0); plantest.FaultKeys(err) != "pond.stocking" {
		t.Errorf("hevy: %v", err)
	}
}

func TestPropWarmerOrFullerLastsShorter(t *testing.T) {
	rates := TableOxygenRates()
	rapid.Check(t, func(t *rapid.T) {
		p := PondAtRest{
			Volume: units.Volume(rapid.Float64Range(0.5, 60).Draw(t, "m3")), Surface: units.Area(rapid.Float64Range(0.5, 60).Draw(t, "m2")),
			Water: units.Celsius(rapid.Float64Range(0, 32).Draw(t, "C")), Altitude: units.Length(rapid.Float64Range(0, 3000).Draw(t, "z")),
			Stocking: "light", Rates: rates,
		}
		p.FishHigh = units.Mass(rapid.Float64Range(0, 50).Draw(t, "kg"))
		cool, err := Rest(p)
		if err != nil {
			t.Fatal(err)
		}
		q := p
		q.Water += units.Temperature(rapid.Float64Range(0, 5).Draw(t, "warmer"))
		q.FishHigh += units.Mass(rapid.Float64Range(0, 20).Draw(t, "more fish"))
		warm, err := Rest(q)
		if err != nil {
			t.Fatal(err)
		}
		if warm.LowLate.Value > cool.LowLate.Value*(1+1e-12) || warm.LowEarly.Value > warm.LowLate.Value {
			t.Fatalf("warmer and fuller lasts longer: %v h against %v h", warm.LowLate.Value.In(units.Hour), cool.LowLate.Value.In(units.Hour))
		}
	})
}

// The tables against what was read: koi use 90 mg/kg/h at rest at 20 °C and half of
// that at 10; fish should keep 5 mg/L (UF/IFAS).
func TestStopTables(t *testing.T) {
	r := TableOxygenRates()
	if r.Fish.Low != 90 || r.Fish.Low/r.Factor != 45 || r.Least != 5 {
		t.Errorf("the oxygen table: %+v", r)
	}
	for _, s := range []Span{r.Fish, r.Water, r.Mud, r.Nitrification, r.Start} {
		if s.Low > s.High || s.Low <= 0 {
			t.Errorf("%+v is upside down", s)
		}
	}
	last := units.Mass(-1)
	for _, word := range []string{"none", "light", "medium", "heavy"} {
		p, err := Stocked(PondAtRest{Volume: 1, Stocking: word}, 0, 0)
		if err != nil || p.FishLow > p.FishHigh || p.FishHigh <= last {
			t.Errorf("%s: %+v, %v", word, p, err)
		}
		last = p.FishHigh
	}
	own, err := Stocked(PondAtRest{Volume: 9.2, Stocking: "light"}, 0.9, 6*units.Gram)
	if err != nil || own.FishLow != 0.9 || own.FishHigh != 0.9 || own.FeedHigh != 6*units.Gram {
		t.Errorf("the keeper's own figures: %+v, %v", own, err)
	}
}
