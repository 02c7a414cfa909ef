package report

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"strings"
	"unicode/utf8"

	"sunrill/cmd/internal/document"
)

// csvPage returns the tables of d with full precision: a page of one table as
// that table under a row of keys, a page of more as one tidy table of
// table, row, key, value, unit. The many points of a picture and the working stand in
// JSON. Rows count from 1.
func csvPage(d *document.Document, _ Options) ([]byte, error) {
	var page bytes.Buffer
	out := csv.NewWriter(&page)
	if tables := d.Tables(); len(tables) == 1 {
		writePlain(out, tables[0])
	} else {
		writeTidy(out, tables)
	}
	out.Flush()
	return page.Bytes(), out.Error()
}

// The writes below go to a csv.Writer, which keeps the first error for the
// caller to ask after Flush.

func writePlain(out *csv.Writer, t document.Table) {
	_ = out.Write(document.Each(t.Columns, func(c document.Column) string { return c.Key }))
	for _, row := range t.Rows {
		_ = out.Write(document.Each(row, cellCSV))
	}
}

func writeTidy(out *csv.Writer, tables []document.Table) {
	_ = out.Write([]string{"table", "row", "key", "value", "unit"})
	for _, t := range tables {
		for i, row := range t.Rows {
			for j, c := range row {
				unit := t.Columns[j].Unit.Symbol
				if c.IsText() {
					unit = ""
				}
				_ = out.Write([]string{t.Key, strconv.Itoa(i + 1), t.Columns[j].Key, cellCSV(c), defuse(unit)})
			}
		}
	}
}

// cellCSV returns c in full precision, or nothing where it is unknown.
func cellCSV(c document.Cell) string {
	if v, is := c.Value(); is {
		return document.FullPrecision(v)
	}
	if c.IsText() {
		return defuse(document.Clean(c.Words()))
	}
	return ""
}

// defuse returns s with an apostrophe before a first character that a
// spreadsheet would take for the start of a formula.
func defuse(s string) string {
	if first, _ := utf8.DecodeRuneInString(s); s != "" && strings.ContainsRune("=+-@＝＋－＠", first) {
		return "'" + s
	}
	return s
}
