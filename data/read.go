package data

import (
	"cmp"
	"io"
	"reflect"
)

// record is one row of a CSV file and the line that it stands on.
type record[T any] struct {
	Line int
	Row  T

	cells row
	bad   bool // a cell could not be read
}

var anyFile = filePlan{of: "this file", rows: maxRows, none: "there are no rows under the headings", least: "at least one row"}

// readRows returns the rows of a CSV file whose columns are the fields of T with a csv
// tag (see column), in any order. Fields are strings, bools (yes and no), float64 and
// a Maybe of it, the quantities of package units, whose headings name their unit, and
// types with UnmarshalText. Unknown and double headings are refused. The decimal
// mark is settled for the whole file by any cell that shows it; where none does, a
// number such as 1,500 is refused with both readings.
//
// It returns rows of which a cell is bad too, and the sheet that they come from, whose
// faults are what is wrong; none of the rows where that is a heading. The error is for
// what makes all unreadable.
func readRows[T any](name string, r io.Reader, plan filePlan) ([]record[T], *sheet, error) {
	s, err := newSheet(name, r)
	if err == nil {
		err = s.read(1, plan.rows)
	}
	if s.plan = plan; err != nil || !s.findColumns(columnsOf(reflect.TypeFor[T]())) {
		return nil, s, err
	}
	for k := range s.columns {
		s.columns[k].empty = s.columns[k].empty || plan.blanks
	}
	decimal := s.decimalMark()
	rows := make([]record[T], len(s.rows))
	for i, cells := range s.rows {
		one := &rows[i]
		one.Line, one.cells = cells.line, cells
		row := reflect.ValueOf(&one.Row).Elem()
		for k := range s.columns {
			c := &s.columns[k]
			if c.at < 0 {
				continue
			}
			if text := cells.cell(c.at); c.number && decimal == noMark && text != "" {
				one.bad = true // told once for the file
			} else if err := c.value(row.FieldByIndex(c.index), text, decimal); err != nil {
				one.bad = true
				s.bad(cells, c.at, err)
			}
		}
	}
	return rows, s, nil
}

// done returns err or else the faults of a file, among them that it is all heading.
func (s *sheet) done(err error) error {
	if err == nil && len(s.rows) == 0 && s.faults.Empty() {
		s.fail(s.heads.line, "", s.plan.none, "", s.plan.least)
	}
	return cmp.Or(err, s.faults.Err())
}

// place returns where a column stands, -1 where the file has none of that name.
func (s *sheet) place(name string) int {
	if c := named(s.columns, name); c != nil {
		return c.at
	}
	return -1
}

// decimalMark settles the decimal mark from the cells of all numbers.
func (s *sheet) decimalMark() mark {
	var m marks
	for _, row := range s.rows {
		for _, c := range s.columns {
			if c.number && c.at >= 0 {
				m.look(row, c.at, s.delimiter)
			}
		}
	}
	return m.settle(s)
}
