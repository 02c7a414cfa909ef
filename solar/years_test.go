package solar

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"sunrill/data/units"
)

// geometryAt returns the geometry of a place.
func geometryAt(t testing.TB, lat, lon float64) *Geometry {
	t.Helper()
	site, err := NewSite(units.Angle(lat)*units.Degree, units.Angle(lon)*units.Degree, 0)
	if err != nil {
		t.Fatal(err)
	}
	return NewGeometry(site)
}

// evenClearness returns twelve monthly means of one clearness.
func evenClearness(g *Geometry, kt float64) [12]float64 {
	ghi := g.MonthlyExtra()
	for m := range ghi {
		ghi[m] *= kt
	}
	return ghi
}

// TestHollandsHuget checks the clearest day against its formula worked by hand
// (the formula itself is from memory).
func TestHollandsHuget(t *testing.T) {
	for _, c := range []struct{ kt, want float64 }{
		{0.75, 0.6313 + 0.267*0.75}, // the eighth power is 0
		{0.25, 0.6313 + 0.06675 - 11.9/256},
	} {
		if got := hollandsHuget(c.kt); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("hollandsHuget(%g) = %g, want %g", c.kt, got, c.want)
		}
	}
}

// TestScores checks the first moments of the scores against those of a normal
// variate whose negative half is stretched by 1 + c and positive half by 1 - c:
//
//	-c E|z|, 1 + c², -(3c + c³) E|z|³, 3 (1 + 6c² + c⁴)
//
// with E|z| = sqrt(2/pi) and E|z|³ = 2 sqrt(2/pi).
func TestScores(t *testing.T) {
	months := [12]monthPlan{} // no day-to-day persistence, little drift
	z := scores(&months, 1000, 3)
	var m [5]float64
	for _, v := range z {
		for k := range m {
			m[k] += math.Pow(v, float64(k)) / float64(len(z))
		}
	}
	const c = darkTail
	one := math.Sqrt(2 / math.Pi)
	// Standard errors of 365,000 days: 0.005 of the mean, drift included.
	for k, want := range map[int]float64{1: -c * one, 2: 1 + c*c, 3: -(3*c + c*c*c) * 2 * one, 4: 3 * (1 + 6*c*c + c*c*c*c)} {
		if math.Abs(m[k]-want) > 0.03 {
			t.Errorf("moment %d is %.4f, want %.4f", k, m[k], want)
		}
	}
}

// TestYearsAnywhere makes weather at any latitude with any monthly clearness
// from 0.15 to 0.78: finite, under the clearest day, means kept, no sun in
// polar night.
func TestYearsAnywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lat := rapid.Float64Range(-90, 90).Draw(t, "lat")
		site, err := NewSite(units.Angle(lat)*units.Degree, units.Angle(rapid.Float64Range(-180, 180).Draw(t, "lon"))*units.Degree, 0)
		if err != nil {
			t.Fatal(err)
		}
		g := NewGeometry(site)
		ghi := g.MonthlyExtra()
		var temp, top [12]float64
		for m := range ghi {
			kt := rapid.Float64Range(0.15, 0.78).Draw(t, "kt")
			ghi[m] *= kt
			top[m] = hollandsHuget(kt)
			temp[m] = rapid.Float64Range(-40, 40).Draw(t, "temp")
		}
		years := rapid.IntRange(1, 3).Draw(t, "years")
		seed := rapid.Uint64().Draw(t, "seed")
		days := NewDays(g, ghi, temp, years, seed)
		for i, h := range days.GHI {
			h0 := g.DailyExtra[i%365]
			if !(h >= 0 && h <= top[MonthOf(i%365)]*h0*(1+1e-9)) {
				t.Fatalf("day %d: %g kWh/m2 of %g outside the atmosphere", i, h, h0)
			}
		}
		s, _ := NewYears(g, ghi, temp, years, seed)
		for i := range s.GHI {
			if sum := s.GHI[i] + s.DNI[i] + s.DHI[i] + s.Air(i); math.IsNaN(sum) || math.IsInf(sum, 0) {
				t.Fatalf("hour %d is not finite", i)
			}
			if s.GHI[i] < 0 || s.DNI[i] < 0 || s.DHI[i] < 0 {
				t.Fatalf("hour %d is negative", i)
			}
			day := i / 24 % 365
			if s.GHI[i] > 0 && g.DailyExtra[day] == 0 {
				t.Fatalf("hour %d: sun in polar night", i)
			}
			// The hour of the clearest day, and what the search for the level leaves.
			if clear := 1000 * g.Share[i%8760] * g.DailyExtra[day] * top[MonthOf(day)]; s.GHI[i] > clear*1.0002+1e-9 {
				t.Fatalf("hour %d: %g W/m2, %g on the clearest day", i, s.GHI[i], clear)
			}
		}
		gotGHI, gotTemp := s.MonthlyMeans()
		for m := range ghi {
			if math.Abs(gotGHI[m]-ghi[m]) > 1e-9 {
				t.Fatalf("month %d: mean %g, asked %g", m+1, gotGHI[m], ghi[m])
			}
			if math.Abs(gotTemp[m]-temp[m]) > 1e-9 {
				t.Fatalf("month %d: %g degrees, asked %g", m+1, gotTemp[m], temp[m])
			}
		}
	})
}

// TestYearsSameSeed asks for the same weather twice, and for other weather
// from another seed; single months must scatter about the mean that all keep.
func TestYearsSameSeed(t *testing.T) {
	g := geometryAt(t, -32, 24)
	ghi, temp := evenClearness(g, 0.55), [12]float64{}
	make1 := func(seed uint64) []float64 {
		d := NewDays(g, ghi, temp, 20, seed)
		return d.GHI
	}
	a, b, c := make1(1), make1(1), make1(2)
	if !slices.Equal(a, b) {
		t.Error("the same seed gave other days")
	}
	if slices.Equal(a, c) {
		t.Error("another seed gave the same days")
	}
	june := func(year int) (sum float64) {
		for _, h := range a[year*365+MonthStart(5) : year*365+MonthStart(6)] {
			sum += h / 30
		}
		return sum
	}
	if j := math.Abs(june(0)-ghi[5]) + math.Abs(june(1)-ghi[5]); j < 0.01 {
		t.Errorf("two Junes are within %g kWh/m2 of the mean: single months must scatter", j)
	}
}

// TestYearsEdgeOfPolarNight gives more sun than there is in a month of almost
// none: it is held, and said.
func TestYearsEdgeOfPolarNight(t *testing.T) {
	g := geometryAt(t, 70, 25)
	ghi := evenClearness(g, 0.4)
	ghi[11], ghi[0] = 0.2, 0.001
	d := NewDays(g, ghi, [12]float64{}, 2, 1)
	if len(d.Warnings) != 1 || d.Warnings[0].Key != "month 12" {
		t.Errorf("warnings %v, want one of month 12", d.Warnings)
	}
	for day, h := range d.GHI {
		if h > g.DailyExtra[day%365] {
			t.Errorf("day %d: %g of %g", day, h, g.DailyExtra[day%365])
		}
	}
}

// BenchmarkYears makes 20 years of hours on one core.
func BenchmarkYears(b *testing.B) {
	g := geometryAt(b, -32, 24)
	ghi, temp := evenClearness(g, 0.55), [12]float64{}
	b.ReportAllocs()
	for b.Loop() {
		NewYears(g, ghi, temp, 20, 1)
	}
}

// TestYearsOnAnyMachine holds a week of days to figures made once on amd64: the
// same seed must give them on every machine, but for the last digits that fused
// arithmetic moves. They are the program's own, and show no more than that
// nothing changed.
func TestYearsOnAnyMachine(t *testing.T) {
	g := geometryAt(t, -32, 24)
	d := NewDays(g, evenClearness(g, 0.55), [12]float64{}, 1, 1)
	for day, want := range []float64{9.182550166251, 8.644381760955, 8.187176115868, 4.544575128380, 8.227004486761, 7.282774913739, 5.840044171290} {
		if math.Abs(d.GHI[day]-want) > 1e-9 {
			t.Errorf("day %d: %.12f kWh/m2, want %.12f", day+1, d.GHI[day], want)
		}
	}
}
