package data

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"
)

// plainColumns are the columns of a plain weather file: the time, then what figureOf
// counts. Cells may be empty, as values may be missing.
var plainColumns = []column{
	{name: "time", also: []string{"date", "datetime", "timestamp", "dateandtime", "timeutc", "localtime"}},
	{name: "ghi", number: true, also: []string{"global", "globalhorizontal", "globalhorizontalirradiance",
		"globalirradiance", "irradiance", "g"}},
	{name: "dni", number: true, empty: true, also: []string{"beam", "direct", "directnormal", "beamnormal", "directnormalirradiance"}},
	{name: "dhi", number: true, empty: true, also: []string{"diffuse", "diffusehorizontal", "diffusehorizontalirradiance"}},
	{name: "temperature", number: true, also: []string{"temp", "t", "air", "airtemperature", "tempair", "tair", "drybulb", "temp2m"}},
}

const plainHeadings = "time, ghi and temperature, each with its unit, such as time,ghi (W/m2),temperature (C); dni and dhi if known"

// plain reads a plain CSV headed time, ghi, temperature and, if known, dni and
// dhi, in any order, units as in ghi (W/m2), ghi_w_per_m2 or ghi [W/m2]. Times
// are ISO 8601. The first one shows what they mark: rows start at 00:00, end at
// the first step, or lie in its middle. Comment lines such as
//
//	# latitude: 52.4
//	# longitude: 13.1
//	# elevation: 60
//	# utc_offset: 1
//
// say where and by what clock. Times of a day only make a daily file.
func (b *weatherBuilder) plain(text string) {
	b.w.Format = "CSV"
	s, err := readSheet(b.w.File, strings.NewReader(text), maxRows, &b.faults)
	if err != nil {
		b.faults.Add(Faults(err)[0])
		return
	}
	columns, unitOf := b.plainColumns(s)
	if !b.faults.Empty() {
		return
	}
	b.plainComments(s)
	times := b.plainTimes(s, columns[0].at)
	if !b.faults.Empty() {
		return
	}
	if len(times) < 2 {
		b.fail(s.heads[0].line, "the file has no rows of weather", "", "a year of hours or days")
		return
	}
	lead, ok := b.plainStep(s, times)
	if !ok {
		return
	}
	dni, dhi := &columns[1+beam], &columns[1+diffuse]
	b.beam = dni.at >= 0 && dhi.at >= 0 && b.w.Step == StepHour
	if (dni.at >= 0 || dhi.at >= 0) && !b.beam {
		b.warn("beam and diffuse are used only together and by the hour: they are split from the global instead")
		dni.at, dhi.at = -1, -1
	}
	b.plainRows(s, columns, unitOf, times, lead)
}

// plainColumns finds the columns and their units. Others are not read, as loggers
// bring many.
func (b *weatherBuilder) plainColumns(s *sheet) (columns []column, unitOf []string) {
	columns, unitOf = slices.Clone(plainColumns), make([]string, len(plainColumns))
	for i := range columns {
		columns[i].at = -1
	}
	var unread []string
	for i, h := range s.heads {
		name, unit := splitPlain(h.text)
		c := named(columns, name)
		switch {
		case c == nil:
			unread = append(unread, h.text)
			continue
		case c.at >= 0:
			h.key = c.name
			b.faults.Add(s.badCell(&h, &Error{Message: "the column stands twice, first as " + s.heads[c.at].text, Allowed: plainHeadings}))
			continue
		}
		c.at = i
		unitOf[slices.IndexFunc(columns, func(one column) bool { return one.name == c.name })] = unit
	}
	for _, c := range columns {
		if c.at >= 0 || c.empty {
			continue
		}
		e := &Error{File: s.file, Line: s.heads[0].line, Key: c.name, Message: "the column is missing", Allowed: plainHeadings}
		if len(s.rows) == 12 {
			e.Hint = "twelve months are a climate file, headed month,ghi_kwh_per_m2_day,temp_c"
		}
		b.faults.Add(e)
	}
	if unread != nil {
		b.warn("columns not read: %s", strings.Join(unread, ", "))
	}
	return columns, unitOf
}

var plainUnit = regexp.MustCompile(`^(.+?)(?:[(\[,](.*?)[)\], ]*|_((?:w|kwh|mj)_per_m2.*|c))$`)

// splitPlain returns the name and the unit of a heading, "" where it has none.
func splitPlain(heading string) (name, unit string) {
	text := strings.ToLower(strings.TrimSpace(heading))
	if m := plainUnit.FindStringSubmatch(text); m != nil {
		return m[1], m[2] + strings.ReplaceAll(strings.ReplaceAll(m[3], "_per_", "/"), "_", "/")
	}
	return text, ""
}

// plainComments reads place and clock from comment lines above the rows.
func (b *weatherBuilder) plainComments(s *sheet) {
	said := map[string]string{}
	line := map[string]int{}
	for i, text := range s.lines[:min(len(s.lines), s.heads[0].line)] {
		comment, found := strings.CutPrefix(strings.TrimSpace(text), "#")
		if !found {
			continue
		}
		key, value, found := strings.Cut(comment, ":")
		if !found {
			key, value, _ = strings.Cut(comment, "=")
		}
		key = strings.ToLower(strings.TrimSpace(key))
		said[key], line[key] = strings.TrimSpace(value), i+1
	}
	if said["latitude"] != "" && said["longitude"] != "" {
		b.place(line["latitude"], said["latitude"], said["longitude"], said["elevation"])
	}
	b.clock(line["utc_offset"], said["utc_offset"])
}

// plainTimes reads the column of times. A zone that they carry settles the clock.
func (b *weatherBuilder) plainTimes(s *sheet, at int) (times []time.Time) {
	var r timeReader
	for _, row := range s.rows {
		t, ok := r.read(row[at].text)
		if !ok {
			b.faults.Add(s.badCell(&row[at], &Error{Message: "not a time that is understood",
				Allowed: "year first, such as 2023-01-31 14:00 or 2023-01-31T14:00+02:00"}))
		}
		if b.tooManyFaults() {
			return nil
		}
		times = append(times, t)
	}
	if r.zone != nil {
		b.w.UTCOffsetH, b.w.Clocked = r.offset.Hours(), true
	}
	return times
}

// plainStep finds how far apart the rows are and how much of the step lies
// before each time.
func (b *weatherBuilder) plainStep(s *sheet, times []time.Time) (lead time.Duration, ok bool) {
	// The commonest of the first steps: one slip must not decide.
	counts := map[time.Duration]int{}
	var step time.Duration
	for i := 1; i < min(len(times), 50); i++ {
		d := times[i].Sub(times[i-1])
		if counts[d]++; counts[d] > counts[step] {
			step = d
		}
	}
	minutes := int(step / time.Minute)
	line := s.rows[0][0].line
	switch {
	case step%time.Minute == 0 && minutes == minutesPerDay:
		b.w.Step = StepDay
	case step%time.Minute != 0 || minutes < 1 || minutes > 60 || 60%minutes != 0:
		b.fail(line, "rows are "+step.String()+" apart", "", "1, 2, 3, 4, 5, 6, 10, 12, 15, 20, 30 or 60 minutes, or a day")
		return 0, false
	}
	b.step = minutes
	first := times[0].Sub(time.Date(times[0].Year(), times[0].Month(), times[0].Day(), 0, 0, 0, 0, times[0].Location()))
	switch {
	case first == 0:
		return 0, true
	case b.w.Step == StepHour && first == step:
		b.warn("the first time is %s: times are taken to end their span", times[0].Format("15:04"))
		return step, true
	case b.w.Step == StepHour && first == step/2:
		b.warn("the first time is %s: times are taken to stand in the middle of their span", times[0].Format("15:04"))
		return step / 2, true
	}
	b.fail(line, "the record does not start with a day, so whether times start or end their span does not show", s.rows[0][0].text,
		fmt.Sprintf("a first row at 00:00 where times start their span, at %s where they end it", time.Time{}.Add(step).Format("15:04")))
	return 0, false
}

// plainRows reads the values.
func (b *weatherBuilder) plainRows(s *sheet, columns []column, unitOf []string, times []time.Time, lead time.Duration) {
	decimal := s.decimalMark(columns, &b.faults)
	var figures []weatherColumn
	for k, c := range columns[1:] {
		if c.at >= 0 {
			figures = append(figures, weatherColumn{heading: c.name, holds: figureOf(k), at: c.at, scale: b.plainScale(s, c, unitOf[k+1])})
		}
	}
	b.rows = make([]weatherRow, 0, len(s.rows))
	for i, cells := range s.rows {
		t, r := times[i].Add(-lead), newRow(cells[0].line)
		r.year, r.month, r.day, r.minute = t.Year(), int(t.Month()), t.Day(), t.Hour()*60+t.Minute()
		for k := range figures {
			c := &figures[k]
			at := &cells[c.at]
			if missingWords[strings.ToLower(at.text)] || decimal == noMark {
				continue // the mark is told once for the file
			}
			if _, err := decimal.value(at); err != nil {
				b.faults.Add(s.badCell(at, refused(err, "a plain number such as 12.5")))
				continue
			}
			b.figure(&r, c, strings.Replace(at.text, ",", ".", 1))
		}
		b.add(r)
		if b.tooManyFaults() {
			return
		}
	}
}

// plainScale returns what turns a column's unit into W/m² or kWh/m² a day. An
// energy within each step is spread over it.
func (b *weatherBuilder) plainScale(s *sheet, c column, unit string) float64 {
	scale, ok := sunScale(unit, b.step)
	switch {
	case c.name == "temperature":
		ok = slices.Contains([]string{"", "c", "degc", "°c", "celsius"}, strings.ReplaceAll(unit, " ", ""))
	case unit == "" && b.w.Step == StepDay:
		b.warn("assumed: %s is in kWh/m2 a day, as its heading names no unit", c.name)
		return 1
	case unit == "":
		b.warn("assumed: %s is in W/m2, as its heading names no unit", c.name)
		return 1
	}
	if !ok {
		h := s.heads[c.at]
		h.key = c.name
		b.faults.Add(s.badCell(&h, &Error{Message: "no such unit of " + c.name + " for rows of this step",
			Allowed: "W/m2 for hours, kWh/m2/day for days, C for the temperature"}))
	}
	return scale
}
