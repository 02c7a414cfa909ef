package cli

import (
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data"
)

func newTablesCmd(s *Streams) *cobra.Command {
	var page pageOptions
	cmd := &cobra.Command{
		Use:     "tables [NAME]",
		Short:   "Show the embedded tables with the source of every row",
		GroupID: groupCheck,
		Long: `Show the embedded tables with the source of every row. Without a name it lists
the tables.`,
		Example: `  $ sunrill tables
  $ sunrill tables pipes --format csv`,
		Args: atMostOne,
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return tableNames(), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error {
			return runPage(s, &page, func() (*document.Document, []string, error) {
				if len(args) == 0 {
					return listOfTables(), nil, nil
				}
				doc, err := oneTable(args[0])
				return doc, nil, err
			})
		},
	}
	addPageFlags(cmd, &page)
	return cmd
}

func tableNames() []string {
	var names []string
	for _, t := range data.Tables() {
		names = append(names, t.Name)
	}
	return names
}

func listOfTables() *document.Document {
	t := document.Table{Key: "tables", Columns: []document.Column{
		{Key: "name", Heading: "name", Unit: document.Word},
		{Key: "rows", Heading: "rows", Unit: document.None, Digits: page.ExactDigits},
		{Key: "title", Heading: "what it holds", Unit: document.Word},
	}}
	for _, table := range data.Tables() {
		t.Rows = append(t.Rows, []document.Cell{document.Text(table.Name), document.Number(float64(len(table.Contents().Rows))), document.Text(table.Title)})
	}
	return &document.Document{
		Title:    document.Sentence("The embedded tables"),
		Sections: []document.Section{{Tables: []document.Table{t}, Notes: []document.Prose{document.Sentence(`"sunrill tables NAME" shows one with its sources.`)}}},
	}
}

// oneTable shows a table.
func oneTable(name string) (*document.Document, error) {
	table, err := data.TableNamed(name)
	if err != nil {
		names := tableNames()
		return nil, &data.Error{Key: "table", Found: name, Message: "there is no such table", Allowed: strings.Join(names, ", ")}
	}
	c := table.Contents()
	t := document.Table{Key: table.Name}
	for _, column := range c.Columns {
		t.Columns = append(t.Columns, document.Column{Key: column, Heading: strings.ReplaceAll(column, "_", " "), Unit: document.None, Digits: page.ExactDigits, Footnote: column == "source"})
	}
	for _, row := range c.Rows {
		cells := make([]document.Cell, len(row))
		for j, text := range row {
			cells[j] = tableCell(text)
		}
		t.Rows = append(t.Rows, cells)
	}
	var notes []document.Prose
	for _, note := range c.Notes {
		notes = append(notes, document.Plain(note))
	}
	return &document.Document{
		Title:    document.Plain(table.Title),
		Subtitle: document.Plain("table " + table.Name),
		Sections: []document.Section{{Prose: notes, Tables: []document.Table{t}}},
	}, nil
}

// tableCell returns a cell as a number where it is one as it stands, so that
// no name such as 1e5 loses its form.
func tableCell(text string) document.Cell {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || strconv.FormatFloat(v, 'f', -1, 64) != text {
		return document.Text(text)
	}
	return document.Number(v)
}
