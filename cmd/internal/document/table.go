package document

import (
	"slices"
	"strconv"
	"strings"

	"sunrill/data/units"
)

// Table holds rows under columns. Every row has one cell a column.
type Table struct {
	Key     string // names the table in CSV and JSON: "duty"
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

	From string // of TableOf: the path of keys to the figure where Key is not it
}

// Cell is one entry of a table: a number, a text, or unknown with a reason.
// The zero value is an empty text.
type Cell struct {
	number float64
	text   units.Text // or why it is unknown
	kind   cellKind
}

type cellKind int

const (
	textCell cellKind = iota
	numberCell
	unknownCell
)

// Number returns a cell that holds v, in the unit of its column's key.
func Number(v float64) Cell { return Cell{number: settled(v), kind: numberCell} }

// Text returns a cell that holds s, which may come from a user's file, or is a sentence
// whose figures follow the page.
func Text[T ~string](s T) Cell {
	if told, is := any(s).(units.Text); is {
		return Cell{text: told}
	}
	return Cell{text: units.Say("%s", string(s))}
}

// Unknown returns a cell without a value; why says what is missing.
func Unknown[T ~string](why T) Cell { return Cell{text: units.Text(why), kind: unknownCell} }

// Value returns the number of the cell, if it holds one.
func (c Cell) Value() (v float64, is bool) { return c.number, c.kind == numberCell }

// IsText reports whether the cell holds a text, which may be empty.
func (c Cell) IsText() bool { return c.kind == textCell }

// Words returns the text of the cell in metric units, or why it is unknown.
func (c Cell) Words() string { return c.text.String() }

// Grid is a table as a page shows it: every text passed through what a renderer does
// with text from outside, and the notes under it.
type Grid struct {
	Heads, Units []string
	Numeric      []bool // columns of numbers, which are set to the right
	Rows         [][]string
	cells        [][]Cell // what is in Rows
	Notes        []string // footnotes first, then why cells are unknown
}

// Grid returns t in system, with numbers in the footnote columns, and without the columns
// and rows in which nothing is known. Under it stands why a row is left out, and of the columns
// that stay why a cell is unknown.
func (t Table) Grid(system units.System, clean func(string) string) Grid {
	var g Grid
	blank := func(c Cell) bool { return c.kind == unknownCell || c.IsText() && c.text == "" }
	kept := make([]bool, len(t.Columns))
	for j, c := range t.Columns {
		kept[j] = len(t.Rows) == 0 || slices.ContainsFunc(t.Rows, func(row []Cell) bool { return !blank(row[j]) })
		if kept[j] {
			g.Heads, g.Units = append(g.Heads, clean(c.Heading)), append(g.Units, clean(c.Unit.ShownSymbol(system)))
			g.Numeric = append(g.Numeric, t.Numeric(j))
		}
	}
	index, whys, of := map[units.Text]string{}, []string{}, map[string][]string{}
	for _, row := range t.Rows {
		var cells []Cell
		var shown []string
		told := len(t.Columns) < 2
		for j, c := range row {
			told = told || !blank(c) && (j > 0 || c.kind == numberCell)
		}
		for j, c := range row {
			if c.kind == unknownCell && c.text != "" && (kept[j] || !told) {
				why := clean(c.text.In(system))
				if _, known := of[why]; !known {
					whys, of[why] = append(whys, why), nil
				}
				if told && !slices.Contains(of[why], t.Columns[j].Heading) {
					of[why] = append(of[why], t.Columns[j].Heading)
				}
			}
			if t.Columns[j].Footnote && c.IsText() && c.text != "" {
				if index[c.text] == "" {
					index[c.text] = "(" + strconv.Itoa(len(index)+1) + ")"
					g.Notes = append(g.Notes, clean(index[c.text]+" "+c.Words()))
				}
				c = Text(index[c.text])
			}
			if kept[j] {
				cells, shown = append(cells, c), append(shown, c.shown(t.Columns[j], system, clean))
			}
		}
		if told {
			g.cells, g.Rows = append(g.cells, cells), append(g.Rows, shown)
		}
	}
	for _, why := range whys {
		if heads := clean(strings.Join(of[why], "; ")); heads != "" {
			why = heads + ": " + why
		}
		g.Notes = append(g.Notes, why)
	}
	return g
}

// Numeric reports whether column j of t holds numbers, so that it is set to
// the right.
func (t Table) Numeric(j int) bool {
	if t.Columns[j].Unit.Symbol != "" {
		return true
	}
	for _, row := range t.Rows {
		if row[j].kind == numberCell {
			return true
		}
	}
	return false
}

// shown returns cell c of column col as a page shows it.
func (c Cell) shown(col Column, system units.System, clean func(string) string) string {
	switch c.kind {
	case numberCell:
		return col.Unit.Figure(c.number, system, col.Digits)
	case unknownCell:
		return "-"
	}
	return clean(c.text.In(system))
}

// Columns returns the columns of TableOf by their keys and headings, each as
// "flow_m3_per_h: flow" or, where the figure has another path,
// "clean_flow_m3_per_h=clean.flow_m3_per_h: flow clean"; their units follow from the keys.
func Columns(keysAndHeadings ...string) []Column {
	columns := make([]Column, len(keysAndHeadings))
	for i, text := range keysAndHeadings {
		columns[i].Key, columns[i].Heading, _ = strings.Cut(text, ": ")
		columns[i].Key, columns[i].From, _ = strings.Cut(columns[i].Key, "=")
	}
	return columns
}

// Priced returns t with its sums in a currency.
func (t Table) Priced(currency Unit) Table {
	for i, c := range t.Columns {
		if IsMoney(c.Key) {
			t.Columns[i].Unit = currency
		}
	}
	return t
}
