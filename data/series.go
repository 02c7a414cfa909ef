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
	rows, s, err := readRows[seriesRow](name, r, filePlan{of: "a log of hours", rows: maxRows,
		headings: "panel (W) and load (W), one row an hour, and time if known"})
	if err != nil || rows == nil && !s.faults.Empty() {
		return nil, cmp.Or(err, s.faults.Err())
	}
	out := &Series{File: name, Timed: s.place("time") >= 0}
	for i, used := range out.follow(s, rows) {
		if row := rows[i]; used && !row.bad {
			out.PanelW, out.LoadW = append(out.PanelW, float64(row.Row.Panel)), append(out.LoadW, float64(row.Row.Load))
		}
	}
	if !out.Timed {
		s.warn(0, "series", "assumed: without a column time the first row is the hour from 00:00 to 01:00 of 1 January")
	}
	if n := len(rows); n < leastSeries && !s.dropped {
		s.fail(0, "", "the log is shorter than a day", Plural(n, "row"), "24 rows or more, one for each hour")
	}
	out.Warnings = s.warnings
	return out, s.faults.Err()
}

// follow compares the times of a log, where it has any, and returns which rows are
// used: not those of 29 February, nor those whose time cannot be read, after which the
// next is not compared.
func (out *Series) follow(s *sheet, rows []record[seriesRow]) []bool {
	used := make([]bool, len(rows))
	var times timeReader
	var due time.Time
	leap, lost := 0, true
	for i, row := range rows {
		if used[i] = true; !out.Timed {
			continue
		}
		at := s.place("time")
		t, ok := times.read(row.cells.cell(at))
		if !ok || t.Minute() != 0 || t.Second() != 0 {
			used[i], lost = false, true
			s.bad(row.cells, at, refused("year first and full hours, such as 2023-01-31 14:00",
				"not the start of an hour that is understood"))
			continue
		}
		day, inLeap, _ := dayOf(int(t.Month()), t.Day())
		if i == 0 {
			out.FirstHour = 24 * day // of 29 February, the log opens with the first of March
			if !inLeap {
				out.FirstHour += t.Hour()
			}
		}
		if !lost && !t.Equal(due) {
			s.bad(row.cells, at, refused(due.Format("2006-01-02 15:04"), "not an hour after the row before"))
		}
		if due, lost = t.Add(time.Hour), false; inLeap {
			used[i] = false
			leap++
		}
	}
	if leap > 0 {
		s.warn(0, "series", "29 February is left out: a year here has 365 days")
	}
	return used
}
