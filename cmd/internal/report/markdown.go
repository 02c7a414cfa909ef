package report

import (
	"fmt"
	"io"
	"strings"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"
)

// WriteMarkdown prints d as Markdown with pipe tables.
func WriteMarkdown(w io.Writer, d *Document, opt Options) error {
	if err := d.check(); err != nil {
		return err
	}
	m := markdownPage{opt: opt}
	if !d.Banner.IsZero() {
		m.block("> **" + m.prose(d.Banner) + "**")
	}
	m.block("# " + m.prose(d.Title))
	m.block(m.prose(d.Subtitle))
	lines := make([]string, len(d.Answer))
	for i, l := range d.Answer {
		lines[i] = "- **" + escapeMarkdown(l.Label) + ":** " + m.prose(l.Text)
	}
	m.block(strings.Join(lines, "\n"))
	for _, s := range d.Sections {
		if err := m.section(s); err != nil {
			return err
		}
	}
	for _, l := range d.listSections(opt.System) {
		m.block("## " + l.heading)
		items := make([]string, len(l.items))
		for i, item := range l.items {
			items[i] = "- " + m.prose(item)
		}
		m.block(strings.Join(items, "\n"))
	}
	_, err := io.WriteString(w, strings.TrimSuffix(m.b.String(), "\n"))
	return err
}

type markdownPage struct {
	b   strings.Builder
	opt Options
}

func (m *markdownPage) prose(p Prose) string {
	return softened(p.text(m.opt.System, escapeMarkdown))
}

// block prints s as a block of its own.
func (m *markdownPage) block(s string) {
	if strings.TrimSpace(s) != "" {
		m.b.WriteString(s + "\n\n")
	}
}

func (m *markdownPage) section(s Section) error {
	if s.Heading != "" {
		m.block("## " + escapeMarkdown(s.Heading))
	}
	for _, p := range s.Prose {
		m.block(m.prose(p))
	}
	for _, t := range s.Tables {
		if err := m.table(t); err != nil {
			return err
		}
	}
	for _, p := range s.Pictures {
		m.block("**" + m.prose(p.Title) + ".** " + m.prose(p.Alt))
	}
	for _, p := range s.Notes {
		m.block(m.prose(p))
	}
	return nil
}

func (m *markdownPage) table(t Table) error {
	if t.Title != "" {
		m.block("### " + escapeMarkdown(t.Title))
	}
	if len(t.Rows) == 0 {
		m.block("(none)")
		return nil
	}
	t, notes := t.forPage(m.opt.System)
	grid, err := m.grid(t)
	if err != nil {
		return fmt.Errorf("report: table %s: %w", t.Key, err)
	}
	m.block(grid)
	for i, n := range notes {
		notes[i] = "- " + escapeMarkdown(n)
	}
	m.block(strings.Join(notes, "\n"))
	return nil
}

// grid returns t as a pipe table.
func (m *markdownPage) grid(t Table) (string, error) {
	heads, align := make([]string, len(t.Columns)), make([]tw.Align, len(t.Columns))
	for j, c := range t.Columns {
		heads[j], align[j] = escapeMarkdown(c.Heading), tw.AlignLeft
		if symbol := c.Unit.ShownSymbol(m.opt.System); symbol != "" {
			heads[j] += " (" + escapeMarkdown(symbol) + ")"
		}
		if t.numeric(j) {
			align[j] = tw.AlignRight
		}
	}
	var out strings.Builder
	grid := tablewriter.NewTable(&out,
		tablewriter.WithRenderer(renderer.NewMarkdown()),
		tablewriter.WithHeaderAutoFormat(tw.Off),
		tablewriter.WithHeaderAutoWrap(tw.WrapNone),
		tablewriter.WithRowAutoWrap(tw.WrapNone),
		tablewriter.WithHeaderAlignmentConfig(tw.CellAlignment{PerColumn: align}),
		tablewriter.WithRowAlignmentConfig(tw.CellAlignment{PerColumn: align}),
	)
	grid.Header(heads)
	for _, row := range t.Rows {
		shown := make([]string, len(row))
		for j, c := range row {
			shown[j] = c.shown(t.Columns[j], m.opt.System, escapeMarkdown)
		}
		if err := grid.Append(shown); err != nil {
			return "", err
		}
	}
	err := grid.Render()
	return strings.TrimSpace(out.String()), err
}

// markdownMarks are the characters that Markdown reads as marks of its own
// inside a line or a table cell. tablewriter escapes none of them.
var markdownMarks = strings.NewReplacer(
	`\`, `\\`, "|", `\|`, "`", "\\`", "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`,
	"<", "&lt;", ">", "&gt;", "&", "&amp;", "#", `\#`, "~", `\~`, "!", `\!`, "$", `\$`,
)

// escapeMarkdown returns text from outside so that Markdown shows it as it
// stands, on one line.
func escapeMarkdown(s string) string {
	s = markdownMarks.Replace(Clean(s))
	// A line that opens with one of these would become a list or a heading.
	if s != "" && strings.ContainsAny(s[:1], "+-=") {
		s = `\` + s
	}
	return s
}
