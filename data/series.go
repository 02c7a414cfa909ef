package data

import (
	"cmp"
	"io"
	"time"

	"sunrill/data/units"
)

// Series is an hourly log of a panel and a load, complete and in order.
type Series struct {
	File      string
	PanelW    []float64 // after the controller, mean of each hour [W]
	LoadW     []float64 // at the battery's terminals, mean of each hour [W]
	Timed     bool      // the file says when
	FirstHour int       // hour of the year of 365 days of the first row; 0 where not Timed
	Warnings  []Warning
}

// seriesRow is a row of a log of hours.
type seriesRow struct {
	Panel units.Power `csv:"panel"`
	Load  units.Power `csv:"load"`
	Time  string      `csv:"time,omitempty"`
}

// leastSeries is a day.
const leastSeries = 24

// ReadSeries reads a log of hours headed panel (W),load (W): what came from the
// panel after its controller and what the load took at the battery's terminals.
// A column time, the start of each hour as 2023-01-31 14:00, puts the log on the
// clock and the calendar; 29 February is left out. Without it the first row is
// taken as the hour after midnight of 1 January.
//
// Refused are other columns, cells that are no number or negative, times that
// are not an hour apart and logs shorter than a day: all faults at once, as
// joined *Error values with line and column. A missing cell is never taken for
// a panel in the dark.
func ReadSeries(name string, r io.Reader) (*Series, error) {
	var faults FaultList
	rows, s, err := readRows[seriesRow](name, r, filePlan{of: "a log of hours", rows: maxRows,
		headings: "panel (W) and load (W), one row an hour, and time if known"}, &faults)
	if err != nil || rows == nil && !faults.Empty() {
		return nil, cmp.Or(err, faults.Err())
	}
	out := &Series{File: name}
	clock := seriesClock{sheet: s, faults: &faults, out: out}
	timed := s.has("time")
	for _, row := range rows {
		if timed && !clock.next(*row.cell("time")) || row.bad {
			continue
		}
		out.PanelW, out.LoadW = append(out.PanelW, float64(row.Row.Panel)), append(out.LoadW, float64(row.Row.Load))
	}
	if clock.leap > 0 {
		s.warn(0, "series", "29 February is left out: a year here has 365 days")
	}
	if !timed {
		s.warn(0, "series", "assumed: without a column time the first row is the hour from 00:00 to 01:00 of 1 January")
	}
	if n := len(rows); n < leastSeries && !s.dropped {
		faults.Add(&Error{File: name, Message: "the log is shorter than a day", Found: Plural(n, "row"), Allowed: "24 rows or more, one for each hour"})
	}
	out.Warnings = s.warnings
	return out, faults.Err()
}

// seriesClock follows the times of a log.
type seriesClock struct {
	sheet  *sheet
	faults *FaultList
	out    *Series
	layout string
	due    time.Time
	leap   int  // hours of 29 February
	lost   bool // a time could not be read; what follows it is not compared
}

// next reads the time of a row and reports whether the row counts.
func (c *seriesClock) next(at cell) bool {
	t, ok := c.parse(at)
	if !ok {
		c.lost = true
		return false
	}
	if !c.out.Timed {
		c.out.Timed, c.due = true, t
		if day, leap, _ := dayOf(int(t.Month()), t.Day()); !leap {
			c.out.FirstHour = 24*day + t.Hour()
		} else {
			c.out.FirstHour = 24 * day // the log opens with the first of March
		}
	}
	if !t.Equal(c.due) && !c.lost {
		c.faults.Add(&Error{File: c.sheet.file, Line: at.line, Column: at.column, Key: "time", Found: at.text,
			Message: "not an hour after the row before", Allowed: c.due.Format("2006-01-02 15:04")})
	}
	c.due, c.lost = t.Add(time.Hour), false
	if t.Month() == time.February && t.Day() == 29 {
		c.leap++
		return false
	}
	return true
}

// parse reads a time in the layout of the first, which must be a full hour.
func (c *seriesClock) parse(at cell) (time.Time, bool) {
	for _, layout := range plainLayouts {
		if c.layout != "" && layout != c.layout {
			continue
		}
		if t, err := time.Parse(layout, at.text); err == nil {
			c.layout = layout
			if t.Minute() == 0 && t.Second() == 0 {
				return t, true
			}
			break
		}
	}
	c.faults.Add(&Error{File: c.sheet.file, Line: at.line, Column: at.column, Key: "time", Found: at.text,
		Message: "not the start of an hour that is understood", Allowed: "year first and full hours, such as 2023-01-31 14:00"})
	return time.Time{}, false
}
