package report

import (
	"bytes"
	"io"
	"slices"
	"strconv"
	"strings"

	"sunrill/data/units"
)

// Options say how a page is to look. They change no number.
type Options struct {
	System units.System // units of text, Markdown and HTML
	Width  int          // columns of text; 0 means 80
	Colour bool         // whether text may use bold and colour
}

// Renderer prints a Document.
type Renderer func(io.Writer, *Document, Options) error

// Format is one way to print a page.
type Format struct {
	Name    string   // as --format takes it
	Endings []string // file endings that choose it
	Render  Renderer
}

// Formats lists the formats in the order in which help shows them.
var Formats = []Format{
	{"text", []string{".txt", ".text"}, WriteText},
	{"markdown", []string{".md", ".markdown"}, WriteMarkdown},
	{"csv", []string{".csv"}, WriteCSV},
	{"json", []string{".json"}, WriteJSON},
	{"html", []string{".html", ".htm"}, WriteHTML},
}

// FormatNamed returns the format of that name.
func FormatNamed(name string) (Format, bool) {
	for _, f := range Formats {
		if f.Name == name {
			return f, true
		}
	}
	return Format{}, false
}

// FormatForFile returns the format that the ending of path asks for.
func FormatForFile(path string) (Format, bool) {
	for _, f := range Formats {
		for _, ending := range f.Endings {
			if strings.HasSuffix(strings.ToLower(path), ending) {
				return f, true
			}
		}
	}
	return Format{}, false
}

// FormatNames returns the names of all formats.
func FormatNames() []string {
	names := make([]string, len(Formats))
	for i, f := range Formats {
		names[i] = f.Name
	}
	return names
}

// Endings returns every file ending that chooses a format.
func Endings() []string {
	var all []string
	for _, f := range Formats {
		all = append(all, f.Endings...)
	}
	return all
}

// Render returns the whole page in format f, or an error and nothing. It takes off d
// what illustrates the page and cannot be made.
func Render(f Format, d *Document, opt Options) ([]byte, error) {
	d.leaveOut()
	var page bytes.Buffer
	if err := f.Render(&page, d, opt); err != nil {
		return nil, err
	}
	return page.Bytes(), nil
}

// listSections returns the closing lists of the page as sections of prose, in
// the order in which every page has them.
func (d *Document) listSections(system units.System) []listSection {
	var all []listSection
	add := func(heading string, items []Prose) {
		if len(items) > 0 {
			all = append(all, listSection{heading: heading, items: items})
		}
	}
	var warnings []Prose
	for _, w := range d.Warnings {
		warnings = append(warnings, Plain(WarningText(w, system, d.Names)))
	}
	var sources []Prose
	for _, s := range d.Sources {
		sources = append(sources, Plain(s))
	}
	add("Not yet yours", assumptions(d.NotYours))
	add("Assumed", assumptions(d.Assumed))
	add("Warnings", warnings)
	if d.ShowWorking {
		add("Working", workingItems(d.Working))
		if len(d.Working) > 0 {
			all[len(all)-1].steps = d.Working
		}
	}
	add("Take care", d.Cautions)
	add("Sources", sources)
	return all
}

type listSection struct {
	heading string
	items   []Prose
	steps   []Step // of the working, which a page of text sets out in lines
}

func assumptions(list []Assumption) []Prose {
	items := make([]Prose, len(list))
	for i, a := range list {
		switch {
		case a.Value.IsZero():
			items[i] = Sentence("%v: %v", a.Key, a.Why)
		case a.Why.IsZero():
			items[i] = Sentence("%v = %v", a.Key, a.Value)
		default:
			items[i] = Sentence("%v = %v: %v", a.Key, a.Value, a.Why)
		}
		if a.Source != "" {
			items[i] = Sentence("%v (%v)", items[i], a.Source)
		}
	}
	return items
}

// forPage returns t as a page shows it, with numbers in the footnote columns,
// in system and the notes under it: footnotes first, then why cells are unknown.
func (t Table) forPage(system units.System) (Table, []string) {
	var notes []string
	index := map[string]int{}
	shown := t
	shown.Rows = make([][]Cell, len(t.Rows))
	for i, row := range t.Rows {
		shown.Rows[i] = slices.Clone(row)
		for j, c := range row {
			if !t.Columns[j].Footnote || c.kind != textCell || c.text == "" {
				continue
			}
			if index[c.text] == 0 {
				notes = append(notes, c.text)
				index[c.text] = len(notes)
			}
			shown.Rows[i][j] = Text("(" + strconv.Itoa(index[c.text]) + ")")
		}
	}
	for i := range notes {
		notes[i] = "(" + strconv.Itoa(i+1) + ") " + notes[i]
	}
	return shown, append(notes, t.reasons(system)...)
}

// reasons returns, once each, why cells of t are unknown. They are sentences of
// Sunrill's own, but for the names that rows begin with.
func (t Table) reasons(system units.System) []string {
	var all, names []string
	for _, row := range t.Rows {
		if len(row) > 0 && row[0].kind == textCell {
			names = append(names, row[0].text)
		}
	}
	seen := map[string]bool{}
	for _, row := range t.Rows {
		for j, c := range row {
			if c.kind != unknownCell || c.text == "" {
				continue
			}
			why := c.text
			if system != units.Metric {
				why = inSystem(why, system, names)
			}
			if r := t.Columns[j].Heading + ": " + why; !seen[r] {
				seen[r] = true
				all = append(all, r)
			}
		}
	}
	return all
}

// numeric reports whether column j of t holds numbers, so that it is set to
// the right.
func (t Table) numeric(j int) bool {
	if t.Columns[j].Unit.Symbol != "" {
		return true
	}
	for _, row := range t.Rows {
		if row[j].kind == numberCell {
			return true
		}
	}
	return false
}

// shown returns cell c of column col as a page shows it.
func (c Cell) shown(col Column, system units.System, clean func(string) string) string {
	switch c.kind {
	case numberCell:
		return col.Unit.Figure(c.number, system, col.Digits)
	case unknownCell:
		return "-"
	}
	if c.told {
		return clean(inSystem(c.text, system, nil))
	}
	return clean(c.text)
}
