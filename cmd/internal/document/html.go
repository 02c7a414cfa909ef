package document

import (
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"slices"
	"strings"

	"sunrill/data/units"
)

// pageStyle is the looks of the page: nothing in it names anything outside the file.
//
//go:embed page.css
var pageStyle string

const (
	phoneLetters  = 46 // of a table that a phone has room for
	columnLetters = 90 // of a table that stands in a column of paper
	wordLetters   = 16 // after which a text may be broken
)

// HTML returns d as one page that needs nothing beside it: pictures and looks are in
// it, there is no script, and its policy forbids every request.
func (d *Document) HTML(system units.System) ([]byte, error) {
	page, _, err := d.Live(system, nil)
	return page, err
}

// Engine is what answers the page of a Front when something on it is changed.
type Engine struct {
	Script  string // starts what page.js defines, with a way to ask the engine
	Policy  string // what the policy allows behind the script, such as "; connect-src 'self'"
	Save    string // what changes can be saved into; "" for nothing
	Pick    bool   // whether another plan can be opened
	Payload string // base64 that Script finds under the id "engine"; "" for none
}

// pageScript places what an engine answers.
//
//go:embed page.js
var pageScript string

// Live returns d as HTML does and the policy that it has; with an engine, which needs
// a Front, what the page lists of the plan can be changed.
func (d *Document) Live(system units.System, engine *Engine) (html []byte, policy string, err error) {
	if err := d.Check(); err != nil {
		return nil, "", err
	}
	style := "\n:root{" + styleVariables(false) + "}\n@media screen and (prefers-color-scheme: dark){:root{" + styleVariables(true) +
		"}}\n" + pageStyle
	script := ""
	policy = "default-src 'none'; style-src " + hash(style) + "; base-uri 'none'; form-action 'none'"
	if engine != nil {
		script = pageScript + engine.Script
		policy += "; script-src " + hash(script) + engine.Policy
	}
	h := &page{system: system, live: engine != nil, slots: map[string]string{}}
	head := element("head", nil,
		element("meta", pairs{"charset", "utf-8"}),
		element("meta", pairs{"http-equiv", "Content-Security-Policy", "content", policy}),
		element("meta", pairs{"name", "viewport", "content", "width=device-width, initial-scale=1"}),
		element("meta", pairs{"name", "color-scheme", "content", "light dark"}),
		element("meta", pairs{"name", "referrer", "content", "no-referrer"}),
		element("title", nil, text(Clean(d.Title.Text(system, Clean)))),
		element("style", nil, markup(style)))
	body := h.plainBody
	if d.Front != nil {
		d.front = d.Front(system)
		h.under, body = true, h.frontBody
	}
	inner := present("aside", pairs{"class", "banner"}, h.prose(d.Banner))
	if engine != nil && engine.Pick {
		inner += picker
	}
	inner += body(d)
	if engine != nil {
		inner += h.tray(*engine) + element("script", nil, markup(script)) +
			present("script", pairs{"type", "text/plain", "id", "engine"}, markup(engine.Payload))
	}
	return []byte("<!DOCTYPE html>\n" + string(element("html", pairs{"lang", "en"}, head, element("body", nil, inner)))), policy, nil
}

// hash returns the source of a policy that stands for text alone.
func hash(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// Slots returns what an answer puts in the page of a Front, by the names of its places;
// with care what can hurt somebody too, with rows the tables.
func (d *Document) Slots(system units.System, care, rows bool) (map[string]string, error) {
	if err := d.Check(); err != nil {
		return nil, err
	}
	h := &page{system: system, under: true, slots: map[string]string{}}
	d.front = d.Front(system)
	h.opening(d)
	each(d.front.Groups, h.group)
	switch {
	case rows:
		h.tables(d)
	case care:
		h.care(d)
	}
	return h.slots, nil
}

// plainBody is a page that opens with its short answer.
func (h *page) plainBody(d *Document) markup {
	answer := present("dl", nil, each(d.Answer, h.line))
	return element("header", nil, element("h1", nil, h.prose(d.Title)), present("p", pairs{"class", "from"}, h.prose(d.Subtitle))) +
		element("main", nil,
			present("section", pairs{"class", "answer", "aria-label", "The short answer"}, answer),
			present("section", pairs{"class", "pictures", "aria-label", "Pictures"}, each(d.Pictures(), h.figure)),
			each(d.First(), h.list),
			element("div", pairs{"class", "sections"}, each(d.Sections, h.section)),
			each(d.Lists(h.system), h.list))
}

// frontBody is a page that opens with its Front: verdict, what can be changed beside what
// it moves, what can hurt somebody, and folded away all else.
func (h *page) frontBody(d *Document) markup {
	header := element("header", pairs{"class", "front"}, element("p", pairs{"class", "name"}, h.prose(d.Title)),
		present("p", pairs{"class", "from"}, h.prose(d.Subtitle)))
	opening := h.opening(d)
	jumps := element("nav", pairs{"aria-label", "On this page"}, each(d.front.Groups, func(g Group) markup {
		return element("a", pairs{"href", "#h-" + g.Key}, text(g.Heading))
	}), element("a", pairs{"href", "#h-care"}, text("Take care")), element("a", pairs{"href", "#h-tables"}, text("Tables")))
	return header + element("main", nil, opening, jumps, each(d.front.Groups, h.group), h.tables(d))
}

// care is what can hurt somebody.
func (h *page) care(d *Document) markup {
	return h.slot("div", "care", pairs{"id", "h-care"}, each(d.First(), h.list))
}

// tables are what can hurt somebody, in sight, and the rest of the page, folded away.
func (h *page) tables(d *Document) markup {
	sections := each(d.Sections, func(s Section) markup {
		return folded(s.Heading, h.section(Section{Prose: s.Prose, Tables: s.Tables, Notes: s.Notes}))
	})
	lists := each(d.Lists(h.system), func(l Section) markup { return folded(fmt.Sprintf("%s (%d)", l.Heading, len(l.Items)), h.items(l)) })
	return h.care(d) +
		element("section", pairs{"class", "folds", "aria-labelledby", "h-tables"}, element("h2", pairs{"id", "h-tables"}, text("Tables")),
			h.slot("div", "sections", nil, sections), h.slot("div", "lists", nil, lists))
}

// folded returns inner folded away under a heading, or nothing where there is nothing.
func folded(heading string, inner markup) markup {
	if inner == "" {
		return ""
	}
	return element("details", nil, element("summary", nil, text(heading)), inner)
}

// picker is where files are picked, once a script can read them.
var picker = element("section", pairs{"id", "pick", "aria-label", "Your own plan", "hidden", "hidden"},
	element("label", pairs{"for", "files"}, text("Open your plan, pond.toml, and in one go the curves and the climate that it names:")),
	element("input", pairs{"type", "file", "id", "files", "multiple", "multiple"}), element("p", pairs{"id", "picked", "role", "alert"}))

// tray holds what was changed, and what may be done with it.
func (h *page) tray(e Engine) markup {
	save := ""
	if e.Save != "" {
		save = "Save into " + Clean(e.Save)
	}
	return element("p", pairs{"id", "said", "class", "unseen", "role", "status"}) +
		element("section", pairs{"id", "tray", "aria-label", "What you changed", "hidden", "hidden"}, element("p", pairs{"id", "changes"}),
			element("button", pairs{"type", "button", "id", "back"}, text("Put all back")),
			present("button", pairs{"type", "button", "id", "save"}, text(save)))
}

// page turns the parts of a Document into HTML.
type page struct {
	system units.System
	live   bool              // what it lists can be changed
	under  bool              // pictures stand under headings
	slots  map[string]string // what an answer may replace
}

func (h *page) prose(p Prose) markup {
	own, foreign := func(s string) string { return string(text(s)) }, func(s string) string { return string(text(Clean(s))) }
	return markup(p.fill(h.system, own, foreign,
		func(q Quantity) string { return string(dataElement(q.machineValue(h.system), q.in(h.system, Clean))) }))
}

// dataElement returns a figure as it is shown with its full value beside it, as JSON has it.
func dataElement(v float64, shown string) markup {
	return element("data", pairs{"value", FullPrecision(v)}, text(shown))
}

// line returns a line of the short answer, its rows as a table.
func (h *page) line(l Line) markup {
	heads := each(l.Head, func(p Prose) markup { return element("th", pairs{"scope", "col"}, h.prose(p)) })
	rows := each(l.Rows, func(row []Prose) markup {
		return element("tr", nil, element("th", pairs{"scope", "row"}, h.prose(row[0])),
			each(row[1:], func(p Prose) markup { return element("td", nil, h.prose(p)) }))
	})
	return element("div", nil, element("dt", nil, text(l.Label)), element("dd", nil,
		present("table", pairs{"class", "rows"}, present("thead", nil, present("tr", nil, heads))+present("tbody", nil, rows)),
		each(l.Sentences(), func(p Prose) markup { return h.prose(p) + " " })))
}

func (h *page) note(p Prose) markup { return element("p", pairs{"class", "note"}, h.prose(p)) }

func (h *page) list(l Section) markup {
	return element("section", pairs{"class", "list " + strings.ReplaceAll(strings.ToLower(l.Heading), " ", "-")},
		element("h2", nil, text(l.Heading)), h.items(l))
}

func (h *page) items(l Section) markup {
	return element("ul", nil, each(l.Items, func(p Prose) markup { return element("li", nil, h.prose(p)) }))
}

func (h *page) section(s Section) markup {
	broad := "" // takes the whole width of paper
	inner := present("h2", nil, text(s.Heading)) + each(s.Prose, func(p Prose) markup { return element("p", nil, h.prose(p)) })
	for _, t := range s.Tables {
		table, letters := h.table(t, Clean(s.Heading))
		if letters > columnLetters {
			broad = "broad"
		}
		inner += table
	}
	return present("section", pairs{"class", broad}, inner+each(s.Notes, h.note))
}

func (h *page) figure(p Picture) markup { return element("figure", nil, h.inFigure(p)) }

func (h *page) inFigure(p Picture) markup {
	heading := "h2"
	if h.under {
		heading = "h3"
	}
	return element("figcaption", nil, element(heading, nil, h.prose(p.Title))) +
		p.Draw(h.system, false).svg("role", "img", "aria-label", Clean(p.Alt.Text(h.system, Clean)))
}

// table returns t and about how many letters wide it is; name is said to those who cannot
// see it.
func (h *page) table(t Table, name string) (markup, int) {
	g := t.Grid(h.system, Clean)
	letters := g.letters()
	// On a phone a wide table is laid out as blocks, for which browsers forget what it
	// is: the roles say it again.
	wide := func(string) string { return "" }
	if letters > phoneLetters {
		wide = func(s string) string { return s }
	}
	var heads, body markup
	labels := slices.Clone(g.Heads)
	for j, unit := range g.Units {
		inner, class := text(g.Heads[j]), ""
		if g.Numeric[j] {
			class = "n"
		}
		if unit != "" {
			labels[j] += ", " + unit
			inner += " " + element("span", nil, text(unit))
		}
		if inner == "" { // a heading that says nothing is none
			heads += element("td", pairs{"role", wide("cell")})
			continue
		}
		heads += element("th", pairs{"scope", "col", "role", wide("columnheader"), "class", class}, inner)
	}
	for i, row := range g.Rows {
		var cells markup
		for j, words := range row {
			c, inner := g.cells[i][j], text(words)
			if c.kind == numberCell {
				inner = dataElement(c.number, words)
			}
			class := "" // "n" for numbers, "k" for a few words kept together
			switch {
			case g.Numeric[j]:
				class = "n"
			case len([]rune(words)) <= wordLetters:
				class = "k"
			}
			name, scope, role := "td", "", "cell"
			if j == 0 && c.IsText() && c.text != "" { // it names its row
				name, scope, role = "th", "row", "rowheader"
			}
			cells += element(name, pairs{"scope", scope, "class", class, "role", wide(role), "data-h", wide(labels[j])}, inner)
		}
		body += element("tr", pairs{"role", wide("row")}, cells)
	}
	table := markup("<p>(none)</p>\n")
	if len(g.Rows) > 0 {
		table = element("table", pairs{"class", wide("wide"), "role", wide("table")}, element("caption", nil, text(name)),
			element("thead", pairs{"role", wide("rowgroup")}, element("tr", pairs{"role", wide("row")}, heads)),
			element("tbody", pairs{"role", wide("rowgroup")}, body))
	}
	table += each(g.Notes, func(n string) markup { return element("p", pairs{"class", "note"}, text(n)) })
	return table, letters
}

// letters returns about how many letters wide a table is: its longest entries, of a long
// text a word, and the longest words of its headings, with a gap between.
func (g Grid) letters() (sum int) {
	for j, head := range g.Heads {
		most := len([]rune(g.Units[j]))
		for word := range strings.FieldsSeq(head) {
			most = max(most, len([]rune(word)))
		}
		for _, row := range g.Rows {
			n := len([]rune(row[j]))
			if !g.Numeric[j] {
				n = min(n, wordLetters)
			}
			most = max(most, n)
		}
		sum += most + 2
	}
	return sum
}
