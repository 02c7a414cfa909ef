package report

import (
	"slices"
	"strings"

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
