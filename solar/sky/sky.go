package sky

import (
	"math"
	"strings"
	"sync"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/solar"
)

// SiteFiles are the files that a plan names for its site, as they were read;
// nil where it names none.
type SiteFiles struct {
	Climate *data.ClimateFile
	Weather *data.Weather
	Made    *Made // of the sky of an earlier plan; used where it would be made again
}

// Made is weather made for a site: what a plan leaves for the next. It is for reading
// only, by as many as there are.
type Made struct {
	of       madeOf
	geometry *solar.Geometry
	weather  *solar.Series
	warnings []data.Warning

	mutex sync.Mutex
	more  *solar.Series // the years after those, once they were asked for
	laid  []laid        // the panels under weather that were asked for last
}

// madeOf is all that made weather depends on.
type madeOf struct {
	site        solar.Site
	ghi, tempC  [12]float64
	years, seed int
}

// Sky is the sun over a plan's site and the panel under it, hour by hour. It is
// one engine for every answer about sun: the monthly table of a site is the mean
// of the same hours that panels and batteries are sized on, so that no two
// pages disagree.
type Sky struct {
	Geometry *solar.Geometry
	Climate  solar.Climate // by month; that of the file where Years is 0

	// Weather holds the hours that panel and battery are sized on: those of the
	// weather file, or Years years made from Climate.SizingGHI.
	Weather   *solar.Series
	Made      *Made // what Weather was made of; nil where the hours are a file's own
	Years     int   // made; 0 where the hours are a file's own
	Seed      int   // that they were made with
	HourlyAir bool  // air temperature is known by the hour

	Panel   solar.Panel
	Plane   solar.Plane
	Charger Charger

	Assumed  []figure.Assumed
	Warnings data.Doubts
	Sources  []string

	Array *solar.Array

	spells    func() *solar.MeanYear // the darkest, found once
	perWatt   []float64              // of Weather under perWattOf, as the panel was laid
	perWattOf *solar.Array
}

// NewSky returns the sky of a plan. need is the energy wanted of the panel in
// each month, in any unit, for which the tilt is chosen where the plan gives
// none; nil wants the same every month.
//
// Errors are *data.Error: a place without data, a file that does not fit its
// place, figures that no panel has.
func NewSky(p *plan.Plan, files SiteFiles, need *[12]float64) (*Sky, error) {
	s, err := SkyOver(p, files)
	if err != nil {
		return nil, err
	}
	return s, s.LayPanel(p, need)
}

// SkyOver returns the sky of a plan's site without a panel under it.
func SkyOver(p *plan.Plan, files SiteFiles) (*Sky, error) {
	s := &Sky{Years: p.WeatherYears(), Seed: p.Reliability.Seed}
	if err := s.weather(p, files); err != nil {
		return nil, err
	}
	s.spells = sync.OnceValue(func() *solar.MeanYear { return solar.DarkSpells(s.Geometry, s.Weather) })
	s.assumeSite(p, files)
	return s, nil
}

// weather fills everything about the site.
func (s *Sky) weather(p *plan.Plan, files SiteFiles) error {
	c, record, known, err := ClimateOf(p, files)
	if err != nil {
		return err
	}
	if !known && files.Climate != nil {
		return noSite(files.Climate.File)
	}
	s.Climate = c
	s.Warnings = append(s.Warnings, c.Warnings...)
	s.Sources = append(s.Sources, "Sun and air: "+c.Source)
	if record != nil {
		s.ofRecord(record, files.Weather, p)
		return nil
	}
	of := madeOf{c.Site, c.SizingGHI, c.TempC, s.Years, s.Seed}
	if s.Made = files.Made; s.Made == nil || s.Made.of != of {
		g := solar.NewGeometry(of.site)
		weather, warnings := solar.NewYears(g, of.ghi, of.tempC, of.years, uint64(of.seed))
		s.Made = &Made{of: of, geometry: g, weather: weather, warnings: warnings}
	}
	s.Geometry, s.Weather = s.Made.geometry, s.Made.weather
	s.Warnings = append(s.Warnings, s.Made.warnings...)
	return nil
}

// More returns the years that go on from those made, up to so many in all.
func (s *Sky) More(years int) *solar.Series {
	m := s.Made
	m.mutex.Lock()
	defer m.mutex.Unlock()
	n := years - m.of.years
	if m.more == nil || m.more.Hours() != n*solar.HoursPerYear {
		m.more, _ = solar.NewYears(m.geometry, m.of.ghi, m.of.tempC, n, uint64(m.of.seed+solar.Blocks(m.of.years)))
	}
	return m.more
}

func noSite(file string) error {
	return &data.Error{File: file, Key: "site", Message: "the file does not say where it was measured",
		Allowed: "the place beside it", Hint: "give --lat and --lon, or --place"}
}

// ofRecord takes the hours of a weather file as they are.
func (s *Sky) ofRecord(r *solar.Record, w *data.Weather, p *plan.Plan) {
	s.Geometry, s.Weather, s.HourlyAir, s.Years = r.Geometry, r.Series, r.HourlyAir, 0
	if set := p.Site.UTCOffset; set != nil && w.Clocked && *set != r.Geometry.Site.UTCOffset.In(units.Hour) {
		s.Warnings.Say("site.utc_offset",
			"the weather file keeps UTC%+g, which goes before UTC%+g: hours of load and shade are in the file's clock",
			r.Geometry.Site.UTCOffset.In(units.Hour), *set)
	}
	for _, key := range []string{"reliability.years", "reliability.seed"} {
		if p.Given(key) {
			s.Warnings.Say(key, "not used: the hours are the weather file's own, none are made")
		}
	}
}

// ClimateOf returns the climate of the plan's place, or of its climate or weather
// file there, at the plan's altitude and clock if it gives them, and the record of
// a file of hours or days, which is nil for any other; known is false where the
// plan names neither a place nor a file that says where it was measured.
func ClimateOf(p *plan.Plan, files SiteFiles) (c solar.Climate, r *solar.Record, known bool, err error) {
	w := files.Weather
	if c, known, err = builtIn(p, files); err == nil && !known && w != nil {
		err = noSite(w.File)
	}
	if z := p.Site.Altitude; z != nil && known {
		c = c.AtAltitude(*z)
	}
	if err != nil || !known {
		return c, nil, false, err
	}
	if h := p.Site.UTCOffset; h != nil {
		c.Site.UTCOffset = units.Duration(*h) * units.Hour
	}
	switch {
	case w != nil && w.Step == data.StepMonth:
		c, err = solar.ClimateOfMonths(w, c.Site)
	case w != nil:
		if r, err = solar.RecordOfWeather(w, c.Site); err == nil {
			c = r.Climate()
			c.Place = w.Place
		}
	case files.Climate != nil:
		c, err = solar.ClimateFromFile(c.Site, *files.Climate)
	}
	return c, r, err == nil, err
}

// builtIn returns the embedded climate of the plan's place, or the bare site of a
// weather file, and whether plan or file names one. Where a file brings sun and
// air, only the ground's height is wanted, and open sea is as good a place as any.
func builtIn(p *plan.Plan, files SiteFiles) (c solar.Climate, known bool, err error) {
	switch {
	case p.Site.Place != "":
		c, err = solar.ClimateOfPlace(p.Site.Place)
	case p.Site.Latitude != nil && p.Site.Longitude != nil:
		lat, lon := *p.Site.Latitude, *p.Site.Longitude
		c, err = solar.ClimateAt(lat, lon)
		if err != nil && (files.Climate != nil || files.Weather != nil) {
			c.Site, err = solar.NewSite(lat, lon, 0)
		}
	case files.Weather != nil && files.Weather.Located:
		c.Site, err = siteOfFile(files.Weather)
	default:
		return c, false, nil
	}
	return c, err == nil, err
}

// siteOfFile returns where a weather file is from, on the grid's ground where
// it does not say how high.
func siteOfFile(w *data.Weather) (solar.Site, error) {
	lat, lon := units.Angle(w.LatDeg)*units.Degree, units.Angle(w.LonDeg)*units.Degree
	if !w.Elevated {
		if c, err := solar.ClimateAt(lat, lon); err == nil {
			return c.Site, nil
		}
	}
	return solar.NewSite(lat, lon, units.Length(w.ElevationM))
}

// AsSource returns the hours of the climate as its source gives it: Weather,
// unless Climate.LowWinter lowered the dark months for sizing.
func (s *Sky) AsSource() *solar.Series {
	if s.Years == 0 || !s.Climate.LowWinter {
		return s.Weather
	}
	w, _ := solar.NewYears(s.Geometry, s.Climate.GHI, s.Climate.TempC, s.Years, uint64(s.Seed))
	return w
}

// AirByMonth returns the mean air temperature of each month.
func (s *Sky) AirByMonth() [12]units.Temperature {
	var t [12]units.Temperature
	for m, c := range s.Climate.TempC {
		t[m] = units.Celsius(c)
	}
	return t
}

// assume lists the value of a key that nobody gave.
func (s *Sky) assume(p *plan.Plan, key string, kind units.Kind, value float64, text, why units.Text, source string) {
	if !p.Given(key) {
		s.Assumed = append(s.Assumed, figure.Assumed{Key: key, Kind: kind, Value: value, Text: text, Why: why, Source: source})
	}
}

// assumeSite lists what nobody said about the site.
func (s *Sky) assumeSite(p *plan.Plan, files SiteFiles) {
	site, w := s.Geometry.Site, files.Weather
	onGrid := p.Site.Place == "" && (p.Site.Latitude != nil || w != nil && !w.Elevated)
	if onGrid {
		ground := math.Round(float64(site.Altitude))
		s.assume(p, "site.altitude", units.KindLength, ground, "", "ground of the built-in grid", data.TemperatureSource)
	}
	if !p.Given("site.shade_by_hour") {
		s.assume(p, "site.shade", units.KindShare, 0, "", "nothing said of trees, walls or hills", "")
	}
	s.assume(p, "site.snow", units.KindShare, 0, "", "nothing said of snow on the panel", "")
	clock := units.Say("UTC%+g", site.UTCOffset.In(units.Hour))
	if w != nil && s.Years == 0 {
		s.assume(p, "site.utc_offset", 0, 0, clock, "the clock of the weather file", "")
		return
	}
	s.assume(p, "site.utc_offset", 0, 0, clock, "longitude / 15, rounded", "nautical time zones")
	s.assume(p, "site.weather", 0, 0, units.Say("%d years made from the monthly means, seed %d", s.Years, s.Seed),
		"no weather file; days vary and follow one another as measured ones do", "")
	s.Sources = append(s.Sources, "Weather years: daily clearness by Johnson's SB, Gaussian mapping after Graham, Hollands & Huget 1988 "+
		"(Solar Energy 40); hours by Collares-Pereira & Rabl 1979")
	if strings.Contains(s.Climate.Source, "NASA SSE") && s.Climate.Place != "" {
		s.Sources = append(s.Sources, data.PlaceSource)
	}
}
