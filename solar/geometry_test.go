package solar

import (
	"math"
	"testing"

	"sunrill/data/units"
)

func TestGeometryIsTheSunAtMidHour(t *testing.T) {
	// The hours of a site against sunAt at the same instants, which is checked
	// against SPA.
	for _, c := range []struct{ lat, lon, clock float64 }{{-32.5, 22, 2}, {52.4, 13.1, 1}, {0, -78.5, -5}, {28.6, 77.2, 5.5}, {69.7, 18.9, 1}, {-53.2, -70.9, -3}} {
		site, err := NewSite(units.Angle(c.lat)*deg, units.Angle(c.lon)*deg, 0)
		if err != nil {
			t.Fatal(err)
		}
		site.UTCOffset = units.Duration(c.clock) * units.Hour
		g := NewGeometry(site)
		for h := 0; h < HoursPerYear; h += 61 {
			p := sunAt(JulianDate(ReferenceYear, 1, 1)+(float64(h)+0.5-c.clock)/24, site.Latitude, site.Longitude)
			sinZ, cosZ := math.Sincos(float64(p.zenith))
			sinA, cosA := math.Sincos(float64(p.azimuth))
			apart := math.Sqrt(math.Pow(g.East[h]-sinZ*sinA, 2)+math.Pow(g.North[h]-sinZ*cosA, 2)+math.Pow(g.Up[h]-cosZ, 2)) * 180 / math.Pi
			within(t, "apart", apart, 0, 0.0001)
			within(t, "extraterrestrial", g.ExtraNormal[h], 1361*EccentricitySpencer(float64(h/24+1)), 1e-9)
		}
	}
}

func TestSharesSumToOne(t *testing.T) {
	for lat := -90.0; lat <= 90; lat += 7.5 {
		site, _ := NewSite(units.Angle(lat)*deg, 37*deg, 0)
		g := NewGeometry(site)
		for day := range 365 {
			sum := 0.0
			for _, v := range g.Share[24*day : 24*day+24] {
				sum += v
			}
			want := 1.0
			if g.DailyExtra[day] == 0 {
				want = 0
			}
			within(t, "sum of shares", sum, want, 1e-9)
		}
	}
}

func TestMeanUpAgainstSteps(t *testing.T) {
	// The closed mean over an hour against 2000 steps of its own integrand.
	for _, c := range [][2]float64{{0, 0.9}, {0.3, 0.5}, {-0.3, 0.5}, {0.5, 0.3}, {0.5, 0.5001}, {-0.5, 0.3}, {0.39, 0.4}} {
		for h := -math.Pi; h <= math.Pi; h += 0.0871 {
			sum := 0.0
			for k := range 2000 {
				x := h + (float64(k)+0.5-1000)/1000*math.Pi/24
				sum += math.Max(c[0]+c[1]*math.Cos(x), 0)
			}
			within(t, "mean", meanUp(c[0], c[1], h), sum/2000, 1e-5)
		}
	}
}

func TestNewSite(t *testing.T) {
	for _, c := range []struct {
		lat, lon units.Angle
		altitude units.Length
		ok       bool
	}{{-90, 180, 0, true}, {0, 360, 0, true}, {95, 0, 0, false}, {0, 361, 0, false}, {0, 0, 9999, false}, {units.Angle(math.NaN()), 0, 0, false}} {
		if _, err := NewSite(c.lat*deg, c.lon*deg, c.altitude); (err == nil) != c.ok {
			t.Errorf("%+v: %v", c, err)
		}
	}
	site, _ := NewSite(10*deg, 350*deg, 0)
	within(t, "longitude", site.Longitude.In(deg), -10, 1e-9)
	within(t, "clock", site.UTCOffset.In(units.Hour), -1, 0)
}

func TestBestPlaneNearTheEquator(t *testing.T) {
	// At 6 N with a dull second half of the year the weak months have the sun in
	// the north at noon (May to July): the panel may turn north. Checked against
	// every whole degree of tilt and 15 of azimuth on the full year.
	site, _ := NewSite(6*deg, 0, 0)
	g := NewGeometry(site)
	s := hazy(g, func(day int) float64 {
		if month := MonthOf(day); month >= 4 && month <= 7 {
			return 0.35
		}
		return 0.6
	})
	best := BestPlane(g, s, bare(), Plane{Albedo: 0.2}, nil, nil)
	worst := func(p Plane) float64 {
		array := NewArray(g, p, bare())
		least := math.Inf(1)
		for _, y := range s.Monthly(array.Yield(nil, s)) {
			least = math.Min(least, y)
		}
		return least
	}
	got := worst(best.Plane)
	for azimuth := 0.0; azimuth < 360; azimuth += 45 {
		for tilt := 0.0; tilt <= 40; tilt += 4 {
			other := worst(Plane{Tilt: units.Angle(tilt) * deg, Azimuth: units.Angle(azimuth) * deg, Albedo: 0.2})
			if other > got*1.015 {
				t.Errorf("tilt %g azimuth %g gives %.4f, the best plane %+v %.4f", tilt, azimuth, other, best.Plane, got)
			}
		}
	}
}
