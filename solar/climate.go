package solar

import (
	"math"
	"strings"

	"sunrill/data"
	"sunrill/data/units"
)

// Climate is a site's year by month, with how good it is.
type Climate struct {
	Site  Site
	Place string      // name, where the site is one of the table
	GHI   [12]float64 // global horizontal irradiation [kWh/m² a day]
	TempC [12]float64 // mean air temperature [°C]

	// SizingGHI is what an off-grid panel should be sized on: GHI, or with
	// LowWinter LowFactor times GHI in the three darkest months.
	SizingGHI [12]float64
	LowWinter bool

	Source string // of sun and temperature

	// MonthlyError and YearError are the root-mean-square errors of GHI as a
	// share, TempError that of TempC [K]; 0 where nothing is known.
	MonthlyError, YearError, TempError float64

	Warnings []data.Warning
}

// lapseRate is how air cools with height in the embedded climate [K/m]: the
// rate of least error among 4 to 6.5 K/km against about 450 city normals.
const lapseRate = 0.0055

// ClimateAt returns the climate of a place from the embedded grid, at the
// grid's ground: bilinear over the up to four cells around it that hold land.
// Over open sea there is none: the *data.Error names the nearest land.
func ClimateAt(latitude, longitude units.Angle) (Climate, error) {
	site, err := NewSite(latitude, longitude, 0)
	if err != nil {
		return Climate{}, err
	}
	lat, lon := site.Latitude.In(units.Degree), site.Longitude.In(units.Degree)
	south, west := math.Floor(lat/data.GridStep)*data.GridStep, math.Floor(lon/data.GridStep)*data.GridStep
	v, u := (lat-south)/data.GridStep, (lon-west)/data.GridStep
	var sum data.MonthlyClimate
	weight := 0.0
	for _, corner := range [4]struct{ north, east, w float64 }{
		{0, 0, (1 - v) * (1 - u)}, {0, 1, (1 - v) * u}, {1, 0, v * (1 - u)}, {1, 1, v * u}} {
		cell, ok := data.ClimateCell(south+corner.north*data.GridStep, west+corner.east*data.GridStep)
		if !ok || corner.w < 1e-9 {
			continue
		}
		weight += corner.w
		sum.ElevationM += corner.w * cell.ElevationM
		for m := range 12 {
			sum.GHI[m] += corner.w * cell.GHI[m]
			sum.TempC[m] += corner.w * cell.TempC[m]
		}
	}
	if weight == 0 {
		return Climate{}, openSea(lat, lon)
	}
	site.Altitude = units.Length(sum.ElevationM / weight)
	c := Climate{Site: site,
		Source:    data.ClimateSource + "; " + data.TemperatureSource,
		TempError: airErrorOfCell}
	for m := range 12 {
		c.GHI[m], c.TempC[m] = sum.GHI[m]/weight, sum.TempC[m]/weight
	}
	if weight < 0.5 {
		key, also := "climate", exchanged(lat, lon)
		if also != "" {
			key = SlipKey
		}
		c.Warnings = append(c.Warnings, data.Warning{Key: key, Message: units.Text("more than half of the cells around this place are " +
			"open sea: the figures are those of the land beside it" + also)})
	}
	c.rate(interpolationError)
	return c, nil
}

// SlipKey is the key of the warning that latitude and longitude look exchanged.
const SlipKey = "site.latitude"

// openSea is the answer where the grid has no land.
func openSea(lat, lon float64) error {
	cell, km := data.NearestClimateCell(lat, lon)
	return &data.Error{Key: "latitude", Message: "the built-in climate has no data here: it covers land from 57.5 S to 80 N",
		Found:   units.Sprintf("%.2f, %.2f", lat, lon),
		Allowed: "a place on land, or twelve rows of your own in a climate file",
		Hint: units.Sprintf("nearest land with data: latitude %.1f, longitude %.1f, %.0f km away",
			cell.LatDeg, cell.LonDeg, km) + exchanged(lat, lon)}
}

// exchanged asks about a place at sea whose latitude and longitude, exchanged, are on
// land; "" for any other.
func exchanged(lat, lon float64) string {
	if _, land := data.ClimateCell(lon, lat); !land || math.Abs(lon) > 90 {
		return ""
	}
	return units.Sprintf("; or are they exchanged? Latitude %.4g and longitude %.4g are on land", lon, lat)
}

// warn adds a doubt about the climate.
func (c *Climate) warn(message units.Text) {
	c.Warnings = append(c.Warnings, data.Warning{Key: "climate", Message: message})
}

// ClimateOfPlace returns the climate of a named place of the embedded table,
// or the *data.Error of data.FindClimatePlace.
func ClimateOfPlace(name string) (Climate, error) {
	p, err := data.FindClimatePlace(name)
	if err != nil {
		return Climate{}, err
	}
	site, err := NewSite(units.Angle(p.LatDeg)*units.Degree, units.Angle(p.LonDeg)*units.Degree, units.Length(p.ElevationM))
	if err != nil {
		return Climate{}, err
	}
	c := Climate{Site: site, Place: p.String(), GHI: p.GHI, TempC: p.TempC, SizingGHI: p.GHI, Source: p.Source}
	if strings.HasPrefix(p.Source, "NASA SSE") {
		c.TempError = airError
		c.rate(0)
	}
	return c, nil
}

// AtAltitude returns the climate moved to another altitude: air temperature by
// lapseRate, sun unchanged; its error falls to that of a known height.
func (c Climate) AtAltitude(z units.Length) Climate {
	if c.TempError == airErrorOfCell {
		c.TempError = airError
	}
	rise := (z - c.Site.Altitude).In(units.Metre)
	c.Site.Altitude = z
	for m := range c.TempC {
		c.TempC[m] -= lapseRate * rise
	}
	return c
}

// mostClearness is the monthly clearness that no place on Earth reaches: the
// clearest desert and ice months have 0.82.
const mostClearness = 0.85

// ClimateFromFile returns the climate that a person typed, for a site. It is
// used as given, without winter allowance. A month of a clearness above 0.85 or
// below 0.10 is a *data.Error with the line, and a guess at what went wrong.
func ClimateFromFile(site Site, file data.ClimateFile) (Climate, error) {
	c := Climate{Site: site, GHI: file.GHI, SizingGHI: file.GHI, TempC: file.TempC, Source: file.File}
	c.Warnings = append(c.Warnings, file.Warnings...)
	m, fault := notOnEarth(site, file.GHI)
	for d, h0 := range MonthlyExtraterrestrial(site.Latitude) {
		if fault == nil && h0 >= dimMonth && file.GHI[d] < dullest*h0 {
			m, fault = d, &data.Error{Message: "darker than any month on Earth",
				Allowed: units.Sprintf("from %.2f at latitude %.1f in this month", dullest*h0, site.Latitude.In(units.Degree)),
				Hint:    "the column is the mean of a day in kWh/m2; a month that was not measured cannot be left at 0"}
		}
	}
	if fault != nil {
		fault.File, fault.Line, fault.Column = file.File, file.Lines[m], file.Columns[m]
		fault.Key, fault.Found = "ghi_kwh_per_m2_day", units.Sprintf("%g", file.GHI[m])
		return Climate{}, fault
	}
	return c, nil
}

// notOnEarth returns the first month whose clearness is above mostClearness and
// its fault, with a guess at the reason; nil where there is none.
func notOnEarth(site Site, ghi [12]float64) (month int, fault *data.Error) {
	excess := func(latitude units.Angle, scale float64) int {
		for m, h0 := range MonthlyExtraterrestrial(latitude) {
			if !(ghi[m]*scale <= mostClearness*h0+leastSun) {
				return m
			}
		}
		return -1
	}
	m := excess(site.Latitude, 1)
	guess := "the column is the mean of a day in kWh/m2, not a month's sum"
	switch {
	case m < 0:
		return m, nil
	case excess(-site.Latitude, 1) < 0:
		guess = "the figures fit the other half of the Earth: is the sign of the latitude right?"
	case excess(site.Latitude, 1/3.6) < 0:
		guess = "are the figures in MJ/m2? Divide by 3.6 for kWh/m2"
	}
	h0 := MonthlyExtraterrestrial(site.Latitude)[m]
	return m, &data.Error{Hint: guess,
		Message: units.Sprintf("month %d is brighter than the sky allows: %.2f of the sun outside the atmosphere (%.2f kWh/m2 a day)",
			m+1, ghi[m]/math.Max(h0, 0.01), h0),
		Allowed: units.Sprintf("up to %.2f at latitude %.1f in this month", mostClearness*h0, site.Latitude.In(units.Degree))}
}
