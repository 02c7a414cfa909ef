package data

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// plainColumn is a column that a plain weather file may have.
type plainColumn struct {
	name     string
	required bool
	words    []string           // other headings that people use
	units    map[string]float64 // to W/m² or °C, by squeezed unit
	perDay   map[string]float64 // to kWh/m² a day
}

var (
	sunUnits = map[string]float64{"w/m2": 1, "wh/m2": 1, "kw/m2": 1000, "kwh/m2": 1000, "kj/m2": 1 / 3.6, "mj/m2": 1000 / 3.6}
	dayUnits = map[string]float64{"kwh/m2": 1, "kwh/m2/day": 1, "kwh/m2/d": 1, "wh/m2": 0.001, "wh/m2/day": 0.001,
		"mj/m2": 1 / 3.6, "mj/m2/day": 1 / 3.6, "w/m2": 0.024}
	degrees = map[string]float64{"c": 1, "degc": 1, "°c": 1, "celsius": 1}
)

// plainColumns are the columns of a plain weather file.
var plainColumns = []plainColumn{
	{"time", true, []string{"date", "datetime", "timestamp", "dateandtime", "timeutc", "localtime"}, nil, nil},
	{"ghi", true, []string{"global", "globalhorizontal", "globalhorizontalirradiance", "globalirradiance", "irradiance", "g"}, sunUnits, dayUnits},
	{"temperature", true, []string{"temp", "t", "air", "airtemperature", "tempair", "tair", "drybulb", "temp2m"}, degrees, degrees},
	{"dni", false, []string{"beam", "direct", "directnormal", "beamnormal", "directnormalirradiance"}, sunUnits, dayUnits},
	{"dhi", false, []string{"diffuse", "diffusehorizontal", "diffusehorizontalirradiance"}, sunUnits, dayUnits},
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
	at, units := b.plainHeadings(s)
	if !b.faults.Empty() {
		return
	}
	b.plainComments(s)
	times := b.plainTimes(s, at[0])
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
	b.beam = at[3] >= 0 && at[4] >= 0 && b.w.Step == StepHour
	if (at[3] >= 0 || at[4] >= 0) && !b.beam {
		b.warn("beam and diffuse are used only together and by the hour: they are split from the global instead")
	}
	b.plainRows(s, at, units, times, lead)
}

// plainHeadings finds the columns and their units.
func (b *weatherBuilder) plainHeadings(s *sheet) (at [5]int, units [5]string) {
	at = [5]int{-1, -1, -1, -1, -1}
	var unread []string
	for i, h := range s.heads {
		k, unit := plainHeading(h.text)
		if k < 0 {
			unread = append(unread, h.text) // loggers bring many columns
			continue
		}
		if at[k] >= 0 {
			b.faults.Add(&Error{File: s.file, Line: h.line, Column: h.column, Key: plainColumns[k].name, Found: h.text,
				Message: "the column stands twice, first as " + s.heads[at[k]].text, Allowed: plainHeadings})
			continue
		}
		at[k], units[k] = i, unit
		if table := plainColumns[k].units; table != nil && unit != "" {
			_, known := table[unit]
			_, daily := plainColumns[k].perDay[unit]
			if !known && !daily {
				b.faults.Add(&Error{File: s.file, Line: h.line, Column: h.column, Key: plainColumns[k].name, Found: h.text,
					Message: "no such unit for " + plainColumns[k].name, Allowed: plainHeadings})
			}
		}
	}
	for k, c := range plainColumns {
		if at[k] >= 0 || !c.required {
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
	return at, units
}

// plainHeading returns the column that a heading names and its unit, squeezed;
// -1 where it names none.
func plainHeading(heading string) (k int, unit string) {
	text := strings.ToLower(strings.TrimSpace(heading))
	name := text
	if i := strings.IndexAny(text, "([,"); i > 0 {
		name, unit = text[:i], strings.Trim(text[i:], "()[], ")
	} else if stem, rest, found := strings.Cut(text, "_w_per_m2"); found && rest == "" {
		name, unit = stem, "w/m2"
	} else if stem, rest, found := strings.Cut(text, "_kwh_per_m2"); found {
		name, unit = stem, "kwh/m2"+strings.ReplaceAll(rest, "_", "/")
	} else if stem, rest, found := strings.Cut(text, "_mj_per_m2"); found {
		name, unit = stem, "mj/m2"+strings.ReplaceAll(rest, "_", "/")
	} else if stem, found := strings.CutSuffix(text, "_c"); found {
		name, unit = stem, "c"
	}
	name = strings.NewReplacer(" ", "", "_", "", "-", "").Replace(name)
	unit = strings.NewReplacer(" ", "", "^", "", "²", "2", "a day", "/day").Replace(unit)
	for k, c := range plainColumns {
		if name == c.name {
			return k, unit
		}
		if slices.Contains(c.words, name) {
			return k, unit
		}
	}
	return -1, ""
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

// plainLayouts are the times that a plain file may have.
var plainLayouts = []string{"2006-01-02 15:04:05", "2006-01-02T15:04:05", "2006-01-02 15:04", "2006-01-02T15:04",
	"2006-01-02T15:04:05Z07:00", "2006-01-02T15:04Z07:00", "2006-01-02 15:04:05Z07:00", "2006-01-02 15:04Z07:00", "2006-01-02"}

// plainTimes reads the column of times. One that carries its zone settles the
// clock for all.
func (b *weatherBuilder) plainTimes(s *sheet, at int) []time.Time {
	times := make([]time.Time, 0, len(s.rows))
	layout := ""
	var zone *time.Location
	for _, row := range s.rows {
		c := row[at]
		// 24:00 ends a day; time.Parse has no such hour.
		text, late := c.text, false
		if i := strings.Index(text, "24:00"); i >= 10 {
			text, late = text[:i]+"00:00"+text[i+5:], true
		}
		t, err := time.Parse(layout, text)
		for k := 0; (layout == "" || err != nil) && k < len(plainLayouts); k++ {
			if t, err = time.Parse(plainLayouts[k], text); err == nil {
				layout = plainLayouts[k]
			}
		}
		if err != nil {
			b.faults.Add(&Error{File: s.file, Line: c.line, Column: c.column, Key: "time", Message: "not a time that is understood", Found: c.text,
				Allowed: "year first, such as 2023-01-31 14:00 or 2023-01-31T14:00+02:00"})
			if b.tooManyFaults() {
				return nil
			}
			continue
		}
		if strings.HasSuffix(layout, "Z07:00") {
			if zone == nil {
				_, seconds := t.Zone()
				zone = time.FixedZone("", seconds)
				b.w.UTCOffsetH, b.w.Clocked = float64(seconds)/3600, true
			}
			t = t.In(zone)
		}
		if late {
			t = t.AddDate(0, 0, 1)
		}
		times = append(times, t)
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
func (b *weatherBuilder) plainRows(s *sheet, at [5]int, units [5]string, times []time.Time, lead time.Duration) {
	specs := make([]columnSpec, len(s.heads))
	for k := 1; k < 5; k++ {
		if at[k] >= 0 {
			specs[at[k]] = columnSpec{name: plainColumns[k].name, number: true, empty: true}
		}
	}
	for i := range specs {
		specs[i].empty = true
	}
	for _, row := range s.rows {
		for k := 1; k < 5; k++ {
			if at[k] >= 0 && missingWords[strings.ToLower(row[at[k]].text)] {
				row[at[k]].text = ""
			}
		}
	}
	s.plainNumbers(specs, &b.faults)
	if !b.faults.Empty() {
		return
	}
	most := float64(mostHour)
	if b.step < 60 {
		most = mostMoment
	}
	if b.w.Step == StepDay {
		most = mostDay
	}
	var scales [5]float64
	for k := range scales {
		scales[k] = b.plainScale(s, k, at[k], units[k])
	}
	b.rows = make([]weatherRow, 0, len(s.rows))
	for i, row := range s.rows {
		t := times[i].Add(-lead)
		r := weatherRow{year: t.Year(), month: int(t.Month()), day: t.Day(), minute: t.Hour()*60 + t.Minute(), line: row[at[0]].line,
			dni: math.NaN(), dhi: math.NaN()}
		r.ghi = b.sun(r.line, "ghi", row[at[1]].text, scales[1], most)
		r.t = b.temp(r.line, row[at[2]].text)
		if b.beam {
			r.dni = b.sun(r.line, "dni", row[at[3]].text, scales[3], most)
			r.dhi = b.sun(r.line, "dhi", row[at[4]].text, scales[4], most)
		}
		b.add(r)
		if b.tooManyFaults() {
			return
		}
	}
}

// plainScale returns what turns a column's unit into W/m² or kWh/m² a day. An
// energy within each step is spread over it.
func (b *weatherBuilder) plainScale(s *sheet, k, at int, unit string) float64 {
	if at < 0 || plainColumns[k].units == nil || plainColumns[k].name == "temperature" {
		return 1
	}
	name := plainColumns[k].name
	if b.w.Step == StepDay {
		if unit == "" {
			b.warn("assumed: %s is in kWh/m2 a day, as its heading names no unit", name)
			return 1
		}
		if scale, ok := plainColumns[k].perDay[unit]; ok {
			return scale
		}
	} else {
		if unit == "" {
			b.warn("assumed: %s is in W/m2, as its heading names no unit", name)
			return 1
		}
		if scale, ok := plainColumns[k].units[unit]; ok {
			if !strings.HasPrefix(unit, "w/") && !strings.HasPrefix(unit, "kw/") {
				scale *= 60 / float64(b.step)
			}
			return scale
		}
	}
	h := s.heads[at]
	b.faults.Add(&Error{File: s.file, Line: h.line, Column: h.column, Key: name, Found: h.text,
		Message: "this unit does not go with rows of this step", Allowed: "W/m2 for hours, kWh/m2/day for days"})
	return 1
}
