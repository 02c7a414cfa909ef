package document

import (
	"encoding/json"
	"strconv"

	"sunrill/data/units"
)

// Front is what a page of a whole job opens with: the verdict, the figures that decide,
// and each group of controls beside the pictures that it moves. What is not known yet
// is left out, and a page that shows it already keeps it.
type Front struct {
	Head   Prose // the verdict, beside its mark
	State  State
	More   []Prose
	Tiles  []Tile
	Groups []Group
	Better Prose   // what is cheapest of all
	Best   Setting // sets it; nothing where that is the plan itself
}

// State is a verdict in one of five marks, which differ in form.
type State int

// The states.
const (
	Undecided State = iota
	Good
	Doubtful
	Bad
	Danger
)

// String returns the name of the state, as the style of the page has it.
func (s State) String() string {
	return [...]string{Undecided: "none", Good: "good", Doubtful: "doubt", Bad: "bad", Danger: "danger"}[s]
}

// Tile is one figure that decides.
type Tile struct {
	Key    string
	Label  string
	Figure Prose
	Span   *Span // under the figure
	State  State
	Says   Prose // beside the mark, in a few words
	Notes  []Prose
	Brief  Prose // in the strip that stays in sight
	Late   bool  // it takes longer than the water alone
}

// Span is a range with the figure in it and a goal, on one line from zero.
type Span struct {
	Low, At, High, Goal float64
	Tick                Prose // beside the goal
	Alt                 Prose
}

// Group is what can be changed, and what it moves.
type Group struct {
	Key, Heading string
	Controls     []Control
	Picker       *Picker
	Scene        *Scene
	Pictures     []Picture
}

// Control changes one value of a plan: a slider through steps.
type Control struct {
	Key   string // of the plan
	Label string
	Steps []Setting
	At    int // the step that the plan has
}

// Setting is one step of a Control: the settings that make it, none where the plan is
// left as it is, and its name.
type Setting struct {
	Set  [][2]string
	Name Prose
}

// Picker is a table of things to choose from, the first for leaving the choice to the
// program.
type Picker struct {
	Control
	Heads []string // of the columns after the name
	Rows  [][]Prose
	State []State // of each row; shown in the last column
}

// markForms draw the states within 20 by 20.
var markForms = [...][]pairs{
	Undecided: {{"class", "line", "d", "M10 2a8 8 0 1 0 .01 0zM6 10h8"}},
	Good:      {{"class", "fill", "d", "M10 1a9 9 0 1 0 .01 0z"}, {"class", "cut", "d", "M5.6 10.4l3 3 5.8-6.4"}},
	Doubtful:  {{"class", "line", "d", "M10 1.8a8.2 8.2 0 1 0 .01 0z"}, {"class", "fill", "d", "M10 1.8a8.2 8.2 0 0 1 0 16.4z"}},
	Bad:       {{"class", "line", "d", "M10 1.2L18.8 10 10 18.8 1.2 10zM7.2 7.2l5.6 5.6M12.8 7.2l-5.6 5.6"}},
	Danger:    {{"class", "line", "d", "M10 2l8.6 15.6H1.4zM10 8v4.6M10 14.6v.6"}},
}

// mark returns the mark of a state; words beside it say the same.
func mark(s State) markup {
	return element("svg", pairs{"class", "mark " + s.String(), "viewBox", "0 0 20 20", "aria-hidden", "true"},
		each(markForms[s], func(p pairs) markup { return element("path", p) }))
}

// slot returns an element whose inside an answer may replace, and keeps that inside.
// Nothing is kept of what is not known.
func (h *page) slot(name, id string, attributes pairs, inner ...markup) markup {
	var all markup
	for _, m := range inner {
		all += m
	}
	if all != "" {
		h.slots[id] = string(all)
	}
	return element(name, append(attributes, "data-slot", id), all)
}

// opening returns the verdict and the figures.
func (h *page) opening(d *Document) markup {
	f := d.front
	var verdict, sign markup
	if !f.Head.IsZero() {
		verdict, sign = element("span", nil, h.prose(f.Head)), mark(f.State)
	}
	verdict = h.slot("h1", "verdict", nil, sign, verdict)
	more := h.slot("p", "more", pairs{"class", "more"}, each(f.More, func(p Prose) markup { return h.prose(p) + " " }))
	tiles := each(f.Tiles, func(t Tile) markup {
		inner := element("h2", nil, text(t.Label)) + element("p", pairs{"class", "figure"}, h.prose(t.Figure))
		if t.Span != nil {
			inner += t.Span.draw(h.system).svg("class", "span", "role", "img", "aria-label", Clean(t.Span.Alt.Text(h.system, Clean)))
		}
		decided := markup("")
		if t.State != Undecided {
			decided = mark(t.State)
		}
		inner += element("p", pairs{"class", "says"}, decided, element("span", nil, h.prose(t.Says)))
		class := map[bool]string{true: "tile late", false: "tile"}[t.Late]
		return h.slot("div", "tile-"+t.Key, pairs{"class", class}, inner, each(t.Notes, h.note))
	})
	brief := each(f.Tiles, func(t Tile) markup {
		return h.slot("span", "brief-"+t.Key, nil, h.prose(t.Brief))
	})
	best := markup("")
	if _, sets := h.steps(Control{Steps: []Setting{f.Best}}); h.live && len(f.Best.Set) > 0 {
		best = element("button", pairs{"type", "button", "id", "best", "class", "undo", "hidden", "hidden",
			"data-sets", sets}, h.prose(f.Best.Name))
	}
	return verdict + more + present("section", pairs{"class", "tiles", "aria-label", "The answer in four figures"}, tiles) +
		h.slot("p", "better", pairs{"class", "more"}, h.prose(f.Better)) + best +
		element("div", pairs{"class", "strip", "aria-hidden", "true"},
			element("div", nil, h.slot("span", "brief-mark", nil, sign), brief))
}

// group returns a group of controls beside what it moves.
func (h *page) group(g Group) markup {
	var shown markup
	if g.Scene != nil {
		shown += element("figure", nil, h.slot("div", "scene", nil, g.Scene.draw(h.system).svg("role", "img", "aria-label",
			Clean(g.Scene.alt(h.system)))))
	}
	if g.Picker != nil && len(g.Pictures) > 0 {
		shown += h.drawn(g.Pictures[0]) + h.picker(*g.Picker) + each(g.Pictures[1:], h.drawn)
	} else {
		shown += each(g.Pictures, h.drawn)
	}
	given := element("dl", pairs{"class", "given"}, each(g.Controls, func(c Control) markup {
		return element("div", nil, element("dt", nil, text(c.Label)), element("dd", nil, text(c.Steps[c.At].Name.Text(h.system, Clean))))
	}))
	if h.live {
		given += each(g.Controls, h.control)
	}
	return element("section", pairs{"class", "group", "aria-labelledby", "h-" + g.Key},
		element("h2", pairs{"id", "h-" + g.Key}, text(g.Heading)),
		element("div", pairs{"class", "shown"}, shown), element("div", pairs{"class", "controls"}, given))
}

// drawn is a picture that an answer may replace, with its numbers.
func (h *page) drawn(p Picture) markup {
	return h.slot("figure", "pic-"+p.Key, nil, h.inFigure(p))
}

// steps are the names of the steps and the settings behind each, as the script reads them.
func (h *page) steps(c Control) (names, sets string) {
	n, _ := json.Marshal(Each(c.Steps, func(s Setting) string { return Softened(s.Name.Text(h.system, Clean)) })) // never fails
	s, _ := json.Marshal(Each(c.Steps, func(s Setting) [][2]string { return append([][2]string{}, s.Set...) }))
	return string(n), string(s)
}

// control is a slider, with room for its fault.
func (h *page) control(c Control) markup {
	names, sets := h.steps(c)
	id, at := "c-"+c.Key, strconv.Itoa(c.At)
	now := Softened(c.Steps[c.At].Name.Text(h.system, Clean))
	put := element("button", pairs{"type", "button", "class", "undo", "hidden", "hidden", "aria-label", "put back " + now + ": " + c.Label},
		text("put back "+now))
	data := pairs{"data-key", c.Key, "data-names", names, "data-sets", sets, "data-at", at}
	return element("div", append(data, "class", "control", "hidden", "hidden"), element("label", pairs{"for", id}, text(c.Label)),
		element("output", pairs{"for", id}, text(now)),
		element("input", pairs{"type", "range", "id", id, "min", "0", "max", strconv.Itoa(len(c.Steps) - 1), "value", at,
			"aria-valuetext", now, "list", "at-" + c.Key}),
		element("datalist", pairs{"id", "at-" + c.Key}, element("option", pairs{"value", at})), put)
}

// picker is the table of what there is to choose from.
func (h *page) picker(p Picker) markup {
	names, sets := h.steps(p.Control)
	heads := each(append([]string{p.Label}, p.Heads...), func(s string) markup {
		return element("th", pairs{"scope", "col", "role", "columnheader"}, text(s))
	})
	var rows markup
	for i, step := range p.Steps {
		name := h.prose(step.Name)
		if id := "c-" + p.Key + "-" + strconv.Itoa(i); h.live {
			radio := pairs{"type", "radio", "name", "c-" + p.Key, "id", id, "value", strconv.Itoa(i),
				"checked", map[bool]string{true: "checked"}[i == p.At]}
			name = element("span", pairs{"class", "pick", "hidden", "hidden"}, element("input", radio)) +
				element("label", pairs{"for", id}, name)
		}
		cells := element("th", pairs{"scope", "row", "role", "rowheader"}, name)
		for j, cell := range p.Rows[i] {
			inner := present("span", nil, h.prose(cell))
			if j == len(p.Rows[i])-1 && inner != "" {
				inner = mark(p.State[i]) + inner
			}
			cells += h.slot("td", "row-"+strconv.Itoa(i)+"-"+strconv.Itoa(j), pairs{"role", "cell", "data-h", p.Heads[j]}, inner)
		}
		rows += element("tr", pairs{"role", "row"}, cells)
	}
	return element("div", pairs{"class", "control picker", "data-key", p.Key, "data-names", names, "data-sets", sets,
		"data-at", strconv.Itoa(p.At)},
		element("table", pairs{"class", "wide", "role", "table"}, element("caption", nil, text(p.Label)),
			element("thead", pairs{"role", "rowgroup"}, element("tr", pairs{"role", "row"}, heads)),
			element("tbody", pairs{"role", "rowgroup"}, rows)))
}

// draw lays a span out.
func (s *Span) draw(system units.System) Drawing {
	const width, foot, letters = 200.0, 9.0, 14.0
	most := 1.15 * max(s.High, s.At, s.Goal)
	x := func(v float64) float64 { return 4 + (width-8)*min(1, v/most) }
	d := Drawing{Width: width, Height: 32}
	d.add(stroke(InkFaint, 1.5, Point{4, foot}, Point{width - 4, foot}))
	if s.High > s.Low {
		d.add(filled(InkWaterFill, box(x(s.Low), foot-4, x(s.High), foot+4)...))
	}
	if s.At > 0 {
		d.add(disc(InkWater, 4.5, Point{x(s.At), foot}))
	}
	if s.Goal > 0 {
		at, label := x(s.Goal), Softened(s.Tick.Text(system, Clean))
		half := TextWidth(label, letters) / 2
		d.add(stroke(InkBlack, 2, Point{at, foot - 8}, Point{at, foot + 8}))
		d.words(min(max(at, half), width-half), 30, label, letters, InkQuiet, 0.5)
	}
	return d
}
