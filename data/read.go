package data

import (
	"errors"
	"io"
	"reflect"
)

// Record is one row of a CSV file and the line that it stands on.
type Record[T any] struct {
	Line int
	Row  T

	sheet   *sheet
	columns []column
	cells   []cell
	bad     bool // a cell could not be read
}

// cell returns the cell of a column, nil where the file has no such column.
func (r Record[T]) cell(name string) *cell {
	if c := named(r.columns, name); c != nil && c.at >= 0 {
		return &r.cells[c.at]
	}
	return nil
}

// Read returns the rows of a CSV file whose columns are the fields of T with a csv
// tag (see column), in any order. Fields are strings, bools (yes and no), float64 and
// a Maybe of it, the quantities of package units, whose headings name their unit, and
// types with UnmarshalText. Unknown and double headings are refused. The decimal
// mark is settled for the whole file by any cell that shows it; where none does, a
// number such as 1,500 is refused with both readings. All faults are returned at
// once, as joined *Error values.
func Read[T any](name string, r io.Reader) ([]Record[T], []Warning, error) {
	var faults FaultList
	rows, s, err := readRows[T](name, r, filePlan{of: "this file", rows: maxRows}, &faults)
	switch {
	case err != nil:
		return nil, nil, err
	case len(s.rows) == 0 && faults.Empty():
		faults.Add(s.noRows("there are no rows under the headings", "at least one row"))
	}
	if !faults.Empty() {
		return nil, s.warnings, faults.Err()
	}
	return rows, s.warnings, nil
}

// readRows returns the rows of a file, also those of which a cell is bad, and the
// sheet that they come from. It adds what is wrong to faults, and returns none of the
// rows where that is a heading. The error is for what makes all unreadable.
func readRows[T any](name string, r io.Reader, plan filePlan, faults *FaultList) ([]Record[T], *sheet, error) {
	s, err := readSheet(name, r, plan.rows, faults)
	if err != nil {
		return nil, nil, err
	}
	columns := columnsOf(reflect.TypeFor[T]())
	if !s.findColumns(columns, plan, faults) {
		return nil, s, nil
	}
	s.columns = columns
	decimal := s.decimalMark(columns, faults)
	rows := make([]Record[T], len(s.rows))
	for i, cells := range s.rows {
		one := &rows[i]
		one.Line, one.sheet, one.columns, one.cells = cells[0].line, s, columns, cells
		row := reflect.ValueOf(&one.Row).Elem()
		for k := range columns {
			c := &columns[k]
			if c.at < 0 {
				continue
			}
			at := &cells[c.at]
			if c.number && decimal == noMark && at.text != "" {
				one.bad = true // told once for the file
			} else if err := c.value(row.FieldByIndex(c.index), at, decimal); err != nil {
				one.bad = true
				faults.Add(s.badCell(at, err))
			}
		}
	}
	return rows, s, nil
}

// has reports whether the file has a column.
func (s *sheet) has(name string) bool {
	c := named(s.columns, name)
	return c != nil && c.at >= 0
}

// noRows is the fault of a file that is all heading.
func (s *sheet) noRows(message, allowed string) *Error {
	return &Error{File: s.file, Line: s.heads[0].line, Message: message, Allowed: allowed}
}

// decimalMark settles the decimal mark from the cells of all numbers.
func (s *sheet) decimalMark(columns []column, faults *FaultList) mark {
	var m marks
	for _, row := range s.rows {
		for _, c := range columns {
			if c.number && c.at >= 0 {
				m.look(&row[c.at], s.delimiter)
			}
		}
	}
	return m.settle(s, faults)
}

// badCell returns the fault of a cell, with what err says is allowed.
func (s *sheet) badCell(c *cell, err error) *Error {
	e := &Error{File: s.file, Line: c.line, Column: c.column, Key: c.key, Found: c.text, Message: err.Error(), Err: err}
	if says, is := err.(*Error); is {
		e.Message, e.Allowed = says.Message, says.Allowed
	}
	if errors.Is(err, errThousands) {
		e.Hint = "write " + withoutThousands(c.text) + " for " + c.text
	}
	return e
}
