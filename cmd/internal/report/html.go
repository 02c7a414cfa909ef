package report

import (
	"bytes"
	_ "embed" // for the two files below
	"fmt"
	"html"
	"html/template"
	"io"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"sunrill/data/units"
)

// reportPage and reportStyle are the frame of the page and its looks: nothing
// in them names anything outside the file, and there is no script.
var (
	//go:embed report.gohtml
	reportPage string
	//go:embed report.css
	reportStyle string
)

// htmlTemplate is parsed at the first page, so that no other format waits for it.
var htmlTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("page").Parse(reportPage))
})

// longTable is the number of rows from which a table that is not all there is on the
// page is folded away.
const longTable = 16

// WriteHTML prints d as one page that needs nothing beside it: pictures and
// looks are in it, there is no script, and its policy forbids every request.
func WriteHTML(w io.Writer, d *Document, opt Options) error {
	if err := d.check(); err != nil {
		return err
	}
	page, err := htmlOf(d, opt)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := htmlTemplate().Execute(&out, page); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	_, err = w.Write(out.Bytes())
	return err
}

// htmlPage is a Document as the template takes it: every text is escaped
// already, every figure carries its full value.
type htmlPage struct {
	Style    template.CSS
	Name     string // the title without marks, for the window
	Title    template.HTML
	Subtitle template.HTML
	Banner   template.HTML
	Answer   []htmlLine
	Figures  []htmlFigure
	Sections []htmlSection
	Lists    []htmlList
}

type htmlLine struct{ Label, Text template.HTML }

type htmlSection struct {
	Heading template.HTML
	Broad   bool // whether it takes the whole width of paper
	Prose   []template.HTML
	Tables  []htmlTable
	Notes   []template.HTML
}

type htmlTable struct {
	Title  template.HTML
	Name   string // said to those who cannot see it
	Wide   bool   // whether it becomes a list of rows on a phone
	Folded string // what to call it where it is folded away
	Heads  []htmlHead
	Rows   [][]htmlCell
	Notes  []template.HTML
}

// columnLetters is how many letters of a table stand in a column of paper, and
// wordLetters after how many a text may be broken.
const (
	columnLetters = 90
	wordLetters   = 16
)

// letters returns about how wide a table is: its longest entries, and the longest
// words of its headings, with a gap between.
func (t htmlTable) letters() int {
	total := 0
	for j, head := range t.Heads {
		most := len([]rune(string(head.Unit)))
		for word := range strings.FieldsSeq(string(head.Text)) {
			most = max(most, len([]rune(word)))
		}
		for _, row := range t.Rows {
			n := row[j].letters
			if !head.Numeric {
				n = min(n, wordLetters)
			}
			most = max(most, n)
		}
		total += most + 2
	}
	return total
}

type htmlHead struct {
	Text, Unit template.HTML
	Numeric    bool
}

type htmlCell struct {
	Text    template.HTML
	Head    string // heading and unit, for a phone
	Class   string // "n" for numbers, "k" for a few words kept together
	Opens   bool   // whether it names its row
	letters int
}

type htmlFigure struct {
	Title   template.HTML
	Drawing template.HTML
	Table   htmlTable
}

type htmlList struct {
	Heading string
	Class   string
	Items   []template.HTML
}

func htmlOf(d *Document, opt Options) (*htmlPage, error) {
	h := htmlWriter{opt.System}
	page := &htmlPage{
		Style: pageStyle(), Name: softened(d.Title.text(opt.System, Clean)),
		Title: h.prose(d.Title), Subtitle: h.prose(d.Subtitle), Banner: h.prose(d.Banner),
	}
	for _, l := range d.Answer {
		page.Answer = append(page.Answer, htmlLine{template.HTML(htmlText(l.Label)), h.prose(l.Text)})
	}
	only := len(d.tables()) == 1
	for _, s := range d.Sections {
		for _, p := range s.Pictures {
			figure, err := h.figure(p)
			if err != nil {
				return nil, err
			}
			page.Figures = append(page.Figures, figure)
		}
		section := htmlSection{Heading: template.HTML(htmlText(s.Heading)), Prose: h.all(s.Prose), Notes: h.all(s.Notes)}
		for _, t := range s.Tables {
			table := h.table(t, s.Heading)
			if len(t.Rows) >= longTable && !only {
				table.Folded = fmt.Sprintf("%d rows", len(t.Rows))
			}
			section.Tables = append(section.Tables, table)
			section.Broad = section.Broad || table.letters() > columnLetters
		}
		page.Sections = append(page.Sections, section)
	}
	for _, l := range d.listSections(opt.System) {
		class := strings.ReplaceAll(strings.ToLower(l.heading), " ", "-")
		page.Lists = append(page.Lists, htmlList{l.heading, class, h.all(l.items)})
	}
	return page, nil
}

// pageStyle returns the looks of the page in the colours of the palette: light on paper
// and by default, dark where the reader's screen asks for it.
func pageStyle() template.CSS {
	return template.CSS(":root{" + styleVariables(false) + "}\n@media screen and (prefers-color-scheme: dark){:root{" +
		styleVariables(true) + "}}\n" + reportStyle)
}

// htmlWriter turns the parts of a Document into escaped HTML.
type htmlWriter struct{ system units.System }

func (h htmlWriter) prose(p Prose) template.HTML {
	return template.HTML(p.html(h.system))
}

func (h htmlWriter) all(list []Prose) []template.HTML {
	out := make([]template.HTML, len(list))
	for i, p := range list {
		out[i] = h.prose(p)
	}
	return out
}

// table returns t; section names it where it has no title of its own.
func (h htmlWriter) table(t Table, section string) htmlTable {
	shown, notes := t.forPage(h.system)
	const narrow = 4 // columns that a phone has room for
	out := htmlTable{Title: template.HTML(htmlText(t.Title)), Name: Clean(t.Title), Wide: len(t.Columns) > narrow}
	if out.Name == "" {
		out.Name = Clean(section)
	}
	labels := make([]string, len(t.Columns))
	for j, c := range t.Columns {
		unit := c.Unit.ShownSymbol(h.system)
		out.Heads = append(out.Heads, htmlHead{template.HTML(htmlText(c.Heading)), template.HTML(htmlText(unit)), t.numeric(j)})
		labels[j] = Clean(c.Heading)
		if unit != "" {
			labels[j] += ", " + unit
		}
	}
	for _, row := range shown.Rows {
		cells := make([]htmlCell, len(row))
		for j, c := range row {
			text := c.shown(t.Columns[j], h.system, htmlText)
			letters := len([]rune(c.shown(t.Columns[j], h.system, Clean)))
			if c.kind == numberCell {
				text = figureHTML(c.number, html.EscapeString(text))
			}
			opens := j == 0 && c.kind == textCell && c.text != ""
			class := ""
			switch {
			case t.numeric(j):
				class = "n"
			case letters <= wordLetters:
				class = "k"
			}
			cells[j] = htmlCell{template.HTML(text), labels[j], class, opens, letters}
		}
		out.Rows = append(out.Rows, cells)
	}
	for _, n := range notes {
		out.Notes = append(out.Notes, template.HTML(htmlText(n)))
	}
	return out
}

func (h htmlWriter) figure(p Picture) (htmlFigure, error) {
	table := p.table()
	f := htmlFigure{Title: h.prose(p.Title), Table: h.table(table, "")}
	f.Table.Name = "numbers behind " + softened(p.Title.text(h.system, Clean))
	f.Table.Folded = "The numbers"
	drawing, err := p.inline(h.system)
	if err != nil {
		return f, err
	}
	f.Drawing = template.HTML(drawing)
	return f, nil
}

// html returns p as HTML: our words and foreign text escaped, every figure
// in an element that carries its full value.
func (p Prose) html(system units.System) string {
	format := html.EscapeString(p.format)
	if len(p.args) == 0 {
		return strings.ReplaceAll(format, "%%", "%")
	}
	shown := make([]any, len(p.args))
	for i, a := range p.args {
		switch a := a.(type) {
		case Quantity:
			shown[i] = figureHTML(a.machineValue(system), html.EscapeString(a.in(system, Clean)))
		case Prose:
			shown[i] = a.html(system)
		case told:
			shown[i] = htmlText(inSystem(string(a), system, nil))
		default:
			shown[i] = htmlText(fmt.Sprint(a))
		}
	}
	return fmt.Sprintf(format, shown...)
}

// machineValue returns the number of q for programs: in the unit that keys end in or,
// for a quantity without a key, which is held in base units, in the unit it is shown in.
func (q Quantity) machineValue(system units.System) float64 {
	if q.Unit.Suffix != "" || q.Unit.base == 0 {
		return q.Value
	}
	const digits = 12 // beyond them is the noise of converting
	v, err := strconv.ParseFloat(strconv.FormatFloat(q.Unit.shownIn(q.Value, system), 'g', digits, 64), 64)
	if err != nil {
		return q.Value
	}
	return v
}

// figureHTML returns a figure as it is shown with its full value beside it, as
// JSON has it.
func figureHTML(v float64, shown string) string {
	return `<data value="` + fullPrecision(v) + `">` + shown + `</data>`
}

// htmlText returns text from outside for HTML. A text with letters that run from right
// to left is kept apart, so that it does not reorder what stands beside it.
func htmlText(s string) string {
	s = Clean(s)
	escaped := html.EscapeString(s)
	if strings.ContainsFunc(s, func(r rune) bool {
		return unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko)
	}) {
		return "<bdi>" + escaped + "</bdi>"
	}
	return escaped
}
