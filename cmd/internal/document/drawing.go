package document

import (
	"math"
	"strings"

	"sunrill/data/units"
)

// Drawing is a picture laid out on a sheet: what every drawer draws, so that
// SVG and PNG cannot differ. Lengths are in points, from the upper left corner.
type Drawing struct {
	Width, Height float64
	Parts         []Part // in the order of painting
}

// Part is an area, lines or words of a Drawing.
type Part struct {
	Lines  [][]Point // corners
	Closed bool
	Radius float64 // of a disc about the first corner; 0 is none
	Filled bool    // with Ink
	Width  float64 // of the lines in Ink; 0 for areas and words
	Dashes []float64
	Ink    Ink
	Text   string  // stands on the first corner
	Size   float64 // of its letters
	Anchor float64 // the share of its width left of the corner: 0, 0.5 or 1
}

// Point is a place on the sheet.
type Point struct{ X, Y float64 }

// A drawing is 400 points wide with letters of 11 to 12, so that it can be read at the
// width of a phone and two of them stand side by side on paper.
const (
	drawingWidth = 400
	plotHeight   = 170 // of the part with the data
	legendSize   = 11.5
	tickSize     = 11
	titleSize    = 14
	sheetMargin  = 8
	legendRow    = 16
	swatch       = 22   // width of what is drawn before a name in the legend
	mostLabel    = 30   // letters of a name in a picture
	middle       = 0.36 // of its height, from the foot of a letter
	halfBar      = 0.38 // of the distance between two names
)

func (d *Drawing) add(parts ...Part) { d.Parts = append(d.Parts, parts...) }

// words writes text on the point.
func (d *Drawing) words(x, y float64, text string, size float64, ink Ink, anchor float64) {
	d.add(Part{Lines: [][]Point{{{x, y}}}, Text: text, Size: size, Ink: ink, Anchor: anchor})
}

// stroke draws a line through points.
func stroke(ink Ink, width float64, points ...Point) Part {
	return Part{Lines: [][]Point{points}, Width: width, Ink: ink}
}

// filled is an area between corners.
func filled(ink Ink, corners ...Point) Part {
	return Part{Lines: [][]Point{corners}, Closed: true, Filled: true, Ink: ink}
}

// disc is a filled circle.
func disc(ink Ink, radius float64, at Point) Part {
	return Part{Lines: [][]Point{{at}}, Radius: radius, Filled: true, Ink: ink}
}

// box returns the corners of a rectangle, from its upper left clockwise.
func box(left, top, right, bottom float64) []Point {
	return []Point{{left, top}, {right, top}, {right, bottom}, {left, bottom}}
}

// Draw lays p out in the units of system. On a sheet of its own it stands with its
// title on paper; in a page it has neither.
func (p Picture) Draw(system units.System, sheet bool) Drawing {
	s := sketch{chart: p.Chart, system: system, right: drawingWidth, Drawing: Drawing{Width: drawingWidth}}
	if sheet {
		s.right, s.left = drawingWidth-sheetMargin, sheetMargin
		s.Parts = append(s.Parts, Part{}) // the paper, once its height is known
		s.title(Softened(p.Title.Text(system, Clean)))
	}
	s.legend()
	if p.Chart.Across {
		s.across()
	} else {
		s.axes()
		s.series()
	}
	if sheet {
		s.Height += sheetMargin
		s.Parts[0] = filled(InkPaper, box(0, 0, s.Width, s.Height)...)
	}
	return s.Drawing
}

// sketch is a drawing in the making: Height is how far it is filled.
type sketch struct {
	Drawing
	chart       Chart
	left, right float64 // the margins
	system      units.System
	x, y        scale
}

// scale maps a span of an axis on the sheet.
type scale struct {
	span
	at, length float64
}

// of returns the place of v, which is in the unit of the axis.
func (s scale) of(v float64) float64 { return s.at + (v-s.from)/(s.to-s.from)*s.length }

// title writes the title in as many lines as it needs.
func (s *sketch) title(text string) {
	const most = 160 // letters: a name from a file may have any number
	words := Each(strings.Fields(abridged(text, most)), func(word string) string { return abridged(word, mostLabel) })
	s.Height = sheetMargin
	wide := func(s string) int { return int(TextWidth(s, titleSize) + 4) } // with the space behind it
	for _, line := range units.Wrapped("", "", strings.Join(words, " "), int(s.right-s.left), wide) {
		s.Height += 1.25 * titleSize
		s.words(s.left, s.Height-0.25*titleSize, line, titleSize, InkBlack, 0)
	}
	s.Height += sheetMargin
}

// legend writes what each thing is above the picture, where it covers none of it.
func (s *sketch) legend() {
	x, gap := s.left, 14.0
	for i, e := range s.entries() {
		name := abridged(Clean(e.name), mostLabel+4)
		width := e.width + 6 + TextWidth(name, legendSize)
		if i == 0 {
			s.Height += legendRow
		} else if x+width > s.right {
			x = s.left
			s.Height += legendRow
		}
		s.add(e.swatch(Point{x, s.Height - 4 - middle*legendSize})...)
		s.words(x+e.width+6, s.Height-4, name, legendSize, InkBlack, 0)
		x += width + gap
	}
}

// axes draws the marks, the lines across at them and the titles of both axes.
func (s *sketch) axes() {
	c := s.chart
	x, y := c.extent()
	s.Height += tickSize + 3
	s.words(s.left, s.Height-1, c.Y.title(s.system), tickSize, InkQuiet, 0)
	s.Height += 10
	ticks, widest := c.Y.ticks(y, s.system), 0.0
	for _, t := range ticks {
		widest = max(widest, TextWidth(t.label, tickSize))
	}
	left, foot := s.left+widest+6, s.Height+plotHeight
	s.y = scale{y, foot, -plotHeight}
	s.x = scale{x, left, s.right - left - 2}
	var across [][]Point
	for _, t := range ticks {
		at := s.y.of(t.at)
		s.words(left-6, at+middle*tickSize, t.label, tickSize, InkQuiet, 1)
		if t.at > y.from {
			across = append(across, []Point{{left, at}, {s.right, at}})
		}
	}
	s.add(Part{Lines: across, Width: 0.7, Ink: InkFaint})
	if len(c.Names) > 0 {
		s.add(stroke(InkQuiet, 0.8, Point{left, foot}, Point{s.right, foot}))
		s.Height = foot + 4 + tickSize
		letters := int(s.x.length / float64(len(c.Names)) / (0.58 * tickSize))
		for i, name := range c.Names {
			s.words(s.x.of(float64(i)), s.Height, abridged(Clean(name), min(mostLabel, max(3, letters))), tickSize, InkQuiet, 0.5)
		}
		s.Height += 4
		return
	}
	s.foot(c.X, s.x, foot)
}

// foot writes the marks of an axis under a line at y, and its title.
func (s *sketch) foot(a Axis, along scale, y float64) {
	s.add(stroke(InkQuiet, 0.8, Point{along.at, y}, Point{s.right, y}))
	for _, t := range a.ticks(along.span, s.system) {
		at, half := along.of(t.at), TextWidth(t.label, tickSize)/2
		s.add(stroke(InkQuiet, 0.8, Point{at, y}, Point{at, y + 3}))
		s.words(max(min(at, s.right-half), s.left+half), y+4+tickSize, t.label, tickSize, InkQuiet, 0.5)
	}
	s.words(s.right, y+7+2*tickSize, a.title(s.system), tickSize, InkQuiet, 1)
	s.Height = y + 11 + 2*tickSize
}

// span is a range of an axis.
type span struct{ from, to float64 }

func (s *span) take(v float64) { s.from, s.to = min(s.from, v), max(s.to, v) }

// widened returns s with a share of it as room above, where that is not settled.
func (s span) widened(settled bool, share float64) span {
	if s.to == s.from {
		s.to++
	}
	if !settled {
		s.to += share * (s.to - s.from)
	}
	return s
}

// extent returns the ranges of both axes: all that is drawn, zero, and a
// little room above.
func (c Chart) extent() (x, y span) {
	x, y = span{0, c.X.To}, span{0, c.Y.To}
	for _, s := range c.Series {
		for i, v := range s.Y {
			y.take(v)
			if len(c.Names) == 0 {
				x.take(s.X[i])
			}
		}
	}
	for _, r := range c.Rules {
		y.take(r.At)
	}
	if n := float64(len(c.Names)); n > 0 {
		return span{-0.5, n - 0.5}, y.widened(c.Y.To > 0, 0.06)
	}
	return x.widened(c.X.To > 0, 0.02), y.widened(c.Y.To > 0, 0.06)
}

// tick is a mark on an axis.
type tick struct {
	at    float64 // in the unit of the axis
	label string
}

// ticks marks the axis at distances that are round in the unit shown, six or so of them.
func (a Axis) ticks(s span, system units.System) []tick {
	from, to := a.Unit.shownIn(s.from, system), a.Unit.shownIn(s.to, system)
	step := a.Every
	if step == 0 {
		step = roundStep((to - from) / 6)
	}
	var all []tick
	for i := math.Ceil(from/step - 1e-9); i*step <= to*(1+1e-9); i++ {
		v := i*step + 0 // no minus before zero
		at := s.from + (v-from)/(to-from)*(s.to-s.from)
		all = append(all, tick{at, formatNumber(v, allDigits)})
	}
	return all
}

// roundStep returns the next of 1, 2, 2.5, 5 times a power of ten.
func roundStep(v float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, step := range []float64{1, 2, 2.5, 5} {
		if v <= step*power*(1+1e-9) {
			return step * power
		}
	}
	return 10 * power
}

// TextWidth returns about how wide text is in the common sans-serif fonts.
func TextWidth(text string, size float64) float64 {
	sum := 0.0
	for _, r := range text {
		switch {
		case strings.ContainsRune("ijl'|", r):
			sum += 0.23
		case strings.ContainsRune(" !,./:;I[]\\ft()-r\u00a0", r):
			sum += 0.31
		case strings.ContainsRune("mMW%@", r):
			sum += 0.87
		case r > 0x2e80:
			sum++
		case r >= 'A' && r <= 'Z' || r == 'w' || r > 0x2000:
			sum += 0.7
		default:
			sum += 0.56
		}
	}
	return sum * size
}

// abridged returns a name with at most n letters, from its start and its end: the
// names of pumps of one make often differ in the last letters only.
func abridged(name string, n int) string {
	letters := []rune(name)
	if len(letters) <= n {
		return name
	}
	start := 3 * n / 5
	return strings.TrimSpace(string(letters[:start])) + "…" + strings.TrimSpace(string(letters[len(letters)-(n-start-1):]))
}
