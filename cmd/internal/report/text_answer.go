package report

import (
	"strings"

	"github.com/clipperhouse/displaywidth"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
)

// mostLines is what a terminal shows at once.
const mostLines = 24

// widestCell is the most of a cell before the last of its row.
const widestCell = 24

// leastLast is the least width of the last cell of a row beside the others.
const leastLast = 20

// columnPad sets apart what stands under a row.
const columnPad = document.HardSpace + document.HardSpace

// shortPage returns the short answer of d alone, in at most mostLines of defaultWidth
// columns: where it has more to say, the empty lines between its parts go first, from the
// top, then further sentences of the longest part.
func shortPage(d *document.Document, system units.System) []byte {
	answer := append([]document.Line{}, d.Answer...)
	further := document.Line{Label: "MORE", Text: d.Further}
	for gaps := len(answer) + 1; ; gaps = max(0, gaps-1) {
		t := writer{opt: Options{System: system}, width: defaultWidth}
		if !d.Banner.IsZero() {
			t.b.WriteString(cut("*** "+t.prose(d.Banner), t.width) + "\n")
		}
		t.b.WriteString(cut(t.prose(d.Title), t.width) + "\n")
		t.answer(append(answer, further), gaps)
		lines := strings.Split(strings.TrimSuffix(document.Softened(t.b.String()), "\n"), "\n")
		if len(lines) > mostLines && (gaps > 0 || shorten(answer)) {
			continue
		}
		for i, line := range lines {
			lines[i] = cut(line, t.width)
		}
		return []byte(strings.Join(lines, "\n") + "\n")
	}
}

// shorten takes the last sentence off the part of answer that has most of them, the only
// one of a part and one about safety only where no other has any, and reports whether there
// was one to take.
func shorten(answer []document.Line) bool {
	most, weight := 0, func(l document.Line) int {
		if l.Safety || len(l.Rows) == 0 && len(l.Sentences()) == 1 {
			return len(l.More)
		}
		return len(l.More) * mostLines
	}
	for i, l := range answer {
		if weight(l) >= weight(answer[most]) {
			most = i
		}
	}
	last := len(answer[most].More) - 1
	if last >= 0 {
		answer[most].More = answer[most].More[:last]
	}
	return last >= 0
}

// cut returns s in no more than width columns.
func cut(s string, width int) string {
	return displaywidth.TruncateString(s, width, "…")
}

// answer prints the short answer: each line beside its label, sentences and rows after
// one another, an empty line before each of the last so many parts.
func (t *writer) answer(all []document.Line, gaps int) {
	labels := document.Each(all, func(l document.Line) string { return document.Clean(l.Label) })
	indent := t.indent(labels)
	for i, l := range all {
		if len(all)-i <= gaps && l.Label != "" {
			t.b.WriteByte('\n')
		}
		label, at := labels[i], indent
		if label == "" {
			at = 0
		}
		for _, s := range append(t.rows(l, at), document.Each(l.Sentences(), t.prose)...) {
			t.labelled(label, at, s)
			label = ""
		}
	}
}

// rows returns the rows of l as lines of at most what is right of indent.
func (t *writer) rows(l document.Line, indent int) []string {
	var grid [][]string
	for _, row := range append([][]document.Prose{l.Head}, l.Rows...) {
		if row != nil {
			grid = append(grid, document.Each(row, t.prose))
		}
	}
	if grid == nil {
		return nil
	}
	last := len(grid[0]) - 1
	widths := make([]int, last)
	for _, cells := range grid {
		for j := range widths {
			cells[j] = cut(cells[j], widestCell)
			widths[j] = max(widths[j], columns(cells[j]))
		}
	}
	room := t.width - indent - tableWidth(widths) - columnGap
	var lines []string
	for _, cells := range grid {
		if room < leastLast { // too narrow to stand side by side
			lines = append(lines, strings.Join(cells[:last], ", "), columnPad+cells[last])
			continue
		}
		cells[last] = strings.Join(broken("", "", cells[last], room), "\n")
		for _, line := range sideBySide(cells, append(widths, 0), make([]bool, last+1)) {
			lines = append(lines, strings.ReplaceAll(line, " ", document.HardSpace))
		}
	}
	return lines
}
