package report

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// WriteCSV prints the tables of d with full precision: a page of one table as
// that table under a row of keys, a page of more as one tidy table of
// table, row, key, value, unit. The many points of a picture stand in JSON. Rows count from 1.
// The working, where it is asked for, makes every page a tidy table.
func WriteCSV(w io.Writer, d *Document, _ Options) error {
	if err := d.check(); err != nil {
		return err
	}
	out := csv.NewWriter(w)
	tables := d.ownTables()
	switch working := d.ShowWorking && len(d.Working) > 0; {
	case working:
		writeTidy(out, tables)
		writeSteps(out, d.Working)
	case len(tables) == 1:
		writePlain(out, tables[0])
	default:
		writeTidy(out, tables)
	}
	out.Flush()
	return out.Error()
}

// The writes below go to a csv.Writer, which keeps the first error for the
// caller to ask after Flush.

func writePlain(out *csv.Writer, t Table) {
	heads := make([]string, len(t.Columns))
	for j, c := range t.Columns {
		heads[j] = c.Key
	}
	_ = out.Write(heads)
	for _, row := range t.Rows {
		cells := make([]string, len(row))
		for j, c := range row {
			cells[j] = c.csv()
		}
		_ = out.Write(cells)
	}
}

func writeTidy(out *csv.Writer, tables []Table) {
	_ = out.Write([]string{"table", "row", "key", "value", "unit"})
	for _, t := range tables {
		for i, row := range t.Rows {
			for j, c := range row {
				unit := t.Columns[j].Unit.Symbol
				if c.kind == textCell {
					unit = ""
				}
				_ = out.Write([]string{t.Key, strconv.Itoa(i + 1), t.Columns[j].Key, c.csv(), defuse(unit)})
			}
		}
	}
}

// writeSteps prints the working in rows of a tidy table, a step a row of it.
func writeSteps(out *csv.Writer, steps []Step) {
	for i, s := range steps {
		row := func(key, value, unit string) {
			_ = out.Write([]string{"working", strconv.Itoa(i + 1), key, value, defuse(unit)})
		}
		row("key", defuse(s.Key), "")
		row("what", defuse(Clean(s.What)), "")
		row("formula", defuse(s.Formula), "")
		for _, in := range s.Inputs {
			row("input."+in.Symbol, fullPrecision(in.Value), in.Unit.Symbol)
		}
		row("result", fullPrecision(s.Result), s.Unit.Symbol)
		row("source", defuse(Clean(s.Source)), "")
	}
}

// csv returns the cell for CSV: full precision, nothing where unknown.
func (c Cell) csv() string {
	switch c.kind {
	case numberCell:
		return fullPrecision(c.number)
	case unknownCell:
		return ""
	}
	return defuse(Clean(c.text))
}

// fullPrecision returns v in the fewest digits that read back as v, in the form
// that encoding/json gives it.
func fullPrecision(v float64) string {
	size := math.Abs(v)
	if size < residue {
		return "0"
	}
	if size < 1e-6 || size >= 1e21 {
		return strconv.FormatFloat(v, 'e', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// defuse returns s with an apostrophe before a first character that a
// spreadsheet would take for the start of a formula.
func defuse(s string) string {
	if first, _ := utf8.DecodeRuneInString(s); s != "" && strings.ContainsRune("=+-@＝＋－＠", first) {
		return "'" + s
	}
	return s
}
