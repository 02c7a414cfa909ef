package document

import (
	"fmt"

	"sunrill/data/units"
)

// Picture is a drawing with the words that stand in for it.
type Picture struct {
	Key   string // names its file: "curves"
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

// Axis is one direction of a chart. It goes from zero, or below where something is drawn
// there, to To; where that is zero, what is drawn decides.
type Axis struct {
	Label string // without the unit
	Unit  Unit
	To    float64
	// Every sets the distance of its marks; 0 chooses one.
	Every float64
}

// Series is one thing drawn. X and Y have equal length, in the units of the axes.
type Series struct {
	Name string // beside it in the picture, once for all of the same name; "" for none
	As   Shape
	Ink  Ink
	Dash Dash
	X, Y []float64
	Low  []float64 // where a Range begins
	Mark Mark      // of points
}

// Rule is a line across the chart, such as a goal.
type Rule struct {
	Name string
	At   float64 // in the unit of Y
	Ink  Ink
}

// Shape says how a series is drawn.
type Shape int

// The shapes of a series. AsSteps and AsBars have one value a name; AsRange reaches from
// Low to Y over the bars of a chart whose names stand under each other.
const (
	AsLine Shape = iota
	AsThick
	AsSteps
	AsBars
	AsPoints
	AsRange
)

// Dash is the style of a line, so that lines differ without colour.
type Dash int

// The styles of a line.
const (
	Solid Dash = iota
	Dashed
)

// Mark is the form of a point.
type Mark int

// The forms of a point.
const (
	Dot Mark = iota
	Ring
)

// Check returns what keeps p from being drawn.
func (p Picture) Check() error {
	for _, s := range p.Chart.Series {
		n := len(s.X)
		if len(p.Chart.Names) > 0 {
			n = len(p.Chart.Names)
		}
		if n == 0 || len(s.Y) != n || s.Low != nil && len(s.Low) != n {
			return fmt.Errorf("document: picture %s: series %q has %d, %d and %d values", p.Key, s.Name, len(s.X), len(s.Y), len(s.Low))
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
