package sky

import (
	"math"
	"slices"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
)

// greyYear is a year of hours at 52.4 N, 13.1 E: 20 W/m² from 8 to 16 h by its own
// clock, air of as many degrees as the hour of the day.
func greyYear() *data.Weather {
	w := &data.Weather{File: "grey.csv", Format: "CSV", Place: "Grey", Located: true, LatDeg: 52.4, LonDeg: 13.1, Clocked: true, UTCOffsetH: 1, Step: data.StepHour}
	for hour := range 8760 {
		sun := 0.0
		if hour%24 >= 8 && hour%24 < 16 {
			sun = 20
		}
		w.GHI, w.TempC = append(w.GHI, sun), append(w.TempC, float64(hour%24))
	}
	return w
}

// TestHoursOfAFileAreItsOwn: 8 x 20 W/m² are 0.16 kWh/m² on every day, the air is 11.5
// degrees, nothing is made, and what would make it is told to be without use.
func TestHoursOfAFileAreItsOwn(t *testing.T) {
	p := plantest.SteadyLoad(t, "reliability.years=3", "reliability.seed=4", "panel.tilt=0", "site.utc_offset=2")
	s, err := NewSky(p, SiteFiles{Weather: greyYear()}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if s.Years != 0 || !s.HourlyAir || s.Weather.Hours() != 8760 || s.Climate.Place != "Grey" {
		t.Errorf("%d years made, hourly air %v, %d hours of %q", s.Years, s.HourlyAir, s.Weather.Hours(), s.Climate.Place)
	}
	m := s.Months(s.Weather)
	for i := range 12 {
		reftest.Near(t, "sun", m.GHI[i], 0.16, 1e-9)
		reftest.Near(t, "air", m.TempC[i], 11.5, 1e-9)
	}
	if s.AsSource() != s.Weather {
		t.Error("the source of a file is another")
	}
	reftest.Near(t, "clock", s.Geometry.Site.UTCOffset.In(units.Hour), 1, 1e-12)
	warned := map[string]string{}
	for _, w := range s.Warnings {
		warned[w.Key] = w.Message.String()
	}
	if !strings.Contains(warned["site.utc_offset"], "UTC+1, which goes before UTC+2") || warned["reliability.years"] == "" || warned["reliability.seed"] == "" {
		t.Errorf("%v", s.Warnings)
	}
	if slices.ContainsFunc(s.Assumed, func(a figure.Assumed) bool { return a.Key == "site.weather" || a.Key == "site.utc_offset" }) {
		t.Errorf("made years or a given clock are assumed: %+v", s.Assumed)
	}
	// Nothing given but the place: no such warning, and the file's clock is assumed.
	if s, err = NewSky(plantest.SteadyLoad(t, "panel.tilt=0"), SiteFiles{Weather: greyYear()}, nil); err != nil {
		t.Fatal(err)
	}
	if slices.ContainsFunc(s.Warnings, func(w data.Warning) bool { return w.Key != "weather" }) || !slices.ContainsFunc(s.Assumed, func(a figure.Assumed) bool { return a.Key == "site.utc_offset" && a.Text == "UTC+1" }) {
		t.Errorf("warned of %v, assumed %+v", s.Warnings, s.Assumed)
	}
}

// TestSiteFaults: each is told at its key.
func TestSiteFaults(t *testing.T) {
	madison := madisonFile()
	nowhere := greyYear()
	nowhere.Located = false
	sea := plantest.SteadyLoad(t)
	*sea.Site.Latitude, *sea.Site.Longitude = 0, -30*units.Degree
	bare := plan.NewPlan()
	for name, c := range map[string]struct {
		plan  *plan.Plan
		files SiteFiles
		key   string
	}{
		"twelve months of nowhere": {&bare, SiteFiles{Climate: &madison}, "site"},
		"hours of nowhere":         {&bare, SiteFiles{Weather: nowhere}, "site"},
		"the open sea":             {sea, SiteFiles{}, "latitude"},
	} {
		_, err := NewSky(c.plan, c.files, nil)
		if got := plantest.FaultKeys(err); got != c.key {
			t.Errorf("%s: %v with key %q, want a fault of %s", name, err, got, c.key)
		}
	}
}

// TestFileAtSea: a file that does not say how high it lies has the grid's ground, and
// the sea's where the grid has none, by coordinates of its own or of the plan.
func TestFileAtSea(t *testing.T) {
	months := data.Weather{File: "m.csv", Step: data.StepMonth, Located: true, LatDeg: 0, LonDeg: -30}
	for range 12 {
		months.GHI, months.TempC = append(months.GHI, 5), append(months.TempC, 26)
	}
	sea := plantest.SteadyLoad(t, "reliability.years=1", "panel.tilt=5")
	*sea.Site.Latitude, *sea.Site.Longitude = 0, -30*units.Degree
	bare := plan.NewPlan()
	if err := bare.Apply([]plan.Setting{plantest.Set("reliability.years", "1"), plantest.Set("panel.tilt", "5")}); err != nil {
		t.Fatal(err)
	}
	for _, p := range []*plan.Plan{sea, &bare} {
		s, err := NewSky(p, SiteFiles{Weather: &months}, nil)
		if err != nil {
			t.Fatal(err)
		}
		site := s.Geometry.Site
		if site.Altitude != 0 || math.Abs(site.Longitude.In(units.Degree)+30) > 1e-9 || math.Abs(site.UTCOffset.In(units.Hour)+2) > 1e-9 {
			t.Errorf("%+v", site)
		}
		if m := s.Months(s.Weather); m.GHI[5] != 5 || m.TempC[5] != 26 {
			t.Errorf("%+v", m)
		}
	}
}
