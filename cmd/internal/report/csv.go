package report

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"
)

// WriteCSV prints the tables of d with full precision: a page of one table as
// that table under a row of keys, a page of more as one tidy table of
// table, row, key, value, unit. The many points of a picture stand in JSON. Rows count from 1.
func WriteCSV(w io.Writer, d *Document, _ Options) error {
	if err := d.check(); err != nil {
		return err
	}
	out := csv.NewWriter(w)
	if tables := d.ownTables(); len(tables) == 1 {
		writePlain(out, tables[0])
	} else {
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
	if size := math.Abs(v); size != 0 && (size < 1e-6 || size >= 1e21) {
		return strconv.FormatFloat(v, 'e', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// defuse returns s with an apostrophe before a first character that a
// spreadsheet would take for the start of a formula.
func defuse(s string) string {
	if s != "" && strings.ContainsAny(s[:1], "=+-@") {
		return "'" + s
	}
	return s
}
