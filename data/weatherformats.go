package data

import (
	"encoding/csv"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"sunrill/data/units"
)

// weatherFormat is a kind of weather file. Its rows stand under headings; those of its
// dates come with the numbers that their cells hold, divided by / or a colon: y for the
// year, m month, d day, j day of the year, h hour, n minute, or t for a time by ISO 8601.
// The columns of figures are the same in every format.
type weatherFormat struct {
	name     string
	line     int    // that tells it from others
	opens    string // how that line begins
	dates    []column
	headings string                    // every heading it takes, in words
	typical  bool                      // a year of spliced months, whose years do not count
	lead     int                       // minutes from the start of a row's span to its stamp
	header   func(*weatherBuilder) int // reads what stands above the headings and returns their line
}

// weatherFormats are the formats; the last takes any file.
var weatherFormats = []weatherFormat{
	{name: "EPW", line: 1, opens: "LOCATION,", typical: true, lead: 60, header: (*weatherBuilder).epw,
		dates: []column{{name: "year", date: "y"}, {name: "month", date: "m"}, {name: "day", date: "d"}, {name: "hour", date: "h"}}},
	{name: "TMY3", line: 2, opens: "Date (MM/DD/YYYY)", typical: true, lead: 60, header: (*weatherBuilder).tmy3,
		dates:    []column{{name: "Date (MM/DD/YYYY)", date: "mdy"}, {name: "Time (HH:MM)", date: "hn"}},
		headings: "Date (MM/DD/YYYY), Time (HH:MM), GHI (W/m^2), DNI (W/m^2), DHI (W/m^2), Dry-bulb (C)"},
	{name: "NASA POWER", line: 1, opens: "-BEGIN HEADER-", header: (*weatherBuilder).power,
		headings: "YEAR, MO, DY or YEAR, DOY, for hours HR, then " + powerSun + " and " + powerTemp},
	{name: "CSV", header: (*weatherBuilder).comments,
		dates: []column{{name: "time", date: "t", also: []string{"date", "datetime", "timestamp", "dateandtime", "timeutc", "localtime"}}},
		headings: "time, ghi and temperature, each with its unit, such as time,ghi (W/m2),temperature (C); " +
			"dni and dhi if known"},
}

// powerSun and powerTemp are the parameters of NASA POWER that have to be there.
const (
	powerSun  = "ALLSKY_SFC_SW_DWN"
	powerTemp = "T2M"
)

// figureColumns are the columns of figures as figureOf counts them, by the names that
// TMY3, NASA POWER and loggers give them.
var figureColumns = []column{
	{name: "ghi", number: true, also: []string{"global", "globalhorizontal", "globalhorizontalirradiance",
		"globalirradiance", "irradiance", "g", "allskysfcswdwn"}},
	{name: "dni", number: true, empty: true, also: []string{"beam", "direct", "directnormal", "beamnormal",
		"directnormalirradiance", "allskysfcswdni"}},
	{name: "dhi", number: true, empty: true, also: []string{"diffuse", "diffusehorizontal",
		"diffusehorizontalirradiance", "allskysfcswdiff"}},
	{name: "temperature", number: true, also: []string{"temp", "t", "air", "airtemperature", "tempair", "tair", "drybulb",
		"temp2m", "t2m"}},
}

// epwFirst is the line of the first hour of an EPW file, after eight of header.
const epwFirst = 9

// epwHeadings are the first of the 35 columns of an EPW file, which has no headings
// (EnergyPlus Auxiliary Programs, Weather Data format).
const epwHeadings = "year,month,day,hour,minute,flags,temperature (C),dew point,humidity,pressure," +
	"etr,etrn,ir,ghi (W/m2),dni (W/m2),dhi (W/m2)"

// epw reads the header of EnergyPlus weather. Hours 1 to 24 end the span; the minute
// ends the part of an hour, where there are several.
func (b *weatherBuilder) epw() int {
	if !b.station("the LOCATION line is too short",
		"LOCATION, name, region, country, source, station, latitude, longitude, time zone, elevation") {
		return 0
	}
	for n := range epwFirst {
		line, isPeriods := strings.CutPrefix(b.line(n), "DATA PERIODS,")
		if !isPeriods {
			continue
		}
		periods, rest, _ := strings.Cut(line, ",")
		records, _, _ := strings.Cut(rest, ",")
		perHour, err := strconv.Atoi(strings.TrimSpace(records))
		switch {
		case strings.TrimSpace(periods) != "1":
			b.fail(n, "", "the file holds several periods", b.line(n), "one period of a year")
		case err != nil || perHour < 1 || perHour > 60 || 60%perHour != 0:
			b.fail(n, "", "no such number of records an hour", records, "1, 2, 3, 4, 6, 12 or 60")
		case perHour > 1:
			b.step = 60 / perHour
			b.format.lead += b.step
			b.format.dates = append(slices.Clone(b.format.dates), column{name: "minute", date: "n"})
		}
	}
	if len(b.lines) < epwFirst {
		b.fail(0, "", "the file has no rows of weather", "", "a year of hours or days")
		return 0
	}
	b.lines[epwFirst-2], b.wide = epwHeadings, strings.Count(epwHeadings, ",")+2
	return epwFirst - 1
}

// tmy3 reads the header of NREL's third typical years: the first line is the station, the
// second the headings; times 01:00 to 24:00 end the hour, in standard time (Wilcox & Marion 2008, NREL/TP-581-43156).
func (b *weatherBuilder) tmy3() int {
	b.station("not the station line of a TMY3 file", "station, name, state, time zone, latitude, longitude, elevation")
	return 2
}

// station reads the first line of a file, whose cells are what names lists, or says what
// is wrong with it.
func (b *weatherBuilder) station(fault, names string) bool {
	all, cells := strings.Split(names, ", "), quotedCells(b.line(1))
	if len(cells) < len(all) {
		b.fail(1, "", fault, b.line(1), names)
		return false
	}
	cell := func(name string) string { return cells[slices.Index(all, name)] }
	b.w.Place = strings.TrimSpace(cell("name"))
	b.place(1, cell("latitude"), cell("longitude"), cell("elevation"))
	b.clock(1, cell("time zone"))
	return true
}

// power reads the header of a CSV file of NASA POWER, hourly, daily, monthly or
// climatology: place, clock and units. Hourly rows start at their hour. In LST, POWER's
// clock is the whole-hour zone of the longitude.
func (b *weatherBuilder) power() int {
	b.units = map[string]string{}
	end := 1 + slices.IndexFunc(b.lines, func(line string) bool { return strings.HasPrefix(strings.TrimSpace(line), "-END HEADER-") })
	located, lat, lon, elevation, clock := 0, "", "", "", ""
	for i, line := range b.lines[:max(end-1, 0)] {
		if m := powerPlace.FindStringSubmatch(line); m != nil {
			located, lat, lon = i+1, m[1], m[2]
		} else if m := powerElevation.FindStringSubmatch(line); m != nil {
			elevation = m[1]
		} else if m := powerDates.FindStringSubmatch(line); m != nil {
			clock = m[1]
		} else if m := powerUnit.FindStringSubmatch(line); m != nil {
			b.units[m[1]] = m[2]
		}
	}
	switch {
	case end == 0:
		b.fail(1, "", "the header has no end", "", "a line -END HEADER-")
	case located == 0:
		b.fail(1, "", "the header does not say where", "", "a line Location: Latitude .. Longitude ..")
	default:
		b.place(located, lat, lon, elevation)
	}
	heads := strings.Split(strings.ReplaceAll(b.line(end+1), " ", ""), ",")
	is := func(heading string) bool { return slices.Contains(heads, heading) }
	switch {
	case !b.faults.Empty():
		return 0
	case heads[0] == "PARAMETER":
		b.w.Step, b.step = StepMonth, minutesPerDay
		return end + 1
	case len(heads) <= maxColumns && !is("HR") && !is("DY") && !is("DOY"):
		b.fail(end+1, "", "not the headings of a NASA POWER file", b.line(end+1),
			"YEAR,MO,DY,HR or YEAR,MO,DY or YEAR,DOY or PARAMETER, then the parameters")
		return 0
	}
	ofYear := is("DOY")
	b.format.dates = []column{{name: "YEAR", date: "y"}, {name: "MO", date: "m", empty: ofYear}, {name: "DY", date: "d", empty: ofYear},
		{name: "DOY", date: "j", empty: true}, {name: "HR", date: "h", empty: true}}
	if !is("HR") {
		b.w.Step, b.step = StepDay, minutesPerDay
	}
	b.w.Clocked, b.w.UTCOffsetH = true, math.Round(b.w.LonDeg/15)
	switch {
	case clock == "":
		b.warn("assumed: the header names no clock; taken as local solar time (LST)")
	case clock == "UTC":
		if b.w.UTCOffsetH = 0; b.w.Step == StepDay && math.Abs(b.w.LonDeg) > 30 {
			b.warn("days are cut at midnight UTC, not at the place's own midnight: dull days are spread over two")
		}
	}
	return end + 1
}

// What the lines of a header of NASA POWER say.
var (
	powerPlace     = regexp.MustCompile(`(?i)^\s*location:.*\slatitude:?\s+(\S+)(?:.*\slongitude:?\s+(\S+))?`)
	powerElevation = regexp.MustCompile(`(?i)^\s*elevation[^=]*=\s*(\S+)`)
	powerDates     = regexp.MustCompile(`^\s*Dates.*\b(LST|UTC)\b`)
	powerUnit      = regexp.MustCompile(`^\s*(\S+)\s.*\(([^(]*)\)\s*$`)
)

// comments reads place and clock of a plain CSV from comment lines above its headings,
// such as
//
//	# latitude: 52.4
//	# longitude: 13.1
//	# elevation: 60
//	# utc_offset: 1
func (b *weatherBuilder) comments() int {
	said, at := map[string]string{}, map[string]int{}
	for i, line := range b.lines {
		comment, is := strings.CutPrefix(strings.TrimSpace(line), "#")
		if !is && comment != "" {
			break
		}
		if cut := strings.IndexAny(comment, ":="); cut >= 0 {
			key := strings.ToLower(strings.TrimSpace(comment[:cut]))
			said[key], at[key] = strings.TrimSpace(comment[cut+1:]), i+1
		}
	}
	if said["latitude"] != "" && said["longitude"] != "" {
		b.place(at["latitude"], said["latitude"], said["longitude"], said["elevation"])
	}
	b.clock(at["utc_offset"], said["utc_offset"])
	return 1
}

// place takes latitude, longitude and elevation of a header; "" where it names no
// elevation.
func (b *weatherBuilder) place(line int, lat, lon, elevation string) {
	b.header(&b.w.LatDeg, line, "latitude", lat, -90, 90)
	b.header(&b.w.LonDeg, line, "longitude", lon, -180, 180)
	if elevation != "" {
		b.header(&b.w.ElevationM, line, "elevation", elevation, -500, 9000)
		b.w.Elevated = true
	}
	b.w.Located = true
}

// clock takes the hours that the clock of a header is ahead of universal time; ""
// where it names none.
func (b *weatherBuilder) clock(line int, offset string) {
	if offset != "" {
		b.header(&b.w.UTCOffsetH, line, "time zone", offset, -12, 14)
		b.w.Clocked = true
	}
}

func (b *weatherBuilder) header(dst *float64, line int, key, text string, low, high float64) {
	plain := strings.ReplaceAll(strings.TrimSpace(text), "−", "-") // the minus of a keyboard for that of a typesetter
	v, err := strconv.ParseFloat(plain, 64)
	if err != nil || !(v >= low && v <= high) {
		b.fail(line, key, "no such "+key, text, units.Sprintf("%g to %g", low, high))
		return
	}
	*dst = v
}

// quotedCells cuts a line of a header at the commas outside its quotes.
func quotedCells(line string) []string {
	in := csv.NewReader(strings.NewReader(line))
	in.LazyQuotes = true
	cells, err := in.Read()
	if err != nil {
		return strings.Split(line, ",")
	}
	return cells
}
