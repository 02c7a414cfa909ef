package data

import (
	"encoding/csv"
	"math"
	"strconv"
	"strings"

	"sunrill/data/units"
)

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
	b.w.Warnings = append(b.w.Warnings, Warning{File: b.w.File, Key: "weather", Message: units.Sprintf(format, args...)})
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
	if offset == "" {
		return
	}
	b.header(&b.w.UTCOffsetH, line, "time zone", offset, -12, 14)
	b.w.Clocked = true
}

// header reads one figure of a header into dst.
func (b *weatherBuilder) header(dst *float64, line int, key, text string, low, high float64) {
	v, err := strconv.ParseFloat(plainMinus(text), 64)
	if err != nil || !(v >= low && v <= high) {
		b.faults.Add(&Error{File: b.w.File, Line: line, Key: key, Message: "no such " + key, Found: text,
			Allowed: units.Sprintf("%g to %g", low, high)})
		return
	}
	*dst = v
}

// missingWords stand for a value that was not measured.
var missingWords = map[string]bool{"": true, "nan": true, "na": true, "n/a": true, "null": true, "none": true, "-": true, "--": true, "?": true}

// Missing codes: sun from -99 down (-99, -999, -9900, -9999) and from 9999 up
// (9999, 99999, 999900), temperature from -99 down, 99.9 or 99.99, and from 999
// up: what lies between is a temperature in another unit.
const (
	missingBelow     = -99
	missingSunAbove  = 9999
	missingTemp      = 99.9
	missingTempAbove = 999
)

// More sun than any place on Earth has.
const (
	mostMoment = 2000 // a minute at the edge of a cloud [W/m²]
	mostHour   = 1500 // an hour [W/m²]
	mostDay    = 12   // a day [kWh/m²]; the brightest outside the atmosphere, at the pole, has 13
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
			Allowed: units.Sprintf("0 to %g here, or a missing code such as -999", most/scale)}
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
	if !ok || v <= missingBelow || v >= missingTemp && v < 100 || v >= missingTempAbove {
		return math.NaN()
	}
	if v < -90 || v > 60 {
		e := &Error{File: b.w.File, Line: line, Key: "temperature", Message: "no air on Earth is like this", Found: text,
			Allowed: "-90 to 60 C, or a missing code such as 99.9 or -999"}
		switch {
		case v > 180 && v < 340:
			e.Hint = "are the figures in kelvin? 0 C is 273.15 K"
		case v > 0 && v < 140:
			e.Hint = "are the figures in Fahrenheit? 0 C is 32 F"
		}
		b.faults.Add(e)
	}
	return v
}

// figure reads a number; ok is false where it is missing or none.
func (b *weatherBuilder) figure(line int, key, text string) (v float64, ok bool) {
	text = plainMinus(text)
	if v, err := strconv.ParseFloat(text, 64); err == nil && !math.IsNaN(v) && !math.IsInf(v, 0) {
		return v, true
	}
	if !missingWords[strings.ToLower(text)] {
		b.faults.Add(&Error{File: b.w.File, Line: line, Key: key, Message: "not a number", Found: text, Allowed: "a number, or a missing code such as -999"})
	}
	return 0, false
}

// plainMinus returns a cell without blanks around it and with the minus of a
// keyboard for that of a typesetter, as every other reader takes it.
func plainMinus(text string) string { return strings.ReplaceAll(strings.TrimSpace(text), "−", "-") }

// whole reads integers into fields and reports whether all are.
func (b *weatherBuilder) whole(line int, cells []string, fields ...*int) bool {
	for i, field := range fields {
		v, err := strconv.Atoi(strings.TrimSpace(cells[i]))
		if err != nil || v < -1_000_000 || v > 1_000_000 {
			b.fail(line, "not a whole number in the date", cells[i], "year, month, day and hour in figures")
			return false
		}
		*field = v
	}
	return true
}

// add appends a row whose date exists.
func (b *weatherBuilder) add(row weatherRow) {
	if _, _, ok := dayOf(row.month, row.day); !ok || row.minute < 0 || row.minute >= minutesPerDay {
		b.fail(row.line, "no such date or hour", stamp(&row), "a day of the calendar, hours within it")
		return
	}
	if len(b.rows) == maxRows {
		b.faults.Add(TooMany(b.w.File, row.line, 0, "row", maxRows))
	}
	if len(b.rows) <= maxRows {
		b.rows = append(b.rows, row)
	}
}

// tooManyFaults reports whether reading on would only repeat them.
func (b *weatherBuilder) tooManyFaults() bool { return b.faults.more > 0 }

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

// headings returns where each heading of line n stands and how many there are.
func (b *weatherBuilder) headings(n int, line string) (at map[string]int, width int) {
	heads := splitCells(line, nil, allCells)
	if len(heads) > maxColumns {
		b.faults.Add(TooMany(b.w.File, n, 0, "column", maxColumns))
		return nil, 0
	}
	at = map[string]int{}
	for i, h := range heads {
		h = strings.TrimSpace(h)
		if _, double := at[h]; double && h != "" {
			b.fail(n, "the column stands twice", h, "each heading once")
		}
		at[h] = i
	}
	return at, len(heads)
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

// quotedCells cuts a line of a header at the commas outside its quotes.
func quotedCells(line string) []string {
	in := csv.NewReader(strings.NewReader(line))
	in.LazyQuotes = true
	cells, err := in.Read()
	if err != nil {
		return splitCells(line, nil, allCells)
	}
	return cells
}

// allCells is more cells than any line has.
const allCells = maxLineBytes

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
