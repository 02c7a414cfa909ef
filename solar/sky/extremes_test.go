package sky

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"sunrill/data"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/solar"
)

// TestExtremesCoverMeasuredHours: the coldest cell is never warmer than the coldest
// hour of a measured year less 5 K, the hottest air never cooler than its hottest hour:
// by the built-in climate of the place, by the means of the year's own months and, where
// SUNRILL_WEATHER holds it, by the year itself.
func TestExtremesCoverMeasuredHours(t *testing.T) {
	rows := reftest.Load(t, "extreme_hours.csv")
	for _, r := range rows {
		check := func(how string, s *Sky) {
			if got, most := s.ColdestCell().InCelsius(), r.Float("coldest_c")-5; got > most+1e-9 {
				t.Errorf("%s by %s: cells of %.1f C at the coldest, want %.1f at most", r.Text("place"), how, got, most)
			}
			if got, least := s.HottestAir().InCelsius(), r.Float("hottest_c"); got < least-1e-9 {
				t.Errorf("%s by %s: air of %.1f C at the hottest, want %.1f at least", r.Text("place"), how, got, least)
			}
		}
		c, err := solar.ClimateAt(units.Angle(r.Float("lat_deg"))*units.Degree, units.Angle(r.Float("lon_deg"))*units.Degree)
		if err != nil {
			t.Fatal(err)
		}
		check("the built-in climate", &Sky{Climate: c})
		own := &Sky{}
		for m := range own.Climate.TempC {
			own.Climate.TempC[m] = r.Float(fmt.Sprintf("month_%d_c", m+1))
		}
		check("its own months", own)
		folder := os.Getenv("SUNRILL_WEATHER")
		if folder == "" {
			continue
		}
		f, err := os.Open(filepath.Join(folder, r.Text("file")))
		if err != nil {
			t.Fatal(err)
		}
		w, err := data.ReadWeather(f.Name(), f)
		if err != nil {
			t.Fatal(err)
		}
		p, lat, lon := plantest.SteadyLoad(t), units.Angle(w.LatDeg)*units.Degree, units.Angle(w.LonDeg)*units.Degree
		p.Site.Latitude, p.Site.Longitude = &lat, &lon
		s, err := SkyOver(p, SiteFiles{Weather: w})
		if err != nil {
			t.Fatal(err)
		}
		check("the hours of its file", s)
	}
	if len(rows) < 4 {
		t.Fatal("years are missing")
	}
	// By hand: a file whose coldest month of 2 C has an hour of 0 C goes 15 K below the
	// month; months of 2 and 30 C go 1.15 x 28 = 32.2 K below it without a file.
	s := &Sky{Weather: &solar.Series{TempC: []float64{0, 4, 31}}, HourlyAir: true}
	s.Climate.TempC = [12]float64{2, 30, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10}
	reftest.Near(t, "by the file", s.ColdestCell().InCelsius(), -13, 1e-9)
	reftest.Near(t, "hottest", s.HottestAir().InCelsius(), 50, 1e-9)
	s.HourlyAir = false
	reftest.Near(t, "by the months", s.ColdestCell().InCelsius(), -30.2, 1e-9)
}
