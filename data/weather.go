package data

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// Step is how far apart the values of a weather file are once read.
type Step int

// The steps of Weather. Shorter ones are averaged to hours.
const (
	StepHour  Step = iota // irradiance, mean of the hour [W/m²]
	StepDay               // irradiation [kWh/m² a day]
	StepMonth             // irradiation, means of the twelve calendar months [kWh/m² a day]
)

// Weather is a weather file as plain values, complete and in order: one for
// every hour or day from the first on, without 29 February, or one a month.
type Weather struct {
	File   string
	Format string // EPW, TMY3, NASA POWER or CSV
	Place  string // as the file names it

	Located        bool // the file says where it is
	LatDeg, LonDeg float64
	Elevated       bool // and how high
	ElevationM     float64

	Clocked    bool    // the file says what clock it keeps
	UTCOffsetH float64 // that clock less universal time [h]

	Step      Step
	FirstHour int // hour of the year of 365 days of the first value
	FirstYear int // 0 for typical years
	Typical   bool

	GHI      []float64 // global horizontal
	DNI, DHI []float64 // beam and diffuse [W/m²]; nil where the file has not both
	TempC    []float64 // air temperature [°C]

	Warnings []Warning // among them everything assumed
}

// ReadWeather reads a weather file of any of the formats: EPW, TMY3 CSV, NASA
// POWER CSV (hourly, daily, monthly) or a plain CSV headed time, ghi,
// temperature and, if known, dni and dhi. Which one it is shows in its first
// lines. Stamps are put on the hour that they belong to by the rules of the
// format, units and missing codes come from the header.
//
// A value that is missing is never taken for darkness. At most 2 % of a column
// and three days in a row are filled, each value with the mean of the same
// hour of the nearest day before and the nearest after that has it, within
// three days; a warning says how many. More is refused, with the count, and so
// are missing or double rows, records shorter than a year and figures that no
// place has: as joined *Error values with their lines.
func ReadWeather(file string, r io.Reader) (*Weather, error) {
	text, warnings, err := ReadText(file, r)
	if err != nil {
		return nil, err
	}
	b := &weatherBuilder{w: &Weather{File: file, Warnings: warnings}}
	first, _, _ := strings.Cut(text, "\n")
	second := nthLine(text, 2)
	switch {
	case strings.HasPrefix(first, "LOCATION,"):
		b.epw(text)
	case strings.HasPrefix(second, "Date (MM/DD/YYYY)"):
		b.tmy3(text)
	case strings.HasPrefix(first, "-BEGIN HEADER-"):
		b.power(text)
	case strings.HasPrefix(first, "YEAR,") || strings.HasPrefix(first, "PARAMETER,"):
		return nil, &Error{File: file, Line: 1, Message: "a NASA POWER file without its header: clock, units and missing code are unknown",
			Found: first, Allowed: "the file with its header, from -BEGIN HEADER- to -END HEADER-"}
	default:
		b.plain(text)
	}
	if err := b.faults.Err(); err != nil {
		return nil, err
	}
	b.finish()
	if err := b.faults.Err(); err != nil {
		return nil, err
	}
	return b.w, nil
}

// ReadWeatherBytes is ReadWeather of content in memory.
func ReadWeatherBytes(file string, content []byte) (*Weather, error) {
	return ReadWeather(file, bytes.NewReader(content))
}

// nthLine returns line n of text, counted from 1.
func nthLine(text string, n int) string {
	for ; n > 1; n-- {
		_, rest, found := strings.Cut(text, "\n")
		if !found {
			return ""
		}
		text = rest
	}
	line, _, _ := strings.Cut(text, "\n")
	return line
}

// weatherRow is one row of a file with hours or parts of them; NaN stands for a
// missing value until finish fills it.
type weatherRow struct {
	year, month, day int // month and day from 1
	minute           int // of the day, at which the row's span starts
	line             int
	ghi, dni, dhi, t float64
}

// weatherBuilder gathers the rows of one file.
type weatherBuilder struct {
	w      *Weather
	faults FaultList
	rows   []weatherRow
	step   int // minutes a row
	beam   bool
}

// fail adds a fault at a line.
func (b *weatherBuilder) fail(line int, message, found, allowed string) {
	b.faults.Add(&Error{File: b.w.File, Line: line, Message: message, Found: found, Allowed: allowed})
}

// warn adds a warning.
func (b *weatherBuilder) warn(format string, args ...any) {
	b.w.Warnings = append(b.w.Warnings, Warning{File: b.w.File, Key: "weather", Message: fmt.Sprintf(format, args...)})
}

// place takes latitude, longitude, elevation and clock of a header; "" where it
// names no elevation or clock.
func (b *weatherBuilder) place(line int, lat, lon, elevation, offset string) {
	take := func(dst *float64, key, text string, low, high float64) {
		v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
		if err != nil || !(v >= low && v <= high) {
			b.faults.Add(&Error{File: b.w.File, Line: line, Key: key, Message: "no such " + key, Found: text,
				Allowed: fmt.Sprintf("%g to %g", low, high)})
			return
		}
		*dst = v
	}
	take(&b.w.LatDeg, "latitude", lat, -90, 90)
	take(&b.w.LonDeg, "longitude", lon, -180, 180)
	if elevation != "" {
		take(&b.w.ElevationM, "elevation", elevation, -500, 9000)
		b.w.Elevated = true
	}
	if offset != "" {
		take(&b.w.UTCOffsetH, "time zone", offset, -12, 14)
		b.w.Clocked = true
	}
	b.w.Located = true
}

// missingWords stand for a value that was not measured.
var missingWords = map[string]bool{"": true, "nan": true, "na": true, "n/a": true, "null": true, "none": true, "-": true, "--": true, "?": true}

// Missing codes: sun from -99 down (-99, -999, -9900, -9999) and from 9999 up
// (9999, 99999, 999900), temperature from -99 down and from 99.9 up.
const (
	missingBelow     = -99
	missingSunAbove  = 9999
	missingTempAbove = 99.9
)

// sun reads one irradiance or irradiation, scaled to W/m² or kWh/m², which no
// value may exceed by most. A trace below zero is an instrument's night.
func (b *weatherBuilder) sun(line int, key, text string, scale, most float64) float64 {
	v, ok := b.figure(line, key, text)
	if !ok || v <= missingBelow || v >= missingSunAbove {
		return math.NaN()
	}
	v *= scale
	switch {
	case v < 0 && v >= -0.02*most:
		return 0
	case v < 0 || v > most:
		e := &Error{File: b.w.File, Line: line, Key: key, Message: "no sun on Earth is like this", Found: text,
			Allowed: fmt.Sprintf("0 to %g here, or a missing code such as -999", most/scale)}
		if v > most && v/3.6 <= most {
			e.Hint = "are the figures in MJ/m2? 1 kWh is 3.6 MJ"
		}
		b.faults.Add(e)
	}
	return v
}

// temp reads one air temperature [°C].
func (b *weatherBuilder) temp(line int, text string) float64 {
	v, ok := b.figure(line, "temperature", text)
	if !ok || v <= missingBelow || v >= missingTempAbove {
		return math.NaN()
	}
	if v < -90 || v > 60 {
		b.faults.Add(&Error{File: b.w.File, Line: line, Key: "temperature", Message: "no air on Earth is like this", Found: text, Allowed: "-90 to 60 C"})
	}
	return v
}

// figure reads a number; ok is false where it is missing or none.
func (b *weatherBuilder) figure(line int, key, text string) (v float64, ok bool) {
	text = strings.TrimSpace(text)
	if v, err := strconv.ParseFloat(text, 64); err == nil && !math.IsNaN(v) && !math.IsInf(v, 0) {
		return v, true
	}
	if !missingWords[strings.ToLower(text)] {
		b.faults.Add(&Error{File: b.w.File, Line: line, Key: key, Message: "not a number", Found: text, Allowed: "a number, or a missing code such as -999"})
	}
	return 0, false
}

// tooManyFaults reports whether reading on would only repeat them.
func (b *weatherBuilder) tooManyFaults() bool { return b.faults.more > 0 }

// monthLengths are those of a common year; February may have its 29th.
var monthLengths = [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// dayOf returns the day, 0 to 364, of a year of 365 days. leap says that it is
// 29 February, ok that the day exists.
func dayOf(month, day int) (n int, leap, ok bool) {
	if month < 1 || month > 12 || day < 1 {
		return 0, false, false
	}
	if month == 2 && day == 29 {
		return 59, true, true
	}
	for _, length := range monthLengths[:month-1] {
		n += length
	}
	return n + day - 1, false, day <= monthLengths[month-1]
}

// splitCells cuts a line at its commas, without regard to quotes, into at most
// n cells: what follows the last is left out. Cells are appended to cells[:0].
func splitCells(line string, cells []string, n int) []string {
	cells = cells[:0]
	start := 0
	for i := 0; i < len(line); i++ { // cells are too short for strings.IndexByte to pay
		if line[i] != ',' {
			continue
		}
		if cells = append(cells, line[start:i]); len(cells) == n {
			return cells
		}
		start = i + 1
	}
	return append(cells, line[start:])
}

// allCells is more cells than any line has.
const allCells = MaxLineBytes

// eachLine calls visit with every line from the given number on that is not
// blank, until it returns false.
func eachLine(text string, from int, visit func(n int, line string) bool) {
	for n := 1; text != ""; n++ {
		line, rest, _ := strings.Cut(text, "\n")
		text = rest
		if n >= from && strings.TrimSpace(line) != "" && !visit(n, line) {
			return
		}
	}
}
