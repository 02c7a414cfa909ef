package report

import (
	"strings"

	"github.com/clipperhouse/displaywidth"

	"sunrill/cmd/internal/document"
)

const columnGap = 2

// table prints a table with its numbers set to the right. Where it is too
// wide, its widest columns of words are wrapped; where that is not enough,
// every row becomes a block of lines.
func (t *writer) table(table document.Table) {
	g := table.Grid(t.opt.System, document.Clean)
	if len(g.Rows) == 0 {
		t.b.WriteString("(none)\n")
		t.notes(g)
		return
	}
	heads, widths := make([]string, len(g.Heads)), make([]int, len(g.Heads)) // in lines, the unit on the last
	for j, h := range g.Heads {
		for _, row := range g.Rows {
			widths[j] = max(widths[j], columns(row[j]))
		}
		heads[j] = strings.TrimSuffix(strings.Join(broken("", "", h, max(8, widths[j])), "\n")+"\n"+g.Units[j], "\n")
		widths[j] = max(widths[j], columns(heads[j]))
	}
	if t.shrink(g.Numeric, widths) {
		lines := append(sideBySide(heads, widths, g.Numeric), strings.Repeat("─", tableWidth(widths)))
		for _, row := range g.Rows {
			for j := range row {
				row[j] = strings.Join(broken("", "", row[j], widths[j]), "\n")
			}
			lines = append(lines, sideBySide(row, widths, g.Numeric)...)
		}
		t.b.WriteString(strings.Join(lines, "\n") + "\n")
	} else {
		t.blocks(g)
	}
	t.notes(g)
}

func (t *writer) notes(g document.Grid) {
	for _, n := range g.Notes {
		t.wrap("- ", "  ", n)
	}
}

// sideBySide returns cells of one line or more as lines, each as wide as its column.
func sideBySide(cells []string, widths []int, right []bool) []string {
	var lines []string
	for j, c := range cells {
		start := 0 // of the column
		for _, w := range widths[:j] {
			start += w + columnGap
		}
		for i, part := range strings.Split(c, "\n") {
			if i == len(lines) {
				lines = append(lines, "")
			}
			if right[j] {
				part = strings.Repeat(" ", max(0, widths[j]-columns(part))) + part
			}
			if part != "" {
				lines[i] += strings.Repeat(" ", max(0, start-columns(lines[i]))) + part
			}
		}
	}
	return lines
}

// columns returns how many columns of a terminal s takes, in its widest line.
func columns(s string) int {
	most := 0
	for line := range strings.SplitSeq(s, "\n") {
		most = max(most, displaywidth.String(line))
	}
	return most
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
func (t *writer) shrink(numeric []bool, widths []int) bool {
	const least = 14 // a narrower column of words reads worse than a block
	for over := tableWidth(widths) - t.width; over > 0; over-- {
		widest := -1
		for j := range widths {
			if !numeric[j] && widths[j] > least && (widest < 0 || widths[j] > widths[widest]) {
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

// blocks prints every row as lines of heading and figure, for a page too
// narrow for the table.
func (t *writer) blocks(g document.Grid) {
	indent := t.indent(g.Heads)
	for i, row := range g.Rows {
		if i > 0 {
			t.b.WriteByte('\n')
		}
		for j, cell := range row {
			if cell == "" {
				continue
			}
			if cell != "-" && g.Units[j] != "" {
				cell += " " + g.Units[j]
			}
			t.labelled(g.Heads[j], indent, cell)
		}
	}
}
