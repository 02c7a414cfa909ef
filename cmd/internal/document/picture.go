package document

import (
	"fmt"
	"strings"

	"sunrill/data/units"
)

// Picture is a drawing with the words that stand in for it. The numbers
// behind it are its own table, made of what is drawn, so that picture and
// table cannot differ.
type Picture struct {
	Key   string // names its files, and its table in CSV and JSON: "curves"
	Title Prose  // its finding, in a sentence
	Alt   Prose  // what can be seen in it, for those who cannot
	Chart Chart
}

// Chart is what a picture draws: series over an axis of numbers, or over
// names where Names is not empty.
type Chart struct {
	X, Y   Axis
	Names  []string // "Jan" to "Dec"; the X of a series is then unused
	Across bool     // Names stand under each other, each with its bar
	Says   []string // beside each name of a chart across
	Series []Series // in the order of drawing
	Rules  []Rule
}

// Axis is one direction of a chart. It holds at least From to To; where both
// are zero, what is drawn decides, and zero is always on it.
type Axis struct {
	Key      string // of the column behind it, with its unit: "flow_m3_per_h"
	Label    string // without the unit
	Unit     Unit
	From, To float64
	// Every sets the distance of its marks; 0 chooses one.
	Every float64
}

// Series is one thing drawn. X and Y have equal length, in the units of the axes.
type Series struct {
	Key    string // of its column where the chart has Names, without the unit; else unused
	Name   string // beside it in the picture, once for all of the same name; "" for none
	As     Shape
	Ink    Ink
	Dash   Dash
	X, Y   []float64
	Low    []float64 // what Hatching stands on and where a Range begins; nil is zero
	Labels []string  // of single points, "" for none
	Mark   Mark      // of points
}

// Rule is a line across the chart, such as a goal.
type Rule struct {
	Name     string
	At       float64 // in the unit of its axis
	Vertical bool
	Ink      Ink
}

// Shape says how a series is drawn.
type Shape int

// The shapes of a series. AsSteps, AsBars, AsHatching and AsStack have one value a name;
// AsBand reaches down to zero; AsStack stands on the stack before it; AsRange reaches from
// Low to Y over the bars of a chart whose names stand under each other.
const (
	AsLine Shape = iota
	AsThick
	AsSteps
	AsBand
	AsBars
	AsHatching
	AsPoints
	AsStack
	AsRange
)

// Dash is the style of a line, so that lines differ without colour.
type Dash int

// The styles of a line.
const (
	Solid Dash = iota
	Dashed
	Dotted
	DashDotted
	longDashed
	dashDotDotted
)

// Mark is the form of a point.
type Mark int

// The forms of a point.
const (
	Dot Mark = iota
	Ring
)

// mostName is how much of a name stands in every row of the numbers behind a picture.
const mostName = 80

// table returns the numbers behind p: a row a name, or a row a point.
func (p Picture) table() Table {
	t := Table{Key: p.Key}
	c := p.Chart
	if len(c.Names) > 0 {
		t.Columns = []Column{{Key: c.X.Key, Heading: c.X.Label, Unit: Word}}
		for _, s := range c.Series {
			key := strings.TrimSuffix(s.Key+"_"+c.Y.Unit.Suffix, "_")
			if s.As == AsRange {
				t.Columns = append(t.Columns, Column{Key: "low_" + key, Heading: "least", Unit: c.Y.Unit})
				key = "high_" + key
			}
			t.Columns = append(t.Columns, Column{Key: key, Heading: s.Name, Unit: c.Y.Unit})
		}
		for i, name := range c.Names {
			row := []Cell{Text(name)}
			for _, s := range c.Series {
				if s.As == AsRange {
					row = append(row, Number(s.Low[i]))
				}
				row = append(row, Number(s.Y[i]))
			}
			t.Rows = append(t.Rows, row)
		}
		return t
	}
	t.Columns = []Column{
		{Key: "series", Heading: "what", Unit: Word},
		{Key: c.X.Key, Heading: c.X.Label, Unit: c.X.Unit},
		{Key: c.Y.Key, Heading: c.Y.Label, Unit: c.Y.Unit},
	}
	for _, s := range c.Series {
		if s.Name == "" && s.Labels == nil {
			continue // only repeats what another series draws
		}
		for i := range s.X {
			name := s.Name
			if s.Labels != nil {
				name = s.Labels[i]
			}
			t.Rows = append(t.Rows, []Cell{Text(abridged(name, mostName)), Number(s.X[i]), Number(s.Y[i])})
		}
	}
	for _, r := range c.Rules {
		all := Unknown(r.Name + " is a line across the chart")
		row := []Cell{Text(r.Name), all, Number(r.At)}
		if r.Vertical {
			row = []Cell{Text(r.Name), Number(r.At), all}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// Check returns what keeps p from being drawn.
func (p Picture) Check() error {
	for _, s := range p.Chart.Series {
		n := len(s.X)
		if len(p.Chart.Names) > 0 {
			n = len(p.Chart.Names)
		}
		if n == 0 || len(s.Y) != n || s.Low != nil && len(s.Low) != n || s.Labels != nil && len(s.Labels) != n {
			return fmt.Errorf("document: picture %s: series %q has %d, %d, %d and %d values",
				p.Key, s.Name, len(s.X), len(s.Y), len(s.Low), len(s.Labels))
		}
	}
	return finite("document: picture "+p.Key, p)
}

// title returns the label of the axis with its unit.
func (a Axis) title(system units.System) string {
	if symbol := a.Unit.ShownSymbol(system); symbol != "" {
		return abridged(Clean(a.Label+", "+symbol), mostLabel)
	}
	return abridged(Clean(a.Label), mostLabel)
}
