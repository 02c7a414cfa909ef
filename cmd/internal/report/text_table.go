package report

import (
	"strings"

	"github.com/olekukonko/tablewriter/pkg/twwarp"
	"github.com/olekukonko/tablewriter/pkg/twwidth"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
)

// table prints a table with its numbers set to the right. Where it is too
// wide, its widest column of words is wrapped; where that is not enough,
// every row becomes a block of lines.
func (t *writer) table(table document.Table) error {
	if table.Title != "" {
		t.wrap("", "  ", t.bold(document.Clean(table.Title)))
	}
	if len(table.Rows) == 0 {
		t.b.WriteString("(none)\n")
		return nil
	}
	table, notes := table.ForPage(t.opt.System)
	heads, rows := t.cells(table)
	widths := columnWidths(heads, rows)
	if t.shrink(table, widths) {
		t.grid(table, heads, rows, widths)
	} else {
		t.blocks(table, heads, rows)
	}
	t.notes(notes)
	return nil
}

func (t *writer) notes(notes []string) {
	for _, n := range notes {
		t.wrap("- ", "  ", document.Clean(n))
	}
}

// cells returns the headings of a table, the unit on a line of its own, and
// its rows as they are shown.
func (t *writer) cells(table document.Table) (heads []string, rows [][]string) {
	heads = make([]string, len(table.Columns))
	for j, c := range table.Columns {
		heads[j] = brokenHeading(document.Clean(c.Heading), table, j, t.opt.System)
		if symbol := c.Unit.ShownSymbol(t.opt.System); symbol != "" {
			heads[j] += "\n" + symbol
		}
	}
	for _, row := range table.Rows {
		shown := make([]string, len(row))
		for j, c := range row {
			shown[j] = c.Shown(table.Columns[j], t.opt.System, document.Clean)
		}
		rows = append(rows, shown)
	}
	return heads, rows
}

// brokenHeading returns a heading broken between words where it is wider than
// all that stands under it.
func brokenHeading(heading string, table document.Table, j int, system units.System) string {
	width := 8
	for _, row := range table.Rows {
		width = max(width, twwidth.Width(row[j].Shown(table.Columns[j], system, document.Clean)))
	}
	var lines []string
	for word := range strings.FieldsSeq(heading) {
		last := len(lines) - 1
		if last >= 0 && twwidth.Width(lines[last])+1+twwidth.Width(word) <= width {
			lines[last] += " " + word
			continue
		}
		lines = append(lines, word)
	}
	return strings.Join(lines, "\n")
}

const columnGap = 2

func columnWidths(heads []string, rows [][]string) []int {
	widths := make([]int, len(heads))
	for j, h := range heads {
		for line := range strings.SplitSeq(h, "\n") {
			widths[j] = max(widths[j], twwidth.Width(line))
		}
		for _, row := range rows {
			widths[j] = max(widths[j], twwidth.Width(row[j]))
		}
	}
	return widths
}

func tableWidth(widths []int) int {
	total := -columnGap
	for _, w := range widths {
		total += w + columnGap
	}
	return total
}

// shrink takes width from the widest columns of words until the table fits the
// page, and reports whether it does.
func (t *writer) shrink(table document.Table, widths []int) bool {
	const least = 14 // a narrower column of words reads worse than a block
	for over := tableWidth(widths) - t.width; over > 0; over-- {
		widest := -1
		for j := range widths {
			if !table.Numeric(j) && widths[j] > least && (widest < 0 || widths[j] > widths[widest]) {
				widest = j
			}
		}
		if widest < 0 {
			return false
		}
		widths[widest]--
	}
	return true
}

// grid prints a table with a rule under its headings; cells wider than their column
// are wrapped.
func (t *writer) grid(table document.Table, heads []string, rows [][]string, widths []int) {
	put := func(cells []string, wrapped bool) {
		lines, deep := make([][]string, len(cells)), 1
		for j, cell := range cells {
			if lines[j] = strings.Split(cell, "\n"); wrapped && twwidth.Width(cell) > widths[j] {
				lines[j], _ = twwarp.WrapString(cell, widths[j])
			}
			deep = max(deep, len(lines[j]))
		}
		for k := range deep {
			var line strings.Builder
			for j := range cells {
				cell := ""
				if k < len(lines[j]) {
					cell = lines[j][k]
				}
				pad := strings.Repeat(" ", max(0, widths[j]-twwidth.Width(cell)))
				if table.Numeric(j) {
					cell = pad + cell
				} else {
					cell += pad
				}
				line.WriteString(cell + strings.Repeat(" ", columnGap))
			}
			t.b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
		}
	}
	put(heads, false)
	t.b.WriteString(strings.Repeat("─", tableWidth(widths)) + "\n")
	for _, row := range rows {
		put(row, true)
	}
}

// blocks prints every row as lines of heading and figure, for a page too
// narrow for the table.
func (t *writer) blocks(table document.Table, heads []string, rows [][]string) {
	names, symbols := make([]string, len(heads)), make([]string, len(heads))
	for j, h := range heads {
		names[j] = strings.ReplaceAll(h, "\n", " ")
		if symbol := table.Columns[j].Unit.ShownSymbol(t.opt.System); symbol != "" {
			names[j], symbols[j] = strings.TrimSuffix(names[j], " "+symbol), symbol
		}
	}
	indent := t.indent(names)
	for i, row := range rows {
		if i > 0 {
			t.b.WriteByte('\n')
		}
		for j, cell := range row {
			if cell == "" {
				continue
			}
			if cell != "-" && symbols[j] != "" {
				cell += " " + symbols[j]
			}
			t.labelled(names[j], indent, cell)
		}
	}
}
