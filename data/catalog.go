package data

import (
	"bytes"
	"embed"
	"encoding/csv"
	"slices"
	"strings"
	"sync"
)

// To add a table, put name.csv here and a row type in a file of its own:
//
//	var batteryShelf = shelve[batteryRow]("batteries", "What each kind of battery takes and gives")
//
// The row type has a csv tag for each column, as Read asks, and a column named
// source that no row leaves empty. Lines that start with # before the heading
// say what the table is, from where and how it was read; Tables shows them.
// batteryShelf.rows() returns the rows; exported functions turn them into
// quantities. findRow looks a row up by name and suggests near ones. The test
// of the catalogue then reads the new table with the others. A table too large
// for rows of structs takes its bytes from tableFiles, so that it is embedded
// once, and enters itself with enterTable.

//go:embed *.csv
var tableFiles embed.FS

// Table is one of the embedded tables.
type Table struct {
	Name  string // as Tables sorts them, such as "pipes"
	Title string // what it holds, in one line
	check func() error
}

// catalogue holds every table that a file of this package has shelved.
var catalogue []Table

// shelf is an embedded table read once into rows of type T.
type shelf[T any] struct {
	rows func() []T
}

// shelve enters the table of file name.csv into the catalogue. It is read when
// rows is first called. A table that cannot be read is a fault of the program:
// rows then panics, and the test of the catalogue fails first.
func shelve[T any](name, title string) *shelf[T] {
	read := sync.OnceValues(func() ([]T, error) { return embedded[T](name + ".csv") })
	enterTable(name, title, func() error { _, err := read(); return err })
	return &shelf[T]{rows: func() []T {
		rows, err := read()
		if err != nil {
			panic("data: embedded table: " + err.Error())
		}
		return rows
	}}
}

// embedded reads an embedded file into rows as Read does.
func embedded[T any](file string) ([]T, error) {
	records, _, err := Read[T](file, strings.NewReader(embeddedText(file)))
	rows := make([]T, len(records))
	for i, r := range records {
		rows[i] = r.Row
	}
	return rows, err
}

// Embedded returns the rows of keys.csv or rules.csv, which package plan reads. A
// file that cannot be read is a fault of the program, and panics.
func Embedded[T any](file string) []T {
	rows, err := embedded[T](file)
	if err != nil {
		panic("data: " + err.Error())
	}
	return rows
}

// enterTable enters a table into the catalogue; check reads it and returns what
// is wrong with it. It returns true, to be called from a declaration.
func enterTable(name, title string, check func() error) bool {
	catalogue = append(catalogue, Table{Name: name, Title: title, check: check})
	return true
}

// Tables returns the embedded tables in the order of their names.
func Tables() []Table {
	all := slices.Clone(catalogue)
	slices.SortFunc(all, func(a, b Table) int { return strings.Compare(a.Name, b.Name) })
	return all
}

// TableNamed returns the table of that name, without regard to capitals. The
// error is an *Error that suggests near names.
func TableNamed(name string) (Table, error) {
	return findRow("table", name, Tables(), func(t Table) []string { return []string{t.Name} })
}

// Contents is a table as text.
type Contents struct {
	Notes   []string // the # lines above the heading, without the mark
	Columns []string
	Rows    [][]string
	Sources []string // the distinct cells of the column source, in order
}

// Contents returns the cells of t as they stand in its file.
func (t Table) Contents() Contents {
	raw, err := tableFiles.ReadFile(t.Name + ".csv")
	if err != nil {
		panic("data: embedded table: " + err.Error())
	}
	var c Contents
	for _, line := range strings.Split(string(raw), "\n") {
		note, ok := strings.CutPrefix(line, "#")
		if !ok {
			break
		}
		c.Notes = append(c.Notes, strings.TrimSpace(note))
	}
	in := csv.NewReader(bytes.NewReader(raw))
	in.Comment = '#'
	records, err := in.ReadAll()
	if err != nil || len(records) == 0 {
		panic("data: embedded table " + t.Name + " cannot be read")
	}
	c.Columns, c.Rows = records[0], records[1:]
	if at := slices.Index(c.Columns, "source"); at >= 0 {
		for _, row := range c.Rows {
			if !slices.Contains(c.Sources, row[at]) {
				c.Sources = append(c.Sources, row[at])
			}
		}
	}
	return c
}
