package data

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strconv"
	"strings"

	"github.com/gocarina/gocsv"
)

// Record is one row of a CSV file and the line that it stands on.
type Record[T any] struct {
	Line int
	Row  T

	cells []cell
}

// column returns where the cell under a heading stands, 0 where there is none.
func (r Record[T]) column(heading string) int {
	for _, c := range r.cells {
		if strings.EqualFold(c.key, heading) {
			return c.column
		}
	}
	return 0
}

// Read returns the rows of a CSV file whose headings are the `csv` tags of T,
// in any order and without regard to capitals. T is a struct of string, Number,
// Optional and types with UnmarshalText, all tagged. A tag with omitempty
// names a column that may be left out and whose cells may be empty; every
// other column and cell must be there. Unknown and double headings are
// refused. The decimal mark is settled for the whole file by any cell that
// shows it; where none does, a number such as 1,500 is refused with both
// readings. All faults are returned at once, as joined *Error values.
//
// gocsv fills the structs. It does not see the file but the checked cells,
// since by itself it takes 1,000 for 1 and passes NaN and missing columns.
func Read[T any](name string, r io.Reader) ([]Record[T], []Warning, error) {
	var faults FaultList
	s, err := readSheet(name, r, maxRows, &faults)
	if err != nil {
		return nil, nil, err
	}
	columns := matchColumns(s, columnsOf[T](), &faults)
	if !faults.Empty() && columns == nil {
		return nil, s.warnings, faults.Err()
	}
	s.plainNumbers(columns, &faults)
	if len(s.rows) == 0 && faults.Empty() {
		faults.Add(&Error{File: name, Line: s.heads[0].line, Message: "there are no rows under the headings", Allowed: "at least one row"})
	}
	if !faults.Empty() && len(s.rows) == 0 {
		return nil, s.warnings, faults.Err()
	}
	rows, err := fill[T](s, columns, &faults)
	if err != nil {
		return nil, s.warnings, err
	}
	return rows, s.warnings, faults.Err()
}

// columnSpec is what a struct field says of its column.
type columnSpec struct {
	name   string
	number bool // the cells are numbers, so commas in them are decimal marks
	empty  bool // cells may be empty and the column left out
}

func columnsOf[T any]() []columnSpec {
	t := reflect.TypeFor[T]()
	if t.Kind() != reflect.Struct {
		panic("data: Read of a type that is not a struct")
	}
	var specs []columnSpec
	for i := range t.NumField() {
		f := t.Field(i)
		name, options, _ := strings.Cut(f.Tag.Get("csv"), ",")
		if name == "" || name == "-" {
			panic(fmt.Sprintf("data: field %s of %s has no csv tag", f.Name, t))
		}
		c := columnSpec{name: name, empty: options == "omitempty"}
		switch {
		case f.Type == reflect.TypeFor[Number]() || f.Type == reflect.TypeFor[Optional]():
			c.number = true
		case f.Type.Kind() == reflect.String || reflect.PointerTo(f.Type).Implements(textUnmarshaler):
		default:
			panic(fmt.Sprintf("data: field %s of %s would be read loosely; use Number or Optional", f.Name, t))
		}
		specs = append(specs, c)
	}
	return specs
}

var textUnmarshaler = reflect.TypeFor[interface{ UnmarshalText([]byte) error }]()

// matchColumns returns the spec of each column of s, or nil with faults.
func matchColumns(s *sheet, specs []columnSpec, faults *FaultList) []columnSpec {
	names := make([]string, len(specs))
	at := map[string]columnSpec{}
	for i, c := range specs {
		names[i] = c.name
		at[strings.ToLower(c.name)] = c
	}
	allowed := strings.Join(names, ", ")
	seen := map[string]cell{}
	columns := make([]columnSpec, len(s.heads))
	good := true
	for i, h := range s.heads {
		c, ok := at[strings.ToLower(h.text)]
		if first, double := seen[c.name]; ok && double {
			good = false
			faults.Add(&Error{File: s.file, Line: h.line, Column: h.column, Key: h.text, Found: h.text,
				Message: "the column stands twice, first at column " + strconv.Itoa(first.column), Allowed: allowed})
			continue
		}
		if !ok {
			good = false
			e := &Error{File: s.file, Line: h.line, Column: h.column, Found: h.text, Message: "there is no such column", Allowed: allowed}
			if near := Nearest(h.text, names); near != "" {
				e.Hint = "perhaps " + near
			}
			faults.Add(e)
			continue
		}
		seen[c.name] = h
		columns[i] = c
	}
	for _, c := range specs {
		if _, ok := seen[c.name]; !ok && !c.empty {
			good = false
			faults.Add(&Error{File: s.file, Line: s.heads[0].line, Key: c.name, Message: "the column is missing", Allowed: allowed})
		}
	}
	if !good {
		return nil
	}
	return columns
}

// plainNumbers checks every cell and writes the numbers with a point.
func (s *sheet) plainNumbers(columns []columnSpec, faults *FaultList) {
	var m marks
	for _, row := range s.rows {
		for i := range row {
			if columns[i].number {
				m.look(&row[i], s.delimiter)
			}
		}
	}
	decimal := m.settle(s.file, faults)
	for _, row := range s.rows {
		for i := range row {
			c := &row[i]
			switch {
			case c.text == "" && columns[i].empty:
			case c.text == "":
				faults.Add(s.badCell(c, errEmptyCell, "a value"))
			case columns[i].number && decimal != noMark:
				if _, err := decimal.value(c); err != nil {
					faults.Add(s.badCell(c, err, "a plain number such as 12.5"))
					continue
				}
				c.text = strings.Replace(c.text, ",", ".", 1)
			}
		}
	}
}

func (s *sheet) badCell(c *cell, err error, allowed string) *Error {
	e := &Error{File: s.file, Line: c.line, Column: c.column, Key: c.key, Found: c.text, Message: err.Error(), Allowed: allowed, Err: err}
	if errors.Is(err, errThousands) {
		e.Hint = "write " + withoutThousands(c.text) + " for " + c.text
	}
	return e
}

// fill has gocsv read the checked cells into structs. Cells that their own
// type refuses become faults with their place in the file.
func fill[T any](s *sheet, columns []columnSpec, faults *FaultList) ([]Record[T], error) {
	if !faults.Empty() {
		return nil, nil
	}
	var plain bytes.Buffer
	out := csv.NewWriter(&plain)
	record := make([]string, len(columns))
	for i, c := range columns {
		record[i] = c.name
	}
	_ = out.Write(record) // a bytes.Buffer takes everything
	for _, row := range s.rows {
		for i := range row {
			record[i] = row[i].text
		}
		_ = out.Write(record)
	}
	out.Flush()
	var rows []T
	err := gocsv.UnmarshalWithErrorHandler(&plain, func(e *csv.ParseError) bool {
		c := &s.rows[e.Line-2][e.Column-1] // gocsv counts records from 2, columns from 1
		faults.Add(s.badCell(c, e.Err, ""))
		return true
	}, &rows)
	if err != nil {
		return nil, &Error{File: s.file, Message: "the rows cannot be read: " + err.Error(), Err: err}
	}
	records := make([]Record[T], len(rows))
	for i, row := range rows {
		records[i] = Record[T]{s.rows[i][0].line, row, s.rows[i]}
	}
	return records, nil
}
