package data

import (
	"fmt"
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
	at, line int        // where its span starts [minutes of years of 365 days]
	figures  [4]float64 // by figureOf
}

type weatherBuilder struct {
	*sheet
	w        *Weather
	format   weatherFormat
	units    map[string]string // that a header gives to headings; nil where they stand in these
	step     int               // minutes a row
	rows     []weatherRow
	leapDays int // left out
	beam     bool
}

// figureOf says which figure of a row a column holds.
type figureOf int

const (
	global figureOf = iota
	beam
	diffuse
	air
)

func (b *weatherBuilder) warn(format string, args ...any) {
	b.w.Warnings = append(b.w.Warnings, Warning{File: b.file, Key: "weather", Message: units.Say(format, args...)})
}

func (b *weatherBuilder) readRows() {
	if b.w.Step == StepMonth {
		b.readMonths()
		return
	}
	dates := len(b.format.dates)
	all := append(slices.Clone(b.format.dates), slices.Clone(figureColumns)...)
	for i := range all {
		all[i].at = -1
		all[i].empty = all[i].empty && !b.format.typical
	}
	b.plan = filePlan{headings: b.format.headings, others: true}
	if !b.findColumns(all) {
		return
	}
	var times []time.Time
	if b.format.name == "CSV" {
		if b.unread != "" {
			b.warn("columns not read: %s", b.unread)
		}
		if times = b.times(all[0].at); times == nil {
			return
		}
	}
	figures := all[dates:]
	b.beam = figures[beam].at >= 0 && figures[diffuse].at >= 0 && b.w.Step == StepHour
	if (figures[beam].at >= 0 || figures[diffuse].at >= 0) && !b.beam {
		if times != nil {
			b.warn("beam and diffuse are used only together and by the hour: they are split from the global instead")
		}
		figures[beam].at, figures[diffuse].at = -1, -1
	}
	decimal := point
	if times != nil {
		decimal = b.decimalMark()
	}
	b.readFigures(all[:dates], figures, times, decimal)
}

// readFigures reads the figures of each row and the time at which its span starts, by its
// dates where times does not hold it.
func (b *weatherBuilder) readFigures(dates, figures []column, times []time.Time, decimal mark) {
	var scales [4]float64
	for k, c := range figures {
		if c.at >= 0 && b.units != nil {
			c.name = b.heads.cell(c.at)
			c.written = b.units[c.name]
		}
		if c.at >= 0 {
			scales[k] = b.scale(figureOf(k), c.name, c.written, c.at)
		}
	}
	b.rows = make([]weatherRow, 0, len(b.sheet.rows))
	for i, r := range b.sheet.rows {
		one := newRow(r.line)
		for k, c := range figures {
			if c.at >= 0 {
				b.figure(&one, figureOf(k), r, c.at, scales[k], decimal)
			}
		}
		if times != nil {
			t := times[i]
			b.add(one, t.Year(), int(t.Month()), t.Day(), t.Hour()*60+t.Minute())
		} else {
			b.dated(one, r, dates)
		}
		if b.faults.more > 0 {
			return
		}
	}
}

func newRow(line int) weatherRow {
	return weatherRow{line: line, figures: [4]float64{math.NaN(), math.NaN(), math.NaN(), math.NaN()}}
}

// dated adds a row on the date that its cells give.
func (b *weatherBuilder) dated(one weatherRow, r row, dates []column) {
	var date [128]int
	for _, c := range dates {
		if c.at < 0 {
			continue
		}
		rest := r.cell(c.at)
		for _, letter := range c.date {
			text := rest
			if i := strings.IndexAny(rest, "/:"); i >= 0 {
				text, rest = rest[:i], rest[i+1:]
			}
			v, err := strconv.Atoi(strings.TrimSpace(text))
			if err != nil {
				b.bad(r, c.at, refused("year, month, day and hour in figures", "not a whole number in the date"))
				return
			}
			date[letter] = v
		}
	}
	month, day := date['m'], date['d']
	if n := date['j']; n != 0 {
		t := time.Date(date['y'], time.January, n, 0, 0, 0, 0, time.UTC)
		if month, day = int(t.Month()), t.Day(); t.Year() != date['y'] {
			month, day = 0, n
		}
	}
	b.add(one, date['y'], month, day, 60*date['h']+date['n']-b.format.lead)
}

// add appends a row whose date exists; 29 February is left out, as every year here has
// 365 days.
func (b *weatherBuilder) add(row weatherRow, year, month, day, minute int) {
	n, leap, ok := dayOf(month, day)
	switch {
	case !ok || minute < 0 || minute >= minutesPerDay || year < 0 || year > 9999:
		b.fail(row.line, "", "no such date or hour", fmt.Sprintf("%04d-%02d-%02d %02d:%02d", year, month, day, minute/60, minute%60),
			"a day of the calendar, hours within it")
	case leap && minute < b.step:
		b.leapDays++
	case !leap:
		row.at = (year*daysPerYear+n)*minutesPerDay + minute
		b.rows = append(b.rows, row)
	}
}

// times reads the times of a plain CSV and puts each at the start of its span: the first
// one shows what they mark, as rows start at 00:00, end at the first step, or lie in its
// middle. It finds how far apart they are; a zone that they carry settles the clock.
func (b *weatherBuilder) times(at int) (times []time.Time) {
	var r timeReader
	for _, row := range b.sheet.rows {
		t, ok := r.read(row.cell(at))
		if !ok {
			b.bad(row, at, refused("year first, such as 2023-01-31 14:00 or 2023-01-31T14:00+02:00", "not a time that is understood"))
		}
		if b.faults.more > 0 {
			return nil
		}
		times = append(times, t)
	}
	if len(times) < 2 {
		b.fail(b.heads.line, "", "the file has no rows of weather", "", "a year of hours or days")
	}
	if !b.faults.Empty() {
		return nil
	}
	if r.zone != nil {
		b.w.UTCOffsetH, b.w.Clocked = r.offset.Hours(), true
	}
	return b.startTimes(times, at)
}

// startTimes puts times at the starts of their spans.
func (b *weatherBuilder) startTimes(times []time.Time, at int) []time.Time {
	// The commonest of the first steps: one slip must not decide.
	counts := map[time.Duration]int{}
	var step time.Duration
	for i := 1; i < min(len(times), 50); i++ {
		d := times[i].Sub(times[i-1])
		if counts[d]++; counts[d] > counts[step] {
			step = d
		}
	}
	line := b.sheet.rows[0].line
	switch b.step = int(step / time.Minute); {
	case step%time.Minute == 0 && b.step == minutesPerDay:
		b.w.Step = StepDay
	case step%time.Minute != 0 || b.step < 1 || b.step > 60 || 60%b.step != 0:
		b.fail(line, "", "rows are "+step.String()+" apart", "", "1, 2, 3, 4, 5, 6, 10, 12, 15, 20, 30 or 60 minutes, or a day")
		return nil
	}
	var lead time.Duration
	y, m, d := times[0].Date()
	switch first := times[0].Sub(time.Date(y, m, d, 0, 0, 0, 0, times[0].Location())); {
	case first == 0:
		return times
	case b.w.Step == StepHour && first == step:
		lead = step
		b.warn("the first time is %s: times are taken to end their span", times[0].Format("15:04"))
	case b.w.Step == StepHour && first == step/2:
		lead = first
		b.warn("the first time is %s: times are taken to stand in the middle of their span", times[0].Format("15:04"))
	default:
		b.fail(line, "", "the record does not start with a day, so whether times start or end their span does not show",
			b.sheet.rows[0].cell(at), "a first row at 00:00 where times start their span, at "+
				time.Time{}.Add(step).Format("15:04")+" where they end it")
		return nil
	}
	for i := range times {
		times[i] = times[i].Add(-lead)
	}
	return times
}

// scale returns what turns a unit into W/m² or kWh/m² a day, or into °C. An energy within
// each step is spread over it. The unit is that of what a heading names.
func (b *weatherBuilder) scale(of figureOf, name, unit string, heading int) float64 {
	scale, ok := sunScale(unit, b.step)
	switch {
	case of == air:
		scale, ok = 1, slices.Contains([]string{"", "c", "degc", "°c", "celsius"}, strings.ToLower(strings.ReplaceAll(unit, " ", "")))
	case unit != "" || b.units != nil:
	case b.w.Step == StepDay:
		b.warn("assumed: %s is in kWh/m2 a day, as its heading names no unit", name)
		return 1
	default:
		b.warn("assumed: %s is in W/m2, as its heading names no unit", name)
		return 1
	}
	if !ok {
		e := refused("W/m2, Wh/m2 or MJ/m2 for hours, kWh/m2/day or MJ/m2/day for days, C for the temperature",
			"no such unit of %s for rows of this step", name)
		if e.Key, e.Found = name, unit; unit == "" {
			e.Message = "the header gives no unit of " + name
		}
		b.bad(b.heads, heading, e)
	}
	return scale
}

// sunScale returns what turns a unit of rows of so many minutes into W/m², or into
// kWh/m² where they are days.
func sunScale(unit string, minutes int) (scale float64, ok bool) {
	u := strings.NewReplacer(" per ", "/", " a day", "/day", " day", "/day", " ", "", "-", "", "^", "", "²", "2",
		"hr", "h").Replace(strings.ToLower(unit))
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

// figure reads a cell into its row, sun scaled to W/m² or kWh/m². A trace of sun below
// zero is an instrument's night.
func (b *weatherBuilder) figure(one *weatherRow, of figureOf, r row, at int, scale float64, decimal mark) {
	text := r.cell(at)
	if missingWords[strings.ToLower(text)] || decimal == noMark {
		return // the mark is told once for the file
	}
	v, err := decimal.value(text)
	var message, allowed, hint string
	switch most := b.most(); {
	case err != nil:
		b.bad(r, at, refused("a number such as 12.5, or a missing code such as -999", "%w", err))
		return
	case of == air:
		if v <= missingBelow || v >= missingTemp && v < 100 || v >= missingTempAbove {
			return
		}
		if one.figures[air] = v; v >= -90 && v <= 60 {
			return
		}
		message, allowed = "no air on Earth is like this", "-90 to 60 C, or a missing code such as 99.9 or -999"
		if v > 180 && v < 340 {
			hint = "are the figures in kelvin? 0 C is 273.15 K"
		} else if v > 0 && v < 140 {
			hint = "are the figures in Fahrenheit? 0 C is 32 F"
		}
	case v <= missingBelow || v >= missingSunAbove:
		return
	default:
		if v *= scale; v < 0 && v >= -0.02*most {
			v = 0
		}
		if one.figures[of] = v; v >= 0 && v <= most {
			return
		}
		message, allowed = "no sun on Earth is like this", units.Sprintf("0 to %g here, or a missing code such as -999", most/scale)
		if v > most && v/3.6 <= most {
			hint = "are the figures in MJ/m2? 1 kWh is 3.6 MJ"
		}
	}
	e := refused(allowed, "%s", message)
	e.Hint, e.Key = hint, figureColumns[of].name
	b.bad(r, at, e)
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
