package solar

import (
	"fmt"
	"math"
	"slices"

	"sunrill/data"
	"sunrill/data/units"
)

// Record is weather made ready for an array: a file's hours on the sun of its
// site.
type Record struct {
	Geometry *Geometry
	Series   *Series
	Source   string

	// HourlyAir says that temperatures are of each hour, not of days.
	HourlyAir bool

	Warnings []data.Warning // those of the file, and everything assumed
}

// onClockOf returns the place site with the clock of a weather file that names
// one; a difference of more than half a degree between the two places is a
// warning. A clock more than three and a half hours from the sun's, such as
// universal time far from Greenwich, is turned by whole hours to that of
// DefaultUTCOffset by RecordOfWeather, so that schedules and shade are in the
// place's own hours.
func onClockOf(w *data.Weather, site Site) (Site, []data.Warning) {
	var warnings []data.Warning
	lat, lon := site.Latitude.In(units.Degree), site.Longitude.In(units.Degree)
	if w.Located && (math.Abs(w.LatDeg-lat) > 0.5 || math.Abs(math.Remainder(w.LonDeg-lon, 360)) > 0.5) {
		warnings = append(warnings, weatherWarning(w, "the file is of latitude %.2f, longitude %.2f; the place given is %.2f, %.2f",
			w.LatDeg, w.LonDeg, lat, lon))
	}
	if w.Clocked {
		site.UTCOffset = units.Duration(w.UTCOffsetH) * units.Hour
		if !nearSun(site) {
			// Hours are turned by whole ones: the parts of an hour stay the file's.
			turn := math.Round(DefaultUTCOffset(site.Longitude).In(units.Hour) - w.UTCOffsetH)
			site.UTCOffset += units.Duration(turn) * units.Hour
		}
	}
	return site, warnings
}

// nearSun reports whether the clock of site is within three and a half hours
// of its mean sun, whole days aside (the date line), as every civil clock is.
func nearSun(site Site) bool {
	return math.Abs(math.Remainder(site.UTCOffset.In(units.Hour)-site.Longitude.In(units.Degree)/15, 24)) <= 3.5
}

func weatherWarning(w *data.Weather, format string, args ...any) data.Warning {
	return data.Warning{File: w.File, Key: "weather", Message: units.Say(format, args...)}
}

// RecordOfWeather returns the hours of a weather file of hours or days under the
// sun of its site. Beam and diffuse of the file are used as they are; where it has none
// they are split from the global by Geometry.Split. Days are cut into hours by
// Geometry.Share. Records that are brighter in a month than the sky allows, or
// that have sun at night, are a *data.Error with a guess at the cause.
func RecordOfWeather(w *data.Weather, site Site) (*Record, error) {
	site, warnings := onClockOf(w, site)
	g := NewGeometry(site)
	r := &Record{Geometry: g, Source: w.Format + " " + w.File, Warnings: slices.Concat(w.Warnings, warnings),
		HourlyAir: w.Step == data.StepHour}
	if w.Step == data.StepDay {
		r.Series = daysToHours(w, g)
		r.Warnings = append(r.Warnings, weatherWarning(w,
			"assumed: days are cut into hours by the mean course of the sun, without clouds within the day"))
	} else {
		r.Series = hoursOfFile(w, site)
	}
	if !w.Clocked && site.UTCOffset == DefaultUTCOffset(site.Longitude) { // another one was given
		r.Warnings = append(r.Warnings, weatherWarning(w, "assumed: the file names no clock; taken as UTC%+g",
			site.UTCOffset.In(units.Hour)))
	}
	if err := r.check(w); err != nil {
		return nil, err
	}
	return r, nil
}

// hoursOfFile returns the hours of w on the clock of site, from the start of a
// day. Where the clock is turned, the hours that stick out of a record of whole
// years move to its other end; from other records they are cut off with the
// rest of their day.
func hoursOfFile(w *data.Weather, site Site) *Series {
	s := &Series{Start: w.FirstHour, GHI: w.GHI, DNI: w.DNI, DHI: w.DHI, TempC: w.TempC}
	shift := 0
	if w.Clocked {
		shift = int(math.Round(site.UTCOffset.In(units.Hour) - w.UTCOffsetH))
	}
	if shift == 0 {
		return s
	}
	n := s.Hours()
	s.Start = (s.Start + shift + HoursPerYear) % HoursPerYear
	lead := (24 - s.Start%24) % 24 // hours until the next day starts
	s.Start = (s.Start + lead) % HoursPerYear
	move := func(x []float64) []float64 {
		switch {
		case x == nil:
			return nil
		case n%HoursPerYear == 0:
			return slices.Concat(x[lead:], x[:lead])
		}
		return x[lead : lead+(n-lead)/24*24]
	}
	s.GHI, s.DNI, s.DHI, s.TempC = move(s.GHI), move(s.DNI), move(s.DHI), move(s.TempC)
	return s
}

// daysToHours cuts daily irradiation into hours by the day's shares.
func daysToHours(w *data.Weather, g *Geometry) *Series {
	hours := 24 * len(w.GHI)
	s := &Series{Start: w.FirstHour, GHI: make([]float64, hours), TempC: make([]float64, hours)} // split later
	for i := range s.GHI {
		h := (s.Start + i) % HoursPerYear
		s.GHI[i] = 1000 * w.GHI[i/24] * g.Share[h]
		s.TempC[i] = w.TempC[i/24]
	}
	return s
}

// mostNight is the share of a record's sun that may fall in hours without sun:
// rounding and twilight, not a wrong clock.
const mostNight = 0.01

// lateSun is how far the middle of the file's day may lie from the sun's [h]
// without a word; mornings of fog move it by less.
const lateSun = 0.6

// check compares the record with the sun, and splits the global where the file
// has no beam.
func (r *Record) check(w *data.Weather) error {
	s, g := r.Series, r.Geometry
	ghi, _ := s.MonthlyMeans()
	if m, fault := notOnEarth(g.Site, ghi); fault != nil {
		fault.File, fault.Key, fault.Found = w.File, "ghi", units.Sprintf("%.2f", ghi[m])
		return fault
	}
	night, sum := 0.0, 0.0
	var file, sun [24]float64
	for i, ghi := range s.GHI {
		h := (s.Start + i) % HoursPerYear
		sum += ghi
		file[h%24] += ghi
		sun[h%24] += g.ExtraHorizontal[h]
		if g.ExtraHorizontal[h] == 0 {
			night += ghi
		}
	}
	late := math.Remainder(middle(file)-middle(sun), 24)
	if sum > 0 && night > mostNight*sum {
		return &data.Error{File: w.File, Key: "time",
			Message: units.Sprintf("%.0f %% of the sun falls at night: the clock does not fit the place", 100*night/sum),
			Allowed: units.Sprintf("times at UTC%+g at longitude %.1f", g.Site.UTCOffset.In(units.Hour), g.Site.Longitude.In(units.Degree)),
			Hint:    fmt.Sprintf("the file's day is %s the sun's; name its clock, or check longitude and its sign", apart(late))}
	}
	if math.Abs(late) > lateSun {
		r.Warnings = append(r.Warnings, weatherWarning(w, "the middle of the file's day is %s the sun's: is its clock right?", apart(late)))
	}
	if s.DNI == nil || s.DHI == nil {
		s.DNI, s.DHI = make([]float64, s.Hours()), make([]float64, s.Hours())
		g.Split(s)
		r.Warnings = append(r.Warnings, weatherWarning(w, "assumed: beam and diffuse are split from the global (Erbs)"))
	}
	return nil
}

// apart writes how much later something is than the sun, in hours.
func apart(late float64) string {
	if late < 0 {
		return units.Sprintf("%.1f hours before", -late)
	}
	return units.Sprintf("%.1f hours after", late)
}

// middle returns the mean hour of a day's course, as an angle on the clock, so
// that it holds around midnight.
func middle(course [24]float64) float64 {
	x, y := 0.0, 0.0
	for hour, v := range course {
		sin, cos := math.Sincos((float64(hour) + 0.5) / 24 * 2 * math.Pi)
		x, y = x+v*cos, y+v*sin
	}
	return math.Atan2(y, x) / (2 * math.Pi) * 24
}

// Climate returns the twelve monthly means of the record.
func (r *Record) Climate() Climate {
	ghi, temp := r.Series.MonthlyMeans()
	return Climate{Site: r.Geometry.Site, GHI: ghi, SizingGHI: ghi, TempC: temp, Source: r.Source, Warnings: r.Warnings}
}

// ClimateOfMonths returns the climate of a monthly file, used as given.
func ClimateOfMonths(w *data.Weather, site Site) (Climate, error) {
	site, warnings := onClockOf(w, site)
	return ClimateFromFile(site, data.ClimateFile{File: w.File, GHI: [12]float64(w.GHI), TempC: [12]float64(w.TempC),
		Warnings: slices.Concat(w.Warnings, warnings)})
}
