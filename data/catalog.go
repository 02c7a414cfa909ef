package data

import (
	"embed"
	"encoding/csv"
	"slices"
	"strings"
	"sync"

	"github.com/gocarina/gocsv"
)

// To add a table, put name.csv here and a row type in a file of its own:
//
//	var batteryShelf = shelve[batteryRow]("batteries", "What each kind of battery takes and gives")
//
// The row type has a csv tag for each column, as Read asks, and a column named
// source that no row leaves empty. Lines that start with # before the heading
// say what the table is, from where and how it was read; Tables shows them.
// batteryShelf() returns the rows. findRow looks a row up by name and suggests near
// ones. The test of the catalogue then reads the new table with the others. A table
// too large for Read enters itself with enterTable.

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

// shelve enters the table of file name.csv into the catalogue and returns what gives
// its rows, which are read when they are first asked for.
func shelve[T any](name, title string) func() []T {
	return enterTable(name, title, sync.OnceValues(func() ([]T, error) { return embedded[T](name + ".csv") }))
}

// enterTable enters a table into the catalogue and returns what gives its rows. A table
// that cannot be read is a fault of the program: that then panics, and the test of the
// catalogue fails first.
func enterTable[T any](name, title string, read func() ([]T, error)) func() []T {
	catalogue = append(catalogue, Table{Name: name, Title: title, check: func() error { _, err := read(); return err }})
	return func() []T {
		rows, err := read()
		if err != nil {
			panic("data: embedded table: " + err.Error())
		}
		return rows
	}
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

// Embedded returns the rows of keys.csv or rules.csv, which package plan reads.
func Embedded[T any](file string) []T { return RowsOf[T](file, embeddedText(file)) }

// RowsOf returns the rows of a table that is embedded anywhere. One that cannot be read
// is a fault of the program, and panics.
func RowsOf[T any](file, text string) (rows []T) {
	for strings.HasPrefix(text, "#") {
		_, text, _ = strings.Cut(text, "\n")
	}
	if err := gocsv.UnmarshalString(text, &rows); err != nil {
		panic("data: " + file + ": " + err.Error())
	}
	return rows
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
	raw := embeddedText(t.Name + ".csv")
	var c Contents
	for _, line := range strings.Split(raw, "\n") {
		note, ok := strings.CutPrefix(line, "#")
		if !ok {
			break
		}
		c.Notes = append(c.Notes, strings.TrimSpace(note))
	}
	in := csv.NewReader(strings.NewReader(raw))
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

// embeddedText returns an embedded file as it stands.
func embeddedText(name string) string {
	raw, err := tableFiles.ReadFile(name)
	if err != nil {
		panic("data: embedded table: " + err.Error())
	}
	return string(raw)
}
