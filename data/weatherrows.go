package data

import (
	"encoding/csv"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"sunrill/data/units"
)

// weatherRow is one row of a file with hours or parts of them; NaN stands for a
// missing value until finish fills it.
type weatherRow struct {
	year, month, day int // month and day from 1
	minute           int // of the day, at which the row's span starts
	line             int
	figures          [4]float64 // by figureOf
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
	b.failOf("", line, message, found, allowed)
}

// failOf adds a fault of what key names.
func (b *weatherBuilder) failOf(key string, line int, message, found, allowed string) {
	b.faults.Add(&Error{File: b.w.File, Line: line, Key: key, Message: message, Found: found, Allowed: allowed})
}

// warn adds a warning.
func (b *weatherBuilder) warn(format string, args ...any) {
	b.w.Warnings = append(b.w.Warnings, Warning{File: b.w.File, Key: "weather", Message: units.Say(format, args...)})
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
		b.failOf(key, line, "no such "+key, text, units.Sprintf("%g to %g", low, high))
		return
	}
	*dst = v
}

// missingWords stand for a value that was not measured.
var missingWords = map[string]bool{"": true, "nan": true, "na": true, "n/a": true, "null": true, "none": true,
	"-": true, "--": true, "?": true}

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

// figure reads the cell of a column into its row, sun scaled to W/m² or kWh/m². A
// trace of sun below zero is an instrument's night.
func (b *weatherBuilder) figure(row *weatherRow, c *weatherColumn, text string) {
	v, err := strconv.ParseFloat(plainMinus(text), 64)
	missing := v <= missingBelow || v >= missingSunAbove
	if c.holds == air {
		missing = v <= missingBelow || v >= missingTemp && v < 100 || v >= missingTempAbove
	}
	var message, allowed, hint string
	switch most := b.most(); {
	case err != nil || math.IsNaN(v) || math.IsInf(v, 0):
		if missingWords[strings.ToLower(plainMinus(text))] {
			return
		}
		message, allowed = "not a number", "a number, or a missing code such as -999"
	case missing:
		return
	case c.holds == air:
		if row.figures[air] = v; v >= -90 && v <= 60 {
			return
		}
		message, allowed = "no air on Earth is like this", "-90 to 60 C, or a missing code such as 99.9 or -999"
		if v > 180 && v < 340 {
			hint = "are the figures in kelvin? 0 C is 273.15 K"
		} else if v > 0 && v < 140 {
			hint = "are the figures in Fahrenheit? 0 C is 32 F"
		}
	default:
		if v *= c.scale; v < 0 && v >= -0.02*most {
			v = 0
		}
		if row.figures[c.holds] = v; v >= 0 && v <= most {
			return
		}
		message, allowed = "no sun on Earth is like this", units.Sprintf("0 to %g here, or a missing code such as -999", most/c.scale)
		if v > most && v/3.6 <= most {
			hint = "are the figures in MJ/m2? 1 kWh is 3.6 MJ"
		}
	}
	b.faults.Add(&Error{File: b.w.File, Line: row.line, Key: c.heading, Found: text, Message: message, Allowed: allowed, Hint: hint})
}

// most returns more sun than any place on Earth has in a step of the rows.
func (b *weatherBuilder) most() float64 {
	switch {
	case b.step < 60:
		return mostMoment
	case b.step == 60:
		return mostHour
	}
	return mostDay
}

// plainMinus returns a cell without blanks around it and with the minus of a
// keyboard for that of a typesetter, as every other reader takes it.
func plainMinus(text string) string { return strings.ReplaceAll(strings.TrimSpace(text), "−", "-") }

// weatherColumn is a column of a format. Its cells hold a figure or, where date is
// given, the numbers that it lists by their letters, divided by / or a colon: year,
// month, day, j for the day of the year, hour and n for the minute.
type weatherColumn struct {
	heading  string
	date     string
	holds    figureOf
	optional bool
	at       int
	scale    float64 // of sun, to W/m² or kWh/m²
}

// figureOf says which figure of a row a column holds.
type figureOf int

const (
	global figureOf = iota
	beam
	diffuse
	air
)

// weatherLayout is how the rows of a format are laid out.
type weatherLayout struct {
	columns []weatherColumn
	first   int  // line of the first row
	width   int  // cells of a row by its headings
	exact   bool // no row may have fewer or more
	lead    int  // minutes from the start of a row's span to its stamp
}

// read reads the rows of a file.
func (b *weatherBuilder) read(text string, l *weatherLayout) {
	least, limit := 0, allCells
	for _, c := range l.columns {
		least = max(least, c.at+1)
	}
	if !l.exact {
		limit = least
	}
	b.rows = make([]weatherRow, 0, hoursPerYear*60/min(b.step, 60))
	var cells []string
	eachLine(text, l.first, func(n int, line string) bool {
		if cells = splitCells(line, cells, limit); len(cells) < least || l.exact && len(cells) != l.width {
			b.fail(n, "the row has "+Plural(len(cells), "cell")+" under "+Plural(l.width, "heading"), line, "one cell for each heading")
		} else {
			b.row(n, cells, l)
		}
		return !b.tooManyFaults()
	})
}

// row reads the cells of line n.
func (b *weatherBuilder) row(n int, cells []string, l *weatherLayout) {
	row, ofYear := newRow(n), false
	var date [128]int
	for i := range l.columns {
		c := &l.columns[i]
		rest := cells[c.at]
		for _, letter := range c.date {
			text := rest
			if i := strings.IndexAny(rest, "/:"); i >= 0 {
				text, rest = rest[:i], rest[i+1:]
			}
			v, err := strconv.Atoi(strings.TrimSpace(text))
			if err != nil || v < -1_000_000 || v > 1_000_000 {
				b.fail(n, "not a whole number in the date", cells[c.at], "year, month, day and hour in figures")
				return
			}
			date[letter] = v
			ofYear = ofYear || letter == 'j'
		}
		if c.date == "" {
			b.figure(&row, c, rest)
		}
	}
	row.year, row.month, row.day = date['y'], date['m'], date['d']
	if ofYear {
		row.month, row.day = monthAndDay(row.year, date['j'])
	}
	row.minute = 60*date['h'] + date['n'] - l.lead
	b.add(row)
}

// newRow returns the row of line n with nothing measured.
func newRow(n int) weatherRow {
	return weatherRow{line: n, figures: [4]float64{math.NaN(), math.NaN(), math.NaN(), math.NaN()}}
}

// monthAndDay returns the date of day n, from 1, of a year; month 0 where the
// year has no such day.
func monthAndDay(year, n int) (month, day int) {
	t := time.Date(year, time.January, n, 0, 0, 0, 0, time.UTC)
	if n < 1 || t.Year() != year {
		return 0, n
	}
	return int(t.Month()), t.Day()
}

// heads returns the headings of line n, nil where they are no such line's.
func (b *weatherBuilder) heads(n int, line string) []string {
	heads := splitCells(line, nil, allCells)
	if len(heads) > maxColumns {
		b.faults.Add(TooMany(b.w.File, n, 0, "column", maxColumns))
		return nil
	}
	for i, h := range heads {
		heads[i] = strings.TrimSpace(h)
		if heads[i] != "" && slices.Contains(heads[:i], heads[i]) {
			b.fail(n, "the column stands twice", h, "each heading once")
		}
	}
	return heads
}

// find returns the columns with where they stand among the headings of line n,
// without optional ones that do not.
func (b *weatherBuilder) find(n int, heads []string, columns []weatherColumn) (found []weatherColumn) {
	var names []string
	for _, c := range columns {
		names = append(names, c.heading)
	}
	for _, c := range columns {
		if c.at = slices.Index(heads, c.heading); c.at >= 0 {
			found = append(found, c)
		} else if !c.optional {
			b.failOf(c.heading, n, "the column is missing", "", strings.Join(names, ", "))
		}
	}
	return found
}

// sunScale returns what turns a unit of rows of so many minutes into W/m², or into
// kWh/m² where they are days.
func sunScale(unit string, minutes int) (scale float64, ok bool) {
	u := strings.NewReplacer(" ", "", "-", "", "^", "", "²", "2", "aday", "/day", "hr", "h").Replace(strings.ToLower(unit))
	ends, hours := []string{"/hour", "/h"}, float64(minutes)/60
	if minutes == minutesPerDay {
		ends, hours = []string{"/day", "/d"}, 1000
	}
	for _, end := range ends {
		u = strings.TrimSuffix(u, end)
	}
	energy, is := map[string]float64{"wh/m2": 1, "kwh/m2": 1000, "kj/m2": 1 / 3.6, "mj/m2": 1000 / 3.6, "mj": 1000 / 3.6}[u]
	switch {
	case is:
		return energy / hours, true
	case u == "w/m2" && minutes == minutesPerDay:
		return 0.024, true
	case u == "w/m2":
		return 1, true
	case u == "kw/m2" && minutes != minutesPerDay:
		return 1000, true
	}
	return 0, false
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
