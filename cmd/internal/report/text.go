package report

import (
	"slices"
	"strings"

	"github.com/clipperhouse/displaywidth"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
)

const (
	defaultWidth = 80
	leastWidth   = 30 // below it, lines run on rather than break into letters
)

// textPage returns d for a terminal: no line wider than the width of opt,
// apart from words and figures that cannot be broken.
func textPage(d *document.Document, opt Options) ([]byte, error) {
	if opt.Width == 0 {
		opt.Width = defaultWidth
	}
	if opt.Short && !d.Further.IsZero() {
		return shortPage(d, opt.System), nil
	}
	t := writer{opt: opt, width: max(leastWidth, opt.Width)}
	t.head(d)
	for _, s := range d.All(opt.System) {
		t.section(s)
	}
	return []byte(document.Softened(strings.TrimLeft(t.b.String(), "\n"))), nil
}

// writer is a page of text in the making.
type writer struct {
	b     strings.Builder
	opt   Options
	width int
}

func (t *writer) prose(p document.Prose) string { return p.Text(t.opt.System, document.Clean) }

// head prints the banner, the title with its subtitle at the right margin and
// the short answer.
func (t *writer) head(d *document.Document) {
	if !d.Banner.IsZero() {
		t.wrap("*** ", "*** ", t.prose(d.Banner))
		t.b.WriteByte('\n')
	}
	title, sub := t.prose(d.Title), t.prose(d.Subtitle)
	if room := t.width - columns(title) - columns(sub); sub != "" && room >= 2 {
		t.b.WriteString(title + strings.Repeat(" ", room) + sub + "\n")
	} else {
		t.wrap("", "  ", title)
		t.wrap("", "  ", sub)
	}
	gaps := 0
	if slices.ContainsFunc(d.Answer, func(l document.Line) bool { return l.Rows != nil }) { // parts, not lines
		gaps = len(d.Answer)
	}
	t.answer(d.Answer, gaps)
}

// indent returns where the text beside labels starts: right of all of them, or after
// most of a line, as a name from a file may have any length.
func (t *writer) indent(labels []string) int {
	widest := 0
	for _, l := range labels {
		widest = max(widest, columns(l))
	}
	return min(widest+columnGap, 2*t.width/3)
}

// labelled prints s beside its label, or under it where the label has no room.
func (t *writer) labelled(label string, indent int, s string) {
	if columns(label)+columnGap > indent {
		t.wrap("", "", label)
		label = ""
	}
	t.wrap(label+strings.Repeat(" ", indent-columns(label)), strings.Repeat(" ", indent), s)
}

func (t *writer) section(s document.Section) {
	t.b.WriteByte('\n')
	t.wrap("", "  ", document.Clean(s.Heading))
	for _, p := range s.Prose {
		t.wrap("", "", t.prose(p))
	}
	for _, p := range s.Items {
		t.wrap("- ", "  ", t.prose(p))
	}
	for i, table := range s.Tables {
		if i > 0 || len(s.Prose) > 0 {
			t.b.WriteByte('\n')
		}
		t.table(table)
	}
	for i, p := range s.Notes {
		if i == 0 && len(s.Tables) > 0 {
			t.b.WriteByte('\n')
		}
		t.wrap("", "", t.prose(p))
	}
}

// wrap prints s after first, its further lines after rest, broken between
// words to the width of the page.
func (t *writer) wrap(first, rest, s string) {
	if strings.TrimSpace(s) == "" && strings.TrimSpace(first) == "" {
		return
	}
	t.b.WriteString(strings.Join(broken(first, rest, s, t.width), "\n") + "\n")
}

// broken returns s after first, its further lines after rest, broken between words to
// a width.
func broken(first, rest, s string, width int) []string {
	return units.Wrapped(first, rest, s, width, columns)
}

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
