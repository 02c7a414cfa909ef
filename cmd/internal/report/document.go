package report

import (
	"fmt"
	"math"
	"slices"

	"sunrill/data"
)

// Document is one page: what a command found, in the order in which a reader
// needs it. The zero value is an empty page.
type Document struct {
	Title    Prose  // whose pond, or what the page is about
	Subtitle Prose  // where it was read: "plan kestrel.toml"
	Banner   Prose  // said loudly on top: the demo is not the reader's pond
	Answer   []Line // the short answer, the decision first

	Sections []Section

	Warnings []data.Warning // doubts that did not stop the answer
	Names    []string       // what the reader named, which warnings repeat as it stands
	NotYours []Assumption   // values still as a starter file had them
	Assumed  []Assumption   // values that nobody gave
	Cautions []Prose        // safety, always last on the page before the sources
	Sources  []string       // where the methods and tables come from

	Working     []Step // every figure with its formula
	ShowWorking bool   // whether the reader asked for it

	// Object is what JSON prints: a struct whose fields carry json tags with
	// the unit in the key, or nil to print the tables. Warnings, assumptions,
	// cautions, sources and working are added to it by the renderer.
	Object any
}

// Line is one line of the short answer: a label of one word or two and a
// plain sentence.
type Line struct {
	Label string
	Text  Prose
}

// Section is a heading with what stands under it.
type Section struct {
	Heading  string
	Prose    []Prose
	Tables   []Table
	Pictures []Picture
	Notes    []Prose // after the tables
}

// Table holds rows under columns. Every row has one cell a column.
type Table struct {
	Key     string // names the table in CSV and JSON: "duty"
	Title   string // heading above it, may be empty
	Columns []Column
	Rows    [][]Cell

	// Beside says that Object does not hold the numbers of the table, so that
	// JSON prints it under its key beside the fields of Object.
	Beside bool
}

// Column says what stands in one column of a table.
type Column struct {
	Key     string // with its unit, as in JSON: "flow_m3_per_h"
	Heading string // without the unit, which the renderer adds: "flow"
	Unit    Unit   // the unit of the numbers in the cells
	Digits  int    // significant digits on a page; 0 means 3

	// Footnote marks a column of long texts that many rows share, such as
	// sources: a page shows a number there, and the texts under the table.
	Footnote bool
}

// Assumption is a value that the reader did not give.
type Assumption struct {
	Key    string // plan key: "water.temperature"
	Value  Prose  // the value taken
	Why    Prose  // where it comes from, in a few words
	Source string // published source, if it has one
}

// Step is one figure of the working. Numbers are in the units named beside
// them, whatever the system of the page, so that the formula holds as it stands.
type Step struct {
	Key     string // JSON key of the figure; items of a list count from 1: "pumps.2.clean.turnover_h"
	What    string // the figure in a few words
	Formula string // "T = V / Q": an expression over the symbols of the inputs
	Inputs  []Input
	Result  float64
	Unit    Unit
	Source  string
}

// Input is one number that goes into a Step.
type Input struct {
	Symbol string
	Value  float64
	Unit   Unit
	What   string // what it is, in a few words
}

// Cell is one entry of a table: a number, a text, or unknown with a reason.
// The zero value is an empty text.
type Cell struct {
	number float64
	text   string
	kind   cellKind
	told   bool // text is Sunrill's own and its metric figures follow the page
}

type cellKind int

const (
	textCell cellKind = iota
	numberCell
	unknownCell
)

// Number returns a cell that holds v, in the unit of its column's key.
func Number(v float64) Cell { return Cell{number: v, kind: numberCell} }

// Text returns a cell that holds s, which may come from a user's file.
func Text(s string) Cell { return Cell{text: s} }

// ToldText returns a cell that holds s, words of Sunrill's own whose metric figures
// a page shows in its units.
func ToldText(s string) Cell { return Cell{text: s, told: true} }

// YesNo returns a cell that holds "yes" or "no".
func YesNo(b bool) Cell {
	if b {
		return Text("yes")
	}
	return Text("no")
}

// Unknown returns a cell without a value; why says what is missing.
func Unknown(why string) Cell { return Cell{text: why, kind: unknownCell} }

// NumberOr returns a cell that holds *v, or Unknown(why) where v is nil.
func NumberOr(v *float64, why string) Cell {
	if v == nil {
		return Unknown(why)
	}
	return Number(*v)
}

// tables returns every table of the page in order, those behind pictures last.
func (d *Document) tables() []Table { return append(d.ownTables(), d.pictureTables()...) }

// ownTables returns the tables of the sections.
func (d *Document) ownTables() []Table {
	var all []Table
	for _, s := range d.Sections {
		all = append(all, s.Tables...)
	}
	return all
}

// pictureTables returns the numbers behind the pictures.
func (d *Document) pictureTables() []Table {
	var all []Table
	for _, p := range d.Pictures() {
		all = append(all, p.table())
	}
	return all
}

// Pictures returns every picture of the page in order.
func (d *Document) Pictures() []Picture {
	var all []Picture
	for _, s := range d.Sections {
		all = append(all, s.Pictures...)
	}
	return all
}

// leaveOut takes off the page the pictures and steps of the working that cannot be
// made, and says so in a warning: the page has an answer without them.
func (d *Document) leaveOut() {
	without := func(key string, err error) bool {
		if err != nil {
			d.Warnings = append(d.Warnings, data.Warning{Key: key, Message: "left out, as it cannot be made of these figures"})
		}
		return err != nil
	}
	for i := range d.Sections {
		s := &d.Sections[i]
		s.Pictures = slices.DeleteFunc(s.Pictures, func(p Picture) bool { return without("picture "+p.Key, p.check()) })
	}
	d.Working = slices.DeleteFunc(d.Working, func(s Step) bool { return without("working "+s.Key, s.check()) })
}

// check returns an error that names the first cell, figure or argument that
// is not a finite number, and the first row with a wrong number of cells. No
// renderer prints anything of such a page.
func (d *Document) check() error {
	for _, t := range d.tables() {
		for i, row := range t.Rows {
			if len(row) != len(t.Columns) {
				return fmt.Errorf("report: table %s row %d has %d cells for %d columns", t.Key, i+1, len(row), len(t.Columns))
			}
			for j, c := range row {
				if c.kind == numberCell && !finite(c.number) {
					return fmt.Errorf("report: table %s row %d: %s is not a finite number", t.Key, i+1, t.Columns[j].Key)
				}
			}
		}
	}
	for _, p := range d.prose() {
		if err := p.check(); err != nil {
			return err
		}
	}
	return nil
}

// prose returns every piece of Prose on the page.
func (d *Document) prose() []Prose {
	all := []Prose{d.Title, d.Subtitle, d.Banner}
	for _, l := range d.Answer {
		all = append(all, l.Text)
	}
	for _, s := range d.Sections {
		all = append(all, s.Prose...)
		all = append(all, s.Notes...)
	}
	for _, list := range [][]Assumption{d.NotYours, d.Assumed} {
		for _, a := range list {
			all = append(all, a.Value, a.Why)
		}
	}
	return append(all, d.Cautions...)
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
