package cli

import (
	"strconv"
	"strings"

	report "sunrill/cmd/internal/document"
	"sunrill/data"

	"github.com/spf13/cobra"
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
			return runPage(s, &page, func() (*report.Document, []string, error) {
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

func listOfTables() *report.Document {
	t := report.Table{Key: "tables", Columns: []report.Column{
		{Key: "name", Heading: "name", Unit: report.Word},
		{Key: "rows", Heading: "rows", Unit: report.None, Digits: exactDigits},
		{Key: "title", Heading: "what it holds", Unit: report.Word},
	}}
	for _, table := range data.Tables() {
		t.Rows = append(t.Rows, []report.Cell{report.Text(table.Name), report.Number(float64(len(table.Contents().Rows))), report.Text(table.Title)})
	}
	return &report.Document{
		Title:    report.Sentence("The embedded tables"),
		Sections: []report.Section{{Tables: []report.Table{t}, Notes: []report.Prose{report.Sentence(`"sunrill tables NAME" shows one with its sources.`)}}},
	}
}

// exactDigits shows a number of a table with all the digits that it has.
const exactDigits = 12

// oneTable shows a table.
func oneTable(name string) (*report.Document, error) {
	table, err := data.TableNamed(name)
	if err != nil {
		names := tableNames()
		return nil, &data.Error{Key: "table", Found: name, Message: "there is no such table", Allowed: strings.Join(names, ", ")}
	}
	c := table.Contents()
	t := report.Table{Key: table.Name}
	for _, column := range c.Columns {
		t.Columns = append(t.Columns, report.Column{Key: column, Heading: strings.ReplaceAll(column, "_", " "), Unit: report.None, Digits: exactDigits, Footnote: column == "source"})
	}
	for _, row := range c.Rows {
		cells := make([]report.Cell, len(row))
		for j, text := range row {
			cells[j] = tableCell(text)
		}
		t.Rows = append(t.Rows, cells)
	}
	var notes []report.Prose
	for _, note := range c.Notes {
		notes = append(notes, report.Plain(note))
	}
	return &report.Document{
		Title:    report.Plain(table.Title),
		Subtitle: report.Plain("table " + table.Name),
		Sections: []report.Section{{Prose: notes, Tables: []report.Table{t}}},
	}, nil
}

// tableCell returns a cell as a number where it is one as it stands, so that
// no name such as 1e5 loses its form.
func tableCell(text string) report.Cell {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || strconv.FormatFloat(v, 'f', -1, 64) != text {
		return report.Text(text)
	}
	return report.Number(v)
}
