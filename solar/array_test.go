package solar

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sunrill/data/units"
)

// bare is a panel without any loss but temperature.
func bare() Panel { return Panel{Gamma: -0.004, NOCT: 45, Incidence: IncidenceNone} }

// hazy returns a year of generated hours with the given daily clearness.
func hazy(g *Geometry, clearness func(day int) float64) *Series {
	s := NewSeries(HoursPerYear)
	for h := range s.GHI {
		s.GHI[h] = g.Share[h] * clearness(h/24) * g.DailyExtra[h/24] * 1000
		s.TempC[h] = 10
	}
	g.Split(s)
	return s
}

func drawSite(t *rapid.T) Site {
	lat := units.Angle(rapid.Float64Range(-90, 90).Draw(t, "latitude")) * deg
	lon := units.Angle(rapid.Float64Range(-180, 180).Draw(t, "longitude")) * deg
	site, err := NewSite(lat, lon, 0)
	if err != nil {
		t.Fatal(err)
	}
	return site
}

func TestGeneratedHours(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := NewGeometry(drawSite(t))
		kt := rapid.Float64Range(0.02, 0.8).Draw(t, "clearness")
		s := hazy(g, func(int) float64 { return kt })
		flat := NewArray(g, Plane{}, bare())
		poa := flat.PlaneOfArray(nil, s)
		daily := [365]float64{}
		for h, ghi := range s.GHI {
			daily[h/24] += ghi / 1000
			if s.DNI[h] > g.ExtraNormal[h] || s.DNI[h] < 0 || s.DHI[h] < -1e-9 {
				t.Fatalf("hour %d: beam %g of %g outside, diffuse %g", h, s.DNI[h], g.ExtraNormal[h], s.DHI[h])
			}
			if g.ExtraHorizontal[h] <= 0 && g.DailyExtra[h/24] == 0 && ghi != 0 {
				t.Fatalf("hour %d: sun in polar night", h)
			}
			if math.Abs(poa[h]-ghi) > 1e-9*math.Max(ghi, 1) {
				t.Fatalf("hour %d: %g on the flat panel, %g on the ground", h, poa[h], ghi)
			}
		}
		for day, got := range daily {
			if math.Abs(got-kt*g.DailyExtra[day]) > 1e-9 {
				t.Fatalf("day %d: %g kWh, want %g", day, got, kt*g.DailyExtra[day])
			}
		}
	})
}

func TestPlaneOfArrayIsSymmetric(t *testing.T) {
	// On a day that mirrors about noon an east and a west panel get the same. The
	// sun is set by hand: a series' clock need not have noon at its middle.
	rapid.Check(t, func(t *rapid.T) {
		lat := rapid.Float64Range(-1.5, 1.5).Draw(t, "latitude [rad]")
		delta := rapid.Float64Range(-0.409, 0.409).Draw(t, "declination [rad]")
		tilt := rapid.Float64Range(0, 90).Draw(t, "tilt")
		azimuth := rapid.Float64Range(0, 180).Draw(t, "azimuth")
		w := rapid.Float64Range(0, math.Pi).Draw(t, "hour angle")
		dni, dhi := rapid.Float64Range(0, 1000).Draw(t, "DNI"), rapid.Float64Range(0, 400).Draw(t, "DHI")
		poa := func(w, azimuth float64) float64 {
			e, n, u := horizontal(math.Sin(delta), math.Cos(delta), w, math.Sin(lat), math.Cos(lat))
			p := Plane{Tilt: units.Angle(tilt) * deg, Azimuth: units.Angle(azimuth) * deg, Albedo: 0.2}
			pe, pn, pu := p.Normal()
			return total(hayDavies(p, dni*math.Max(u, 0)+dhi, dni, dhi, 1361, u, e*pe+n*pn+u*pu))
		}
		if a, b := poa(-w, azimuth), poa(w, 360-azimuth); math.Abs(a-b) > 1e-9*math.Max(1, a) {
			t.Fatalf("morning on the east side %g, afternoon on the west side %g", a, b)
		}
	})
}

func TestNorthAndSouthMirror(t *testing.T) {
	// Turned over, with the declination's sign changed, the sky is the same: a
	// south-facing panel in the north is a north-facing one in the south.
	rapid.Check(t, func(t *rapid.T) {
		lat := rapid.Float64Range(0, 1.5).Draw(t, "latitude [rad]")
		delta := rapid.Float64Range(-0.409, 0.409).Draw(t, "declination [rad]")
		tilt := rapid.Float64Range(0, 90).Draw(t, "tilt")
		w := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "hour angle")
		incidence := func(lat, delta, azimuth float64) float64 {
			e, n, u := horizontal(math.Sin(delta), math.Cos(delta), w, math.Sin(lat), math.Cos(lat))
			pe, pn, pu := Plane{Tilt: units.Angle(tilt) * deg, Azimuth: units.Angle(azimuth) * deg}.Normal()
			return e*pe + n*pn + u*pu
		}
		if a, b := incidence(lat, delta, 180), incidence(-lat, -delta, 0); math.Abs(a-b) > 1e-12 {
			t.Fatalf("north %g, south %g", a, b)
		}
	})
}

func TestHemispheresByHalfAYear(t *testing.T) {
	// Extraterrestrial irradiation of 35 N and of 35 S half a year on, with the
	// distance taken out. Seasons differ by some days in length (perihelion), so
	// days are paired by declination: to a fifth of a degree, which moves a day by
	// up to half a hundredth.
	north, south := NewGeometry(Site{Latitude: 35 * deg}), NewGeometry(Site{Latitude: -35 * deg})
	sum := func(g *Geometry, day int) float64 {
		return g.DailyExtra[day] / EccentricitySpencer(float64(day+1))
	}
	declination := func(day int) float64 {
		return apparentSun(JulianDate(ReferenceYear, 1, 1) + float64(day) + 0.5).sinDelta
	}
	for day := 0; day < 365; day += 13 {
		best := 0
		for other := range 365 {
			if math.Abs(declination(other)+declination(day)) < math.Abs(declination(best)+declination(day)) {
				best = other
			}
		}
		within(t, "mirrored day", sum(south, best)/sum(north, day), 1, 0.005)
	}
}

func TestPolarNightGivesNothing(t *testing.T) {
	site, _ := NewSite(78.2*deg, 15.6*deg, 0) // Svalbard
	g := NewGeometry(site)
	s := hazy(g, func(int) float64 { return 0.5 })
	array := NewArray(g, Plane{Tilt: 60 * deg, Azimuth: 180 * deg, Albedo: 0.7}, typicalPanel())
	yield := array.Yield(nil, s)
	for h := range 24 * 31 {
		if yield[h] != 0 || s.GHI[h] != 0 {
			t.Fatalf("January hour %d: %g W/m2, %g Wh", h, s.GHI[h], yield[h])
		}
	}
	best := BestPlane(g, s, typicalPanel(), Plane{Albedo: 0.2}, nil, nil)
	// Polar night at 78 N runs from late October to mid-February, so that
	// February has a trace of sun only.
	if !cmp.Equal(best.DarkMonths, []int{0, 1, 10, 11}) || best.WorstMonth != 9 || !(best.WorstPerNeed > 0) {
		t.Errorf("dark months %v, worst %d at %g", best.DarkMonths, best.WorstMonth, best.WorstPerNeed)
	}
}

func TestYieldWithoutLossesIsPlaneOfArrayAndTemperature(t *testing.T) {
	site, _ := NewSite(-33*deg, 22*deg, 0)
	g := NewGeometry(site)
	s := hazy(g, func(day int) float64 { return 0.3 + 0.001*float64(day) })
	plane := Plane{Tilt: 40 * deg, Azimuth: 0, Albedo: 0.2}
	array := NewArray(g, plane, bare())
	poa, yield := array.PlaneOfArray(nil, s), array.Yield(nil, s)
	for h := range poa {
		parts := hayDavies(plane, s.GHI[h], s.DNI[h], s.DHI[h], g.ExtraNormal[h], g.Up[h],
			array.hours[h].cosTheta)
		within(t, "poa", poa[h], total(parts), 1e-9)
		within(t, "yield", yield[h], PowerRatio(poa[h], CellTemperature(10, poa[h], 45), -0.004), 1e-12)
	}
}

func TestShadeAndSnow(t *testing.T) {
	site, _ := NewSite(50*deg, 10*deg, 0)
	g := NewGeometry(site)
	s := hazy(g, func(int) float64 { return 0.5 })
	plane := Plane{Tilt: 45 * deg, Azimuth: 180 * deg, Albedo: 0.2}
	monthly := func(change func(*Panel)) [12]float64 {
		panel := bare()
		panel.Gamma = 0 // so that energies are proportional to light
		change(&panel)
		array := NewArray(g, plane, panel)
		return s.Monthly(array.Yield(nil, s))
	}
	clear := monthly(func(*Panel) {})
	snow := monthly(func(p *Panel) { p.Snow[0] = 0.4 })
	within(t, "snow in January", snow[0], 0.6*clear[0], 1e-9)
	within(t, "no snow in July", snow[6], clear[6], 1e-9)
	// Snow on the ground helps: January with albedo 0.7 gets the ground's light
	// 3.5 times over.
	white := [12]float64{0.7, .2, .2, .2, .2, .2, .2, .2, .2, .2, .2, .2}
	light := func(p Plane) [12]float64 {
		array := NewArray(g, p, bare())
		return s.Monthly(array.PlaneOfArray(nil, s))
	}
	plain, snowy, black := plane, plane, plane
	snowy.AlbedoByMonth, black.Albedo = &white, 0
	within(t, "white ground in January", light(snowy)[0]-light(black)[0], 3.5*(light(plain)[0]-light(black)[0]), 1e-6)
	within(t, "green ground in July", light(snowy)[6], light(plain)[6], 1e-9)
	whole := monthly(func(p *Panel) { p.Shade = Shade{Whole: true}; p.Shade.ByMonth[6] = 0.25 })
	within(t, "whole panel", whole[6], 0.75*clear[6], 1e-9)
	beam := monthly(func(p *Panel) { p.Shade.ByMonth[6] = 1 })
	if !(beam[6] > 0.1*clear[6] && beam[6] < 0.7*clear[6]) {
		t.Errorf("beam wholly shaded leaves %g of %g", beam[6], clear[6])
	}
	morning := monthly(func(p *Panel) {
		for h := range 12 {
			p.Shade.ByHour[h] = 1
		}
		p.Shade.Whole = true
	})
	if !(morning[6] > 0.4*clear[6] && morning[6] < 0.6*clear[6]) {
		t.Errorf("a shaded morning leaves %g of %g", morning[6], clear[6])
	}
	// With the morning gone the panel turns west.
	panel := typicalPanel()
	for h := range 12 {
		panel.Shade.ByHour[h] = 1
	}
	best := BestPlane(g, s, panel, Plane{Albedo: 0.2}, nil, nil)
	if az := best.Plane.Azimuth.In(deg); az < 195 || az > 280 {
		t.Errorf("azimuth %g for a shaded morning", az)
	}
}

func TestBestPlane(t *testing.T) {
	for _, c := range []struct {
		name               string
		lat                units.Angle
		azimuth            float64
		leastTilt, most    float64
		worst              int
		yearFlatterByLeast float64
	}{
		// Rule of thumb for the dark month (common practice, no source): latitude
		// plus 10 to 25 degrees, facing the equator.
		{"north", 45 * deg, 180, 55, 78, 11, 15},
		{"south", -33 * deg, 0, 43, 65, 5, 10},
	} {
		site, _ := NewSite(c.lat, 0, 0)
		g := NewGeometry(site)
		s := hazy(g, func(int) float64 { return 0.5 })
		best := BestPlane(g, s, typicalPanel(), Plane{Albedo: 0.2}, nil, nil)
		tilt := best.Plane.Tilt.In(deg)
		if best.Plane.Azimuth.In(deg) != c.azimuth || tilt < c.leastTilt || tilt > c.most || best.WorstMonth != c.worst {
			t.Errorf("%s: tilt %g azimuth %g worst month %d", c.name, tilt, best.Plane.Azimuth.In(deg), best.WorstMonth+1)
		}
		if year := best.YearOptimum.Tilt.In(deg); tilt-year < c.yearFlatterByLeast {
			t.Errorf("%s: the year's best tilt %g against %g for the worst month", c.name, year, tilt)
		}
		// A pump that runs in the four summer months only lies flatter.
		need := [12]float64{5: 1, 6: 1, 7: 1, 8: 1}
		if c.lat < 0 {
			need = [12]float64{11: 1, 0: 1, 1: 1, 2: 1}
		}
		summer := BestPlane(g, s, typicalPanel(), Plane{Albedo: 0.2}, nil, &need)
		if summer.Plane.Tilt.In(deg) > tilt-15 || need[summer.WorstMonth] == 0 {
			t.Errorf("%s in summer: tilt %g, worst month %d", c.name, summer.Plane.Tilt.In(deg), summer.WorstMonth+1)
		}
	}
}

func TestSeriesStartsAnywhere(t *testing.T) {
	// The same hours, once as a calendar year and once from 1 July, give the same
	// months.
	site, _ := NewSite(40*deg, 0, 0)
	g := NewGeometry(site)
	s := hazy(g, func(day int) float64 { return 0.2 + 0.5*float64(day%7)/7 })
	from := 24 * MonthStart(6)
	turned := &Series{Start: from}
	for _, c := range []struct{ to, of *[]float64 }{{&turned.GHI, &s.GHI}, {&turned.DNI, &s.DNI}, {&turned.DHI, &s.DHI}, {&turned.TempC, &s.TempC}} {
		*c.to = append(append(*c.to, (*c.of)[from:]...), (*c.of)[:from]...)
	}
	array := NewArray(g, Plane{Tilt: 40 * deg, Azimuth: 180 * deg, Albedo: 0.2}, typicalPanel())
	a, b := s.Monthly(array.Yield(nil, s)), turned.Monthly(array.Yield(nil, turned))
	for m := range 12 {
		within(t, "month", a[m], b[m], 1e-9)
	}
}
