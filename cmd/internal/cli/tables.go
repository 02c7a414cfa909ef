package cli

import (
	"strconv"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data"
	"sunrill/data/units"
)

func tableNames() []string {
	return document.Each(data.Tables(), func(t data.Table) string { return t.Name })
}

// tablesPage shows the table that is named, or lists all.
func (r *request) tablesPage() (*document.Document, error) {
	if len(r.args) > 0 {
		return oneTable(r.args[0])
	}
	type row struct {
		Name  string `json:"name"`
		Rows  int    `json:"rows"`
		Title string `json:"title"`
	}
	var rows []row
	for _, t := range data.Tables() {
		rows = append(rows, row{t.Name, len(t.Contents().Rows), t.Title})
	}
	columns := document.Columns("name: name", "rows: rows", "title: what it holds")
	columns[1].Digits = page.ExactDigits
	return &document.Document{
		Title: document.Sentence("The embedded tables"),
		Sections: []document.Section{{Tables: []document.Table{document.TableOf("tables", rows, columns)},
			Notes: []document.Prose{document.Sentence(`"sunrill tables NAME" shows one with its sources.`)}}},
	}, nil
}

func oneTable(name string) (*document.Document, error) {
	table, err := data.TableNamed(name)
	if err != nil {
		return nil, &data.Error{Key: "table", Found: name, Message: "there is no such table", Allowed: strings.Join(tableNames(), ", ")}
	}
	c := table.Contents()
	t := document.Table{Key: table.Name}
	for _, column := range c.Columns {
		heading := strings.ReplaceAll(column, "_", " ")
		t.Columns = append(t.Columns, document.Column{Key: column, Heading: heading, Unit: document.None,
			Digits: page.ExactDigits, Footnote: column == "source"})
	}
	for _, row := range c.Rows {
		t.Rows = append(t.Rows, document.Each(row, tableCell))
	}
	return &document.Document{
		Title:    document.Plain(table.Title),
		Subtitle: document.Plain("table " + table.Name),
		Sections: []document.Section{{Prose: document.Each(c.Notes, document.Plain), Tables: []document.Table{t}}},
	}, nil
}

// tableCell returns a cell as a number where it is one as it stands, so that
// no name such as 1e5 loses its form.
func tableCell(text string) document.Cell {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || strconv.FormatFloat(v, 'f', -1, 64) != text {
		return document.Text(units.Text(text))
	}
	return document.Number(v)
}
