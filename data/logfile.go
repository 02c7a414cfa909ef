package data

import (
	"errors"
	"io"
	"slices"
	"strings"
	"time"

	"sunrill/data/units"
)

// LogRow is one dated test of a log: a bucket with its filling time, or a flow,
// and the watts if they were read.
type LogRow struct {
	Date    time.Time      // midnight UTC of the day
	Bucket  units.Volume   // 0 where the row does not say
	Time    units.Duration // to fill it; 0 where the row gives a flow
	Flow    units.Flow     // 0 where the row gives a time
	Power   units.Power    // 0 where it was not read
	Cleaned bool           // pump and line were cleaned before this test
	Line    int
	Column  int // of its time
}

// LogFile is a log of dated tests in the order of their days.
type LogFile struct {
	File       string
	Rows       []LogRow
	HasCleaned bool // the log has a column that says when the line was cleaned
	Warnings   []Warning
}

// maxTests is how many tests a log may have: one a day for 27 years.
const maxTests = 10_000

// logColumns are the columns of a log.
var logColumns = columnSet{
	of:       "a log of tests",
	headings: "date, then time (s) with bucket (L), or flow (L/h), and if known power (W), cleaned (yes), note",
	columns: []column{
		{name: "date", required: true, words: []string{"day"}},
		{name: "bucket", kind: units.KindVolume, words: []string{"volume", "bucketvolume"}, example: "L"},
		{name: "time", kind: units.KindTime, words: []string{"fillingtime", "filltime"}, bare: "seconds", example: "s"},
		{name: "flow", kind: units.KindFlow, words: []string{"q", "flowrate"}},
		{name: "power", kind: units.KindPower, words: []string{"p", "draw", "meter"}, bare: "watts"},
		{name: "cleaned", words: []string{"clean", "cleaning"}},
		{name: "note", words: []string{"notes", "remark", "remarks", "comment"}},
	},
}

// ReadLog returns the tests of a CSV log. Its headings are date, and time with
// or without bucket, or flow; power, cleaned and note if known; in any order,
// quantities with their unit as in time (s), time_s or time [s]; a time may also
// be minutes:seconds, as 0:22. Cells of quantities may be empty as long as each
// row holds a time or a flow. See Read
// for delimiters, comments and decimal marks.
//
// Dates are written 2026-03-14, 14.3.2026 or 14 Mar 2026; one with slashes is
// refused with both readings. All faults are returned at once, as joined
// *Error values.
func ReadLog(name string, r io.Reader) (LogFile, error) {
	l := LogFile{File: name}
	var faults FaultList
	s, err := readSheet(name, r, maxTests, &faults)
	if err != nil {
		return l, err
	}
	columns, ok := s.findColumns(&logColumns, &faults)
	_, timed := columns["time"]
	_, flows := columns["flow"]
	if ok && !timed && !flows {
		ok = false
		faults.Add(&Error{File: name, Line: s.heads[0].line, Message: "neither time nor flow is among the headings", Allowed: logColumns.headings})
	}
	if !ok {
		return l, faults.Err()
	}
	_, l.HasCleaned = columns["cleaned"]
	decimal := s.decimalMark(&logColumns, columns, &faults)
	for _, row := range s.rows {
		if one, ok := s.logRow(row, columns, decimal, &faults); ok {
			l.Rows = append(l.Rows, one)
		}
	}
	if len(s.rows) == 0 && faults.Empty() {
		faults.Add(&Error{File: name, Line: s.heads[0].line, Message: "there are no tests under the headings", Allowed: "at least one row"})
	}
	if !faults.Empty() {
		return LogFile{File: name}, faults.Err()
	}
	l.Warnings = s.warnings
	byDate := func(a, b LogRow) int { return a.Date.Compare(b.Date) }
	if !slices.IsSortedFunc(l.Rows, byDate) {
		l.Warnings = append(l.Warnings, Warning{File: name, Message: "the tests were not in the order of their days and have been sorted"})
		slices.SortStableFunc(l.Rows, byDate)
	}
	return l, nil
}

// logRow reads one test; all its faults are reported.
func (s *sheet) logRow(row []cell, columns map[string]placed, decimal mark, faults *FaultList) (LogRow, bool) {
	out := LogRow{Line: row[0].line, Column: row[columns["time"].at].column}
	good := true
	day := &row[columns["date"].at]
	var err error
	if out.Date, err = logDate(day.text); err != nil {
		good = false
		faults.Add(s.badCell(day, err, "a day such as 2026-03-14"))
	}
	for _, q := range []struct {
		name string
		to   *float64
	}{{"bucket", (*float64)(&out.Bucket)}, {"time", (*float64)(&out.Time)}, {"flow", (*float64)(&out.Flow)}, {"power", (*float64)(&out.Power)}} {
		p, ok := columns[q.name]
		if !ok || row[p.at].text == "" {
			continue
		}
		v, ok := 0.0, true
		if d, watch := units.ParseStopwatch(row[p.at].text); watch && q.name == "time" {
			v = float64(d)
		} else {
			v, ok = s.quantity(q.name, row, columns, decimal, faults)
		}
		good = good && ok
		if ok && v == 0 {
			good = false
			faults.Add(s.badCell(&row[p.at], errors.New("nothing was measured"), "a number above 0, or an empty cell"))
		}
		*q.to = v
	}
	if p, ok := columns["cleaned"]; ok {
		if out.Cleaned, ok = yesWord(row[p.at].text); !ok {
			good = false
			faults.Add(s.badCell(&row[p.at], errors.New("neither yes nor no"), "yes, no or an empty cell"))
		}
	}
	if good && (out.Time > 0) == (out.Flow > 0) {
		faults.Add(&Error{File: s.file, Line: out.Line, Found: s.line(out.Line), Message: "a test is one time or one flow", Allowed: "either of the two"})
		return out, false
	}
	return out, good
}

// yesWord reads yes, no and the empty cell.
func yesWord(text string) (yes, ok bool) {
	switch strings.ToLower(text) {
	case "yes", "y", "x", "true", "1":
		return true, true
	case "", "no", "n", "false", "0", "-":
		return false, true
	}
	return false, false
}

// logLayouts are the ways to write a day. The day stands first before points
// and month names in every country that writes them.
var logLayouts = []string{"2006-01-02", "2.1.2006", "2 Jan 2006", "2 January 2006", "2006/01/02"}

// logDate reads a day.
func logDate(text string) (time.Time, error) {
	for _, layout := range logLayouts {
		if t, err := time.Parse(layout, text); err == nil {
			if t.Year() < 1900 || t.Year() > 2200 {
				return t, errors.New("no pond is that old or that young")
			}
			return t, nil
		}
	}
	if t, err := time.Parse("2/1/2006", text); err == nil {
		if u, err := time.Parse("1/2/2006", text); err == nil && t != u {
			return t, errors.New("can be read two ways: as " + t.Format("2 Jan 2006") + " or as " + u.Format("2 Jan 2006"))
		}
		return t, nil
	}
	if t, err := time.Parse("1/2/2006", text); err == nil {
		return t, nil // only a month can be meant by the first number
	}
	if text == "" {
		return time.Time{}, errEmptyCell
	}
	return time.Time{}, errors.New("not a day of the calendar")
}
