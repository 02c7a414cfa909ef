package data

import (
	"io"
	"slices"
	"time"

	"sunrill/data/units"
)

// LogRow is one dated test of a log: a bucket with its filling time, or a flow,
// and the watts if they were read. 0 stands for what a row does not say.
type LogRow struct {
	Date    LogDay         `csv:"date" also:"day"`
	Bucket  units.Volume   `csv:"bucket,omitempty" zero:"refused" also:"volume bucketvolume" unit:"L"`
	Time    units.Duration `csv:"time,omitempty" zero:"refused" also:"fillingtime filltime" bare:"seconds" unit:"s"` // to fill it
	Flow    units.Flow     `csv:"flow,omitempty" zero:"refused" also:"q flowrate"`
	Power   units.Power    `csv:"power,omitempty" zero:"refused" also:"p draw meter" bare:"watts"`
	Cleaned bool           `csv:"cleaned,omitempty" also:"clean cleaning"` // pump and line, before this test
	Note    string         `csv:"note,omitempty" also:"notes remark remarks comment"`
	Line    int
	Column  int // of its time
}

// LogDay is midnight UTC of a day.
type LogDay struct{ time.Time }

// LogFile is a log of dated tests in the order of their days.
type LogFile struct {
	File       string
	Rows       []LogRow
	HasCleaned bool // the log has a column that says when the line was cleaned
	Warnings   []Warning
}

// maxTests is how many tests a log may have: one a day for 27 years.
const maxTests = 10_000

// ReadLog returns the tests of a CSV log. Its headings are date, and time with
// or without bucket, or flow; power, cleaned and note if known; in any order,
// quantities with their unit as in time (s), time_s or time [s]; a time may also
// be minutes:seconds, as 0:22. Cells of quantities may be empty as long as each
// row holds a time or a flow. See readRows
// for delimiters, comments and decimal marks.
//
// Dates are written 2026-03-14, 14.3.2026 or 14 Mar 2026; one with slashes is
// refused with both readings. All faults are returned at once, as joined
// *Error values.
func ReadLog(name string, r io.Reader) (LogFile, error) {
	l := LogFile{File: name}
	const headings = "date, then time (s) with bucket (L), or flow (L/h), and if known power (W), cleaned (yes), note"
	rows, s, err := readRows[LogRow](name, r, filePlan{of: "a log of tests", headings: headings, rows: maxTests,
		none: "there are no tests under the headings", least: "at least one row"})
	if err != nil {
		return l, err
	}
	timed := s.place("time")
	if s.faults.Empty() && timed < 0 && s.place("flow") < 0 {
		s.fail(s.heads.line, "", "neither time nor flow is among the headings", "", headings)
	}
	if l.HasCleaned = s.place("cleaned") >= 0; !l.HasCleaned {
		s.warn(0, "cleaned", "assumed: no column says when the line was cleaned; it counts as clean at the first test, and again "+
			"where the flow came back")
	}
	for _, row := range rows {
		one := row.Row
		one.Line, one.Column = row.Line, s.at(row.cells, max(timed, 0)).Column
		if !row.bad && (one.Time > 0) == (one.Flow > 0) {
			s.fail(one.Line, "", "a test is one time or one flow", s.line(one.Line), "either of the two")
		}
		l.Rows = append(l.Rows, one)
	}
	if err = s.done(nil); err != nil {
		return LogFile{File: name}, err
	}
	byDate := func(a, b LogRow) int { return a.Date.Compare(b.Date.Time) }
	if !slices.IsSortedFunc(l.Rows, byDate) {
		s.warn(0, "", "the tests were not in the order of their days and have been sorted")
		slices.SortStableFunc(l.Rows, byDate)
	}
	l.Warnings = s.warnings
	return l, nil
}

// logLayouts are the ways to write a day. The day stands first before points
// and month names in every country that writes them.
var logLayouts = []string{"2006-01-02", "2.1.2006", "2 Jan 2006", "2 January 2006", "2006/01/02"}

// UnmarshalText reads a day.
func (d *LogDay) UnmarshalText(text []byte) error {
	bad := func(message string) error { return &Error{Message: message, Allowed: "a day such as 2026-03-14"} }
	for _, layout := range logLayouts {
		if t, err := time.Parse(layout, string(text)); err == nil {
			if d.Time = t; t.Year() < 1900 || t.Year() > 2200 {
				return bad("no pond is that old or that young")
			}
			return nil
		}
	}
	dayFirst, err1 := time.Parse("2/1/2006", string(text))
	monthFirst, err2 := time.Parse("1/2/2006", string(text))
	switch {
	case err1 == nil && err2 == nil && dayFirst != monthFirst:
		return bad("can be read two ways: as " + dayFirst.Format("2 Jan 2006") + " or as " + monthFirst.Format("2 Jan 2006"))
	case err1 == nil:
		d.Time = dayFirst
	case err2 == nil:
		d.Time = monthFirst // only a month can be meant by the first number
	case len(text) == 0:
		return bad(errEmptyCell.Error())
	default:
		return bad("not a day of the calendar")
	}
	return nil
}
