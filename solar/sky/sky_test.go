package sky

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/solar"
)

func skyOf(t *testing.T, sets ...string) *Sky {
	t.Helper()
	s, err := NewSky(plantest.SteadyLoad(t, append([]string{"reliability.years=2"}, sets...)...), SiteFiles{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestSkyIsSizedOnTheLowWinter checks that the hours a panel is sized on keep
// the low figure of the dark months, and AsSource the plain one.
func TestSkyIsSizedOnTheLowWinter(t *testing.T) {
	s := skyOf(t)
	if !s.Climate.LowWinter {
		t.Fatal("52.4 N 13.1 E is among the places whose winter the source has too bright")
	}
	source := s.AsSource()
	sized, plain := s.Months(s.Weather), s.Months(source)
	lowered := 0
	for m := range 12 {
		if sized.GHI[m] != s.Climate.SizingGHI[m] || plain.GHI[m] != s.Climate.GHI[m] {
			t.Errorf("month %d: %g and %g, want %g and %g", m+1, sized.GHI[m], plain.GHI[m], s.Climate.SizingGHI[m], s.Climate.GHI[m])
		}
		if sized.GHI[m] < plain.GHI[m] {
			lowered++
			if sized.Yield[m] >= plain.Yield[m] {
				t.Errorf("month %d gives no less for less sun", m+1)
			}
		}
	}
	if lowered != 3 {
		t.Errorf("%d months were lowered, want the three darkest", lowered)
	}
}

// TestOneLossStandsForAll checks the meaning of --panel-loss hour by hour: what
// is left of the plane of array after the one loss and the heat, with neither
// glass nor controller taking more.
//
//	(1 - loss) G/1000 [1 - 0.004 (Ta + 25 G/800 - 25)]
func TestOneLossStandsForAll(t *testing.T) {
	for _, controller := range []string{"MPPT", "PWM", "none"} {
		s := skyOf(t, "panel.loss=13 %", "controller.kind="+controller)
		poa := s.Array.PlaneOfArray(nil, s.Weather)
		for i, y := range s.PerWatt(s.Weather) {
			want := 0.87 * poa[i] / 1000 * (1 - 0.004*(s.Weather.Air(i)+25*poa[i]/800-25))
			if math.Abs(y-want) > 1e-12 {
				t.Fatalf("%s, hour %d: %g, want %g", controller, i, y, want)
			}
		}
	}
}

// TestControllerTakesVoltageOrPower checks PV5 through a plan: MPPT passes its
// share of the power, heat included; PWM passes the current at the battery's
// volts, so heat takes nothing, and 18 V on 12.8 V leave 12.8/18.
func TestControllerTakesVoltageOrPower(t *testing.T) {
	tracked := skyOf(t, "controller.efficiency=90 %", "panel.tilt=40")
	pulsed := skyOf(t, "controller.kind=PWM", "panel.working_voltage=18 V", "panel.tilt=40")
	full := skyOf(t, "controller.efficiency=100 %", "panel.tilt=40", "panel.temperature_coefficient=0")
	warm := skyOf(t, "controller.efficiency=100 %", "panel.tilt=40")
	a, b, c, d := tracked.PerWatt(tracked.Weather), pulsed.PerWatt(pulsed.Weather), full.PerWatt(full.Weather), warm.PerWatt(warm.Weather)
	for i := range a {
		if math.Abs(a[i]-0.9*d[i]) > 1e-12 || math.Abs(b[i]-12.8/18*c[i]) > 1e-12 {
			t.Fatalf("hour %d: %g of %g, %g of %g", i, a[i], d[i], b[i], c[i])
		}
	}
	_, err := NewSky(plantest.SteadyLoad(t, "controller.kind=PWM", "panel.working_voltage=14 V", "battery.voltage=12.8 V"), SiteFiles{}, nil)
	var fault *data.Error
	if !errors.As(err, &fault) || fault.Key != "panel.working_voltage" {
		t.Errorf("a panel of 14 V on PWM: %v", err)
	}
}

// TestSettledTilt checks that what the plan says of the panel is kept, and that
// the best tilt for a wall is no worse than its neighbours.
func TestSettledTilt(t *testing.T) {
	s := skyOf(t, "panel.tilt=30", "panel.azimuth=200")
	if math.Abs(s.Plane.Tilt.In(units.Degree)-30) > 1e-9 || math.Abs(s.Plane.Azimuth.In(units.Degree)-200) > 1e-9 {
		t.Errorf("%+v", s.Plane)
	}
	wall := skyOf(t, "panel.azimuth=135")
	if math.Abs(wall.Plane.Azimuth.In(units.Degree)-135) > 1e-9 {
		t.Errorf("%+v", wall.Plane)
	}
	worst := func(tilt units.Angle) float64 {
		other := *wall
		other.Plane.Tilt = tilt
		other.light()
		m := other.Months(other.Weather)
		return m.Yield[m.Worst()]
	}
	best := worst(wall.Plane.Tilt)
	for _, d := range []units.Angle{-8 * units.Degree, 8 * units.Degree} {
		// Mean hours choose the tilt, all hours are summed here: half a hundredth.
		if worst(wall.Plane.Tilt+d) > 1.005*best {
			t.Errorf("%v is better than %v", wall.Plane.Tilt+d, wall.Plane.Tilt)
		}
	}
}

// TestEveryCellOfTheGridMakesYears sizes nothing but asks every twentieth cell
// of the built-in grid for its months: none may fail or give what cannot be.
func TestEveryCellOfTheGridMakesYears(t *testing.T) {
	n := 0
	for _, c := range data.ClimateGrid() {
		if n++; n%20 != 0 {
			continue
		}
		p := plantest.SteadyLoad(t, "reliability.years=1", "panel.tilt=45")
		lat, lon := units.Angle(c.LatDeg)*units.Degree, units.Angle(c.LonDeg)*units.Degree
		p.Site.Latitude, p.Site.Longitude = &lat, &lon
		s, err := NewSky(p, SiteFiles{}, nil)
		if err != nil {
			t.Fatalf("%g, %g: %v", c.LatDeg, c.LonDeg, err)
		}
		m := s.Months(s.Weather)
		for i := range 12 {
			if !(m.POA[i] >= 0 && m.POA[i] < 14 && m.Yield[i] >= 0 && m.Yield[i] <= 1.2*m.POA[i]) {
				t.Errorf("%g, %g month %d: %g kWh/m2 and %g Wh/W", c.LatDeg, c.LonDeg, i+1, m.POA[i], m.Yield[i])
			}
		}
		if s.Weather.Hours() != solar.HoursPerYear {
			t.Fatalf("%d hours", s.Weather.Hours())
		}
	}
	if n < 3000 {
		t.Fatalf("%d cells", n)
	}
}

// TestWeatherFileAtTheGivenAltitudeAndClock gives what a located file leaves
// open, or has otherwise: neither may be passed over.
func TestWeatherFileAtTheGivenAltitudeAndClock(t *testing.T) {
	file := data.Weather{File: "p.csv", Step: data.StepMonth, Located: true, LatDeg: 48, LonDeg: 11, Elevated: true, ElevationM: 519}
	for range 12 {
		file.GHI, file.TempC = append(file.GHI, 2), append(file.TempC, 8)
	}
	file.GHI[0], file.GHI[11] = 1, 1
	low := file
	low.Elevated, low.ElevationM = false, 0
	for _, c := range []struct {
		file             *data.Weather
		sets             []string
		altitude, offset float64
		assumed          bool // the altitude
	}{
		{&file, nil, 519, 1, false},
		{&file, []string{"site.altitude=900 m", "site.utc_offset=2"}, 900, 2, false},
		{&low, nil, 515, 1, true}, // the grid's ground between Alps and Danube
	} {
		p := plan.NewPlan()
		for _, text := range c.sets {
			set, err := plan.ParseSetting(text)
			if err != nil {
				t.Fatal(err)
			}
			if err := p.Apply([]plan.Setting{set}); err != nil {
				t.Fatal(err)
			}
		}
		s, err := NewSky(&p, SiteFiles{Weather: c.file}, nil)
		if err != nil {
			t.Fatal(err)
		}
		site := s.Geometry.Site
		reftest.Near(t, fmt.Sprint(c.sets, " altitude"), float64(site.Altitude), c.altitude, 1)
		reftest.Near(t, fmt.Sprint(c.sets, " clock"), site.UTCOffset.In(units.Hour), c.offset, 1e-9)
		assumed := slices.ContainsFunc(s.Assumed, func(a figure.Assumed) bool { return a.Key == "site.altitude" })
		if assumed != c.assumed {
			t.Errorf("%v: altitude assumed %v, want %v", c.sets, assumed, c.assumed)
		}
	}
}
