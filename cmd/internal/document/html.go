package document

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"

	"sunrill/data/units"
)

// pageStyle is the looks of the page: nothing in it names anything outside the file.
//
//go:embed page.css
var pageStyle string

// policy forbids the page every request and every script.
const policy = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"

const (
	longTable     = 16 // rows from which a table that is not all there is on the page is folded away
	narrowTable   = 4  // columns that a phone has room for
	columnLetters = 90 // of a table that stands in a column of paper
	wordLetters   = 16 // after which a text may be broken
)

// HTML returns d as one page that needs nothing beside it: pictures and looks are in
// it, there is no script, and its policy forbids every request.
func (d *Document) HTML(system units.System) ([]byte, error) {
	if err := d.Check(); err != nil {
		return nil, err
	}
	h := page{system}
	head := element("head", nil,
		element("meta", pairs{"charset", "utf-8"}),
		element("meta", pairs{"http-equiv", "Content-Security-Policy", "content", policy}),
		element("meta", pairs{"name", "viewport", "content", "width=device-width, initial-scale=1"}),
		element("meta", pairs{"name", "color-scheme", "content", "light dark"}),
		element("title", nil, text(Clean(d.Title.Text(system, Clean)))),
		element("style", nil, markup("\n:root{"+styleVariables(false)+"}\n@media screen and (prefers-color-scheme: dark){:root{"+
			styleVariables(true)+"}}\n"+pageStyle)))
	answer := present("dl", nil, each(d.Answer, h.line))
	body := element("body", nil,
		present("p", pairs{"class", "banner", "role", "note"}, h.prose(d.Banner)),
		element("header", nil, element("h1", nil, h.prose(d.Title)), present("p", pairs{"class", "from"}, h.prose(d.Subtitle))),
		element("main", nil,
			present("section", pairs{"class", "answer", "aria-label", "The short answer"}, answer),
			present("section", pairs{"class", "pictures", "aria-label", "Pictures"}, each(d.Pictures(), h.figure)),
			each(d.First(), h.list),
			element("div", pairs{"class", "sections"}, each(d.Sections, func(s Section) markup { return h.section(s, len(d.Tables())) })),
			each(d.Lists(system), h.list)))
	return []byte("<!DOCTYPE html>\n" + string(element("html", pairs{"lang", "en"}, head, body))), nil
}

// page turns the parts of a Document into HTML.
type page struct{ system units.System }

func (h page) prose(p Prose) markup {
	return markup(p.fill(h.system, func(s string) string { return string(text(s)) }, func(s string) string { return string(foreign(s)) },
		func(q Quantity) string { return string(dataElement(q.machineValue(h.system), q.in(h.system, Clean))) }))
}

// dataElement returns a figure as it is shown with its full value beside it, as JSON has it.
func dataElement(v float64, shown string) markup {
	return element("data", pairs{"value", FullPrecision(v)}, text(shown))
}

// line returns a line of the short answer, its rows as a table.
func (h page) line(l Line) markup {
	heads := each(l.Head, func(p Prose) markup { return element("th", pairs{"scope", "col"}, h.prose(p)) })
	rows := each(l.Rows, func(row []Prose) markup {
		return element("tr", nil, element("th", pairs{"scope", "row"}, h.prose(row[0])),
			each(row[1:], func(p Prose) markup { return element("td", nil, h.prose(p)) }))
	})
	return element("div", nil, element("dt", nil, foreign(l.Label)), element("dd", nil,
		present("table", pairs{"class", "rows"}, present("thead", nil, present("tr", nil, heads))+present("tbody", nil, rows)),
		each(l.Sentences(), func(p Prose) markup { return h.prose(p) + " " })))
}

func (h page) note(p Prose) markup { return element("p", pairs{"class", "note"}, h.prose(p)) }

func (h page) list(l List) markup {
	return element("section", pairs{"class", "list " + strings.ReplaceAll(strings.ToLower(l.Heading), " ", "-")},
		element("h2", nil, text(l.Heading)),
		element("ul", nil, each(l.Items, func(p Prose) markup { return element("li", nil, h.prose(p)) })))
}

// section returns s on a page of so many tables.
func (h page) section(s Section, tables int) markup {
	broad := "" // takes the whole width of paper
	inner := present("h2", nil, foreign(s.Heading)) + each(s.Prose, func(p Prose) markup { return element("p", nil, h.prose(p)) })
	for _, t := range s.Tables {
		name, fold := Clean(t.Title), ""
		if name == "" {
			name = Clean(s.Heading)
		}
		if len(t.Rows) >= longTable && tables > 1 {
			fold = fmt.Sprintf("%d rows", len(t.Rows))
		}
		table, letters := h.table(t, name, fold)
		if letters > columnLetters {
			broad = "broad"
		}
		inner += present("h3", nil, foreign(t.Title)) + table
	}
	return present("section", pairs{"class", broad}, inner+each(s.Notes, h.note))
}

func (h page) figure(p Picture) markup {
	title := Clean(p.Title.Text(h.system, Clean))
	table, _ := h.table(p.table(), "numbers behind "+title, "The numbers")
	return element("figure", nil, element("figcaption", nil, element("h2", nil, h.prose(p.Title))),
		p.Draw(h.system, false).svg(pairs{"role", "img", "aria-label", Clean(p.Alt.Text(h.system, Clean))}, Ink.variable, ""), table)
}

// table returns t, folded away under fold if that is not empty, and about how many letters
// wide it is: its longest entries, and the longest words of its headings, with a gap between.
// name is said to those who cannot see it.
func (h page) table(t Table, name, fold string) (markup, int) {
	t = t.Shown()
	g := t.Grid(h.system, Clean)
	// On a phone a wide table is laid out as blocks, for which browsers forget what it
	// is: the roles say it again.
	wide := func(string) string { return "" }
	if len(t.Columns) > narrowTable {
		wide = func(s string) string { return s }
	}
	var heads, body markup
	labels, most := slices.Clone(g.Heads), make([]int, len(t.Columns))
	for j, unit := range g.Units {
		inner, class := foreign(g.Heads[j]), ""
		if g.Numeric[j] {
			class = "n"
		}
		if unit != "" {
			labels[j] += ", " + unit
			inner += " " + element("span", nil, foreign(unit))
		}
		heads += element("th", pairs{"scope", "col", "role", wide("columnheader"), "class", class}, inner)
		for word := range strings.FieldsSeq(g.Heads[j]) {
			most[j] = max(most[j], len([]rune(unit)), len([]rune(word)))
		}
	}
	for i, row := range g.Rows {
		var cells markup
		for j, words := range row {
			c, inner, n := t.Rows[i][j], foreign(words), len([]rune(words))
			if c.kind == numberCell {
				inner = dataElement(c.number, words)
			}
			class := "" // "n" for numbers, "k" for a few words kept together
			switch {
			case g.Numeric[j]:
				class = "n"
			case n <= wordLetters:
				class = "k"
			default:
				n = wordLetters
			}
			most[j] = max(most[j], n)
			name, scope, role := "td", "", "cell"
			if j == 0 && c.IsText() && c.text != "" { // it names its row
				name, scope, role = "th", "row", "rowheader"
			}
			cells += element(name, pairs{"scope", scope, "class", class, "role", wide(role), "data-h", wide(labels[j])}, inner)
		}
		body += element("tr", pairs{"role", wide("row")}, cells)
	}
	letters := 0
	for _, n := range most {
		letters += n + 2
	}
	table := markup("<p>(none)</p>\n")
	if len(t.Rows) > 0 {
		table = element("table", pairs{"class", wide("wide"), "role", wide("table")}, element("caption", nil, text(name)),
			element("thead", pairs{"role", wide("rowgroup")}, element("tr", pairs{"role", wide("row")}, heads)),
			element("tbody", pairs{"role", wide("rowgroup")}, body))
	}
	table += each(g.Notes, func(n string) markup { return element("p", pairs{"class", "note"}, foreign(n)) })
	if fold != "" {
		table = element("details", nil, element("summary", nil, text(fold)), table)
	}
	return table, letters
}
