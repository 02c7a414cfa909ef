package report

import (
	"errors"
	"fmt"
	"strings"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"

	"sunrill/cmd/internal/document"
)

// markdownPage returns d as Markdown with pipe tables.
func markdownPage(d *document.Document, opt Options) ([]byte, error) {
	m := markdown{opt: opt}
	if !d.Banner.IsZero() {
		m.block("> **" + m.prose(d.Banner) + "**")
	}
	m.block("# " + m.prose(d.Title))
	m.block(m.prose(d.Subtitle))
	m.block(strings.Join(document.Each(d.Answer, m.line), "\n"))
	for _, s := range d.All(opt.System) {
		if err := m.section(s); err != nil {
			return nil, err
		}
	}
	return []byte(strings.TrimSuffix(m.b.String(), "\n")), nil
}

type markdown struct {
	b   strings.Builder
	opt Options
}

func (m *markdown) prose(p document.Prose) string {
	return document.Softened(p.Text(m.opt.System, escapeMarkdown))
}

// line returns a line of the short answer as an item of a list, its rows as items of
// that.
func (m *markdown) line(l document.Line) string {
	label := ""
	if l.Label != "" {
		label = "**" + escapeMarkdown(l.Label) + ":** "
	}
	text := "- " + label + strings.Join(document.Each(l.Sentences(), m.prose), " ")
	for _, row := range l.Rows {
		text += "\n  - " + m.prose(row[0]) + ":"
		for j, cell := range row[1:] {
			if l.Head != nil {
				cell = document.Sentence("%v %v", l.Head[j+1], cell)
			}
			text += " " + m.prose(cell) + strings.Repeat(";", min(1, len(row)-2-j))
		}
	}
	return text
}

// block prints s as a block of its own.
func (m *markdown) block(s string) {
	if strings.TrimSpace(s) != "" {
		m.b.WriteString(s + "\n\n")
	}
}

func (m *markdown) section(s document.Section) error {
	if s.Heading != "" {
		m.block("## " + escapeMarkdown(s.Heading))
	}
	for _, p := range s.Prose {
		m.block(m.prose(p))
	}
	m.block(bullets(document.Each(s.Items, m.prose)))
	for _, t := range s.Tables {
		if err := m.table(t); err != nil {
			return fmt.Errorf("report: table %s: %w", t.Key, err)
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

func (m *markdown) table(t document.Table) error {
	g := t.Grid(m.opt.System, escapeMarkdown)
	if len(g.Rows) == 0 {
		m.block("(none)")
		m.block(bullets(g.Notes))
		return nil
	}
	for j, unit := range g.Units {
		if unit != "" {
			g.Heads[j] += " (" + unit + ")"
		}
	}
	align := make([]tw.Align, len(g.Numeric))
	for j, numeric := range g.Numeric {
		if align[j] = tw.AlignLeft; numeric {
			align[j] = tw.AlignRight
		}
	}
	var pipes strings.Builder
	grid := tablewriter.NewTable(&pipes,
		tablewriter.WithRenderer(renderer.NewMarkdown()),
		tablewriter.WithHeaderAutoFormat(tw.Off), tablewriter.WithHeaderAutoWrap(tw.WrapNone), tablewriter.WithRowAutoWrap(tw.WrapNone),
		tablewriter.WithHeaderAlignmentConfig(tw.CellAlignment{PerColumn: align}),
		tablewriter.WithRowAlignmentConfig(tw.CellAlignment{PerColumn: align}),
	)
	grid.Header(g.Heads)
	err := errors.Join(grid.Bulk(g.Rows), grid.Render())
	m.block(strings.TrimSpace(pipes.String()))
	m.block(bullets(g.Notes))
	return err
}

// bullets returns the items of a list.
func bullets(items []string) string {
	return strings.TrimPrefix(strings.Join(append([]string{""}, items...), "\n- "), "\n")
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
	s = markdownMarks.Replace(document.Clean(s))
	// A line that opens with one of these would become a list or a heading.
	if s != "" && strings.ContainsAny(s[:1], "+-=") {
		s = `\` + s
	}
	return s
}
