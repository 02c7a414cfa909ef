package data

import (
	"cmp"
	"embed"
	"encoding/csv"
	"io/fs"
	"slices"
	"strings"
	"sync"

	"github.com/gocarina/gocsv"
)

// To add a table, put name.csv here and into tables.go a row type and what gives its rows:
//
//	Batteries = shelve[Battery]("batteries", "What each kind of battery takes and gives")
//
// The row type has a csv tag for each column, as readRows asks, and a column named
// source that no row leaves empty. Lines that start with # before the heading
// say what the table is, from where and how it was read; Tables shows them.
// rowOf and findRow look a row up by name and suggest near ones. The test of the
// catalogue then reads the new table with the others.

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

// shelve enters the table of file name.csv into the catalogue and returns what gives its
// rows, which are read when they are first asked for.
func shelve[T any](name, title string) func() []T {
	return enterTable(name, title, func() ([]T, error) {
		records, s, err := readRows[T](name+".csv", strings.NewReader(embeddedText(name+".csv")), anyFile)
		rows := make([]T, len(records))
		for i, r := range records {
			rows[i] = r.Row
		}
		return rows, s.done(err)
	})
}

// enterTable enters a table into the catalogue and returns what gives its rows, read once.
// A table that cannot be read is a fault of the program: that then panics, and the test of
// the catalogue fails first.
func enterTable[T any](name, title string, read func() ([]T, error)) func() []T {
	once := sync.OnceValues(read)
	catalogue = append(catalogue, Table{Name: name, Title: title, check: func() error { _, err := once(); return err }})
	return func() []T {
		rows, err := once()
		if err != nil {
			panic("data: embedded table: " + err.Error())
		}
		return slices.Clone(rows)
	}
}

// Embedded returns the rows of keys.csv, kinds.csv or rules.csv, which package plan reads.
func Embedded[T any](file string) []T { return RowsOf[T](file, embeddedText(file)) }

// RowsOf returns the rows of a table that is embedded anywhere, without the notes above its
// heading. One that cannot be read is a fault of the program, and panics.
func RowsOf[T any](file, text string) (rows []T) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comment = '#'
	if err := gocsv.UnmarshalCSV(r, &rows); err != nil {
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
}

// Contents returns the cells of t as they stand in its file.
func (t Table) Contents() (c Contents) {
	s, err := newSheet(t.Name, strings.NewReader(embeddedText(t.Name+".csv")))
	if err = cmp.Or(err, s.read(1, maxRows)); err != nil {
		panic("data: embedded table: " + err.Error())
	}
	for _, line := range s.lines[:s.heads.line-1] {
		c.Notes = append(c.Notes, strings.TrimSpace(strings.TrimPrefix(line, "#")))
	}
	for _, row := range s.rows {
		c.Rows = append(c.Rows, row.cells)
	}
	c.Columns = s.heads.cells
	return c
}

func embeddedText(name string) string {
	raw, err := tableFiles.ReadFile(name)
	if err != nil {
		panic("data: embedded table: " + err.Error())
	}
	return string(raw)
}

//go:embed demo starter
var folders embed.FS

// Demo returns the built-in example: PlanFile and the files that it names.
// Place, pumps and prices are invented.
//
//	LoadPlan(PlanFile, LoadOptions{Open: FromFS(Demo())})
func Demo() fs.FS {
	sub, err := fs.Sub(folders, "demo")
	if err != nil {
		panic("data: " + err.Error())
	}
	return sub
}

// StarterFile returns the text of StarterCurve or StarterClimate: examples that
// run as they are and say in comments what belongs in their place. Any other
// name is "".
func StarterFile(name string) string {
	text, err := folders.ReadFile("starter/" + name)
	if err != nil {
		return ""
	}
	return string(text)
}

// Names of the files that stand beside a new plan.
const (
	StarterCurve   = "curve.csv"
	StarterClimate = "climate.csv"
)
