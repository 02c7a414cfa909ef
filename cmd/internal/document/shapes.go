package document

import (
	"cmp"
	"math"
	"slices"
	"strconv"
)

// entry is a name in the legend with what it stands for.
type entry struct {
	name   string
	swatch func(x, y float64) []Part // from the middle of its left edge
}

// pen is how a line is drawn, so that lines differ without colour.
type pen struct {
	width float64
	dash  Dash
}

// dashes are the lengths of strokes and gaps of each Dash.
var dashes = [][]float64{Solid: nil, Dashed: {6, 3.5}, Dotted: {1.6, 2.8}, DashDotted: {8, 3, 1.6, 3},
	longDashed: {13, 4}, dashDotDotted: {8, 3, 1.6, 3, 1.6, 3}}

// pens gives every series that is a line a pen: the dash it asks for or, where another
// name has it, a heavier line or the next dash. Those that ask for none choose first.
func (c Chart) pens() []pen {
	const light, heavy = 1.8, 2.8
	all, of, taken := make([]pen, len(c.Series)), map[string]pen{}, map[pen]bool{}
	for i := range 2 * len(all) {
		n := i % len(all)
		s := c.Series[n]
		if s.As != AsLine && s.As != AsSteps || (s.Dash == Solid) != (i < len(all)) {
			continue
		}
		p, known := of[s.Name]
		for k := 0; !known && k < 2*len(dashes); k++ {
			p = pen{[]float64{light, heavy}[k%2], (s.Dash + Dash(k/2)) % Dash(len(dashes))}
			if !taken[p] {
				break
			}
		}
		all[n], of[s.Name], taken[p] = p, p, true
	}
	return all
}

// fills tells whether a shape is an area, which stands on something.
func (s Shape) fills() bool { return s >= AsBand && s != AsPoints && s != AsRange }

// namedPoint is a point that has a name of its own.
type namedPoint struct{ series, i int }

// namedPoints returns them from left to right, in which order they are numbered.
func (c Chart) namedPoints() []namedPoint {
	var all []namedPoint
	for n, s := range c.Series {
		for i, label := range s.Labels {
			if label != "" {
				all = append(all, namedPoint{n, i})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b namedPoint) int { return cmp.Compare(c.Series[a.series].X[a.i], c.Series[b.series].X[b.i]) })
	return all
}

// entries lists what the legend names: series in the order of drawing, named points, rules.
func (s *sketch) entries() []entry {
	var all []entry
	seen, pens := map[string]bool{"": true}, s.chart.pens()
	for n, series := range s.chart.Series {
		if seen[series.Name] {
			continue
		}
		seen[series.Name] = true
		all = append(all, entry{series.Name, func(x, y float64) []Part {
			switch {
			case series.As == AsPoints:
				return series.Mark.parts(series.Ink, Point{x + swatch/2, y})
			case series.As == AsRange:
				return series.whisker(x+3, x+swatch, y)
			case series.As.fills():
				return series.area(box(x+3, y-5, x+swatch, y+5))
			}
			return []Part{series.line([][]Point{{{x, y}, {x + swatch, y}}}, pens[n])}
		}})
	}
	points := s.chart.namedPoints()
	for k, point := range points {
		series := s.chart.Series[point.series]
		all = append(all, entry{series.Labels[point.i], func(x, y float64) []Part {
			parts := series.Mark.parts(series.Ink, Point{x + 4.5, y})
			if len(points) > 1 {
				parts = append(parts, numberPart(k+1, Point{x + swatch + 1, y}, 1))
			}
			return parts
		}})
	}
	for _, r := range s.chart.Rules {
		if r.Name != "" {
			all = append(all, entry{r.Name, func(x, y float64) []Part { return []Part{r.part(Point{x, y}, Point{x + swatch, y})} }})
		}
	}
	return all
}

// numberPart is the number that joins a point to its name, at the height of the point.
func numberPart(n int, at Point, anchor float64) Part {
	at.Y += 0.36 * tickSize
	return Part{Lines: [][]Point{{at}}, Text: strconv.Itoa(n), Size: tickSize, Ink: InkBlack, Anchor: anchor}
}

// edges returns what series n stands on and how far it reaches.
func (c Chart) edges(n int) (low, high []float64) {
	s := c.Series[n]
	if !s.As.fills() {
		return s.Y, s.Y
	}
	low, high = make([]float64, len(s.Y)), make([]float64, len(s.Y))
	copy(low, s.Low)
	for i, v := range s.Y {
		for _, under := range c.Series[:n] {
			if s.As == AsStack && under.As == AsStack {
				low[i] += under.Y[i]
			}
		}
		high[i] = low[i] + v
		if s.As == AsBand {
			high[i] = v
		}
	}
	return low, high
}

// series draws what the chart holds, and its rules.
func (s *sketch) series() {
	c, pens := s.chart, s.chart.pens()
	for n, series := range c.Series {
		low, high := c.edges(n)
		switch series.As {
		case AsLine, AsSteps, AsThick:
			s.add(series.line([][]Point{s.path(series)}, pens[n]))
		case AsBand:
			outline := s.path(Series{X: series.X, Y: high})
			for i := len(low) - 1; i >= 0; i-- {
				outline = append(outline, Point{s.x.of(series.X[i]), s.y.of(low[i])})
			}
			s.add(Part{Lines: [][]Point{outline}, Closed: true, Filled: true, Ink: series.Ink})
		case AsPoints:
			for _, at := range s.path(series) {
				s.add(series.Mark.parts(series.Ink, at)...)
			}
		default:
			left, width := c.bar(n)
			for i := range series.Y {
				from, to := float64(i)+left, float64(i)+left+width
				if top, foot := s.y.of(max(low[i], high[i])), s.y.of(min(low[i], high[i])); foot-top >= 0.3 {
					s.add(series.area(box(s.x.of(from), top, s.x.of(to), foot))...)
				}
			}
		}
	}
	left, right, foot := s.x.at, s.right, s.y.at
	for _, r := range c.Rules {
		if r.Vertical {
			s.add(r.part(Point{s.x.of(r.At), foot}, Point{s.x.of(r.At), foot - plotHeight}))
		} else {
			s.add(r.part(Point{left, s.y.of(r.At)}, Point{right, s.y.of(r.At)}))
		}
	}
	s.numbers()
	s.figures()
}

// bar returns where the bars of series n begin beside their name and how wide they are:
// side by side where several series are bars.
func (c Chart) bar(n int) (left, width float64) {
	before, all := 0, 0
	for i, other := range c.Series {
		if other.As == AsBars {
			all++
			if i < n {
				before++
			}
		}
	}
	switch width = 0.76; c.Series[n].As {
	case AsBars:
		return width*float64(before)/float64(all) - width/2, width / float64(all)
	case AsStack:
		width = 0.34
	}
	return -width / 2, width
}

// path returns the corners of a line through a series.
func (s *sketch) path(series Series) []Point {
	var points []Point
	for i, v := range series.Y {
		x, y := 0.0, s.y.of(v)
		switch named, steps := len(s.chart.Names) > 0, series.As == AsSteps; {
		case named && steps:
			points = append(points, Point{s.x.of(float64(i) - 0.5), y})
			x = float64(i) + 0.5
		case named:
			x = float64(i)
		default:
			x = series.X[i]
			if steps && i > 0 {
				points = append(points, Point{s.x.of(x), points[len(points)-1].Y})
			}
		}
		points = append(points, Point{s.x.of(x), y})
	}
	return points
}

// numbers writes the numbers of named points, each in the place about its point that is
// clearest of other points and numbers.
func (s *sketch) numbers() {
	points, taken, paths := s.chart.namedPoints(), []Point{}, make([][]Point, len(s.chart.Series))
	for n, series := range s.chart.Series {
		if series.As == AsPoints {
			paths[n] = s.path(series)
			taken = append(taken, paths[n]...)
		}
	}
	for k, point := range points {
		if len(points) == 1 {
			return
		}
		at, best, most := paths[point.series][point.i], Point{}, -1.0
		for _, d := range []Point{{9, 9}, {-9, -9}, {0, -12}, {0, 12}, {12, 0}, {-12, 0}, {9, -9}, {-9, 9}} {
			there, room := Point{at.X + d.X, at.Y + d.Y}, 11.0
			for _, other := range taken {
				room = min(room, math.Hypot(other.X-there.X, other.Y-there.Y))
			}
			if room > most && there.Y < s.y.at-5 && there.X < s.right-5 {
				best, most = there, room
			}
		}
		taken = append(taken, best)
		s.add(numberPart(k+1, best, 0.5))
	}
}

// figures writes beside each stack how much each of its parts is, the lowest first,
// none over another.
func (s *sketch) figures() {
	c := s.chart
	for i := range c.Names {
		above := s.y.at + legendSize
		for n, series := range c.Series {
			if series.As != AsStack || series.Y[i] == 0 {
				continue
			}
			low, high := c.edges(n)
			_, width := c.bar(n)
			middle, x := s.y.of((low[i]+high[i])/2), s.x.of(float64(i)+width/2)
			at := min(middle, above-1.1*legendSize)
			above = at
			s.add(Part{Lines: [][]Point{{{x + 1.5, middle}, {x + 9, at}}}, Width: 0.7, Ink: InkQuiet})
			s.words(x+12, at+0.36*legendSize, Softened(c.Y.Unit.Of(series.Y[i]).in(s.system, Clean)), legendSize, InkBlack, 0)
		}
	}
}

// part draws the rule between two points.
func (r Rule) part(a, b Point) Part {
	return Part{Lines: [][]Point{{a, b}}, Width: 1.2, Dashes: []float64{4, 2}, Ink: r.Ink}
}

// line draws a series along the lines.
func (s Series) line(lines [][]Point, p pen) Part {
	if s.As == AsThick {
		return Part{Lines: lines, Width: 7, Ink: s.Ink}
	}
	return Part{Lines: lines, Width: p.width, Dashes: dashes[p.dash], Ink: s.Ink}
}

// area draws a box of a series: a pale area alone would hardly stand off the paper, and
// a line of paper keeps the parts of a stack apart in black and white.
func (s Series) area(lines [][]Point) []Part {
	inside := Part{Lines: lines, Closed: true, Filled: true, Ink: s.Ink}
	edge := Part{Lines: lines, Closed: true, Width: 0.7, Ink: s.Ink.edge()}
	switch {
	case s.As == AsHatching:
		inside = Part{Lines: hatching(lines[0][0], lines[0][2]), Width: 0.9, Ink: s.Ink}
	case s.As == AsStack && edge.Ink == s.Ink:
		edge = Part{Lines: [][]Point{lines[0][:2]}, Width: 1, Ink: InkPaper}
	}
	return []Part{inside, edge}
}

// edge returns the ink for the border of an area in ink i.
func (i Ink) edge() Ink {
	switch i {
	case InkWaterFill, InkSunFill, InkStoreFill, InkDirtFill:
		return i - 1
	}
	return i
}

// box returns a rectangle, from its upper left corner clockwise.
func box(left, top, right, bottom float64) [][]Point {
	return [][]Point{{{left, top}, {right, top}, {right, bottom}, {left, bottom}}}
}

// hatching returns slanting lines between two corners of a box.
func hatching(upper, lower Point) [][]Point {
	const apart = 4.5
	var lines [][]Point
	w, h := lower.X-upper.X, lower.Y-upper.Y
	for d := math.Ceil(-h/apart) * apart; d < w; d += apart {
		// the line x = left + d + t, y = bottom - t within the box
		if from, to := max(0, -d), min(h, w-d); to > from {
			lines = append(lines, []Point{{upper.X + d + from, lower.Y - from}, {upper.X + d + to, lower.Y - to}})
		}
	}
	return lines
}

// parts draws a point with a rim of paper, so that it stands out from a line.
func (m Mark) parts(ink Ink, at Point) []Part {
	const radius = 4.2
	disc := func(radius float64, ink Ink) Part {
		return Part{Lines: [][]Point{{at}}, Radius: radius, Filled: true, Ink: ink}
	}
	if m == Ring {
		return []Part{disc(radius+0.4, ink), disc(radius-1.6, InkPaper)}
	}
	return []Part{disc(radius+1.2, InkPaper), disc(radius, ink)}
}
