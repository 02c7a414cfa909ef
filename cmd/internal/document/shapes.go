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
	width  float64               // of the swatch
	swatch func(at Point) []Part // from the middle of its left edge
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
// name has it, a heavier line or the next dash.
func (c Chart) pens() []pen {
	const light, heavy = 1.8, 2.8
	all, of, taken := make([]pen, len(c.Series)), map[string]pen{}, map[pen]bool{}
	for n, s := range c.Series {
		if s.As != AsLine && s.As != AsSteps {
			continue
		}
		p, known := of[s.Name]
		for k := 0; !known && k < 2*len(dashes); k++ {
			p = pen{[]float64{light, heavy}[k%2], (s.Dash + Dash(k/2)) % Dash(len(dashes))}
			known = !taken[p]
		}
		all[n], of[s.Name], taken[p] = p, p, true
	}
	return all
}

// fills tells whether a shape is an area, which stands on something.
func (s Shape) fills() bool { return s >= AsBand && s != AsPoints && s != AsRange }

// namedPoint is a point that has a name of its own.
type namedPoint struct {
	Series
	n, i int
}

// namedPoints returns them from left to right, in which order they are numbered.
func (c Chart) namedPoints() []namedPoint {
	var all []namedPoint
	for n, s := range c.Series {
		for i, label := range s.Labels {
			if label != "" {
				all = append(all, namedPoint{s, n, i})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b namedPoint) int { return cmp.Compare(a.X[a.i], b.X[b.i]) })
	return all
}

// entries lists what the legend names: series in the order of drawing, named points, rules.
func (s *sketch) entries() []entry {
	var all []entry
	seen, pens := map[string]bool{"": true}, s.chart.pens()
	point := func(name string, series Series) {
		all = append(all, entry{name, 10, func(at Point) []Part { return series.Mark.parts(series.Ink, Point{at.X + 5, at.Y}) }})
	}
	for n, series := range s.chart.Series {
		switch {
		case seen[series.Name]:
		case series.As == AsPoints:
			point(series.Name, series)
		default:
			all = append(all, entry{series.Name, swatch, func(at Point) []Part {
				switch right := at.X + swatch; {
				case series.As == AsRange:
					return []Part{series.whisker(at.X+3, right, at.Y)}
				case series.As.fills():
					return series.area(box(at.X+3, at.Y-5, right, at.Y+5))
				}
				return []Part{series.line(pens[n], at, Point{at.X + swatch, at.Y})}
			}})
		}
		seen[series.Name] = true
	}
	points := s.chart.namedPoints()
	for k, p := range points {
		name := p.Labels[p.i]
		if len(points) > 1 {
			name = strconv.Itoa(k+1) + ": " + name
		}
		point(name, p.Series)
	}
	for _, r := range s.chart.Rules {
		if r.Name != "" {
			all = append(all, entry{r.Name, swatch, func(at Point) []Part { return []Part{r.part(at, Point{at.X + swatch, at.Y})} }})
		}
	}
	return all
}

// edges returns what series n stands on and how far it reaches.
func (c Chart) edges(n int) (low, high []float64) {
	s := c.Series[n]
	if !s.As.fills() {
		return s.Y, s.Y
	}
	low, high = make([]float64, len(s.Y)), slices.Clone(s.Y)
	copy(low, s.Low)
	for _, under := range c.Series[:n] {
		for i := range low {
			if s.As == AsStack && under.As == AsStack {
				low[i] += under.Y[i]
			}
		}
	}
	for i := range high {
		high[i] += low[i]
	}
	return low, high
}

// series draws what the chart holds, and its rules.
func (s *sketch) series() {
	c, pens := s.chart, s.chart.pens()
	for n, series := range c.Series {
		path := s.path(series)
		if len(path) == 0 {
			continue
		}
		switch series.As {
		case AsLine, AsSteps, AsThick:
			s.add(series.line(pens[n], path...))
		case AsBand:
			first, last, foot := path[0], path[len(path)-1], s.y.of(0)
			s.add(filled(series.Ink, append(path, Point{last.X, foot}, Point{first.X, foot})...))
		case AsPoints:
			for _, at := range path {
				s.add(series.Mark.parts(series.Ink, at)...)
			}
		default:
			low, high := c.edges(n)
			for i := range low {
				top, foot := s.y.of(max(low[i], high[i])), s.y.of(min(low[i], high[i]))
				if foot-top >= 0.3 {
					s.add(series.area(box(s.x.of(float64(i)-halfBar), top, s.x.of(float64(i)+halfBar), foot))...)
				}
			}
		}
	}
	left, foot := s.x.at, s.y.at
	for _, r := range c.Rules {
		if r.Vertical {
			s.add(r.part(Point{s.x.of(r.At), foot}, Point{s.x.of(r.At), foot - plotHeight}))
		} else {
			s.add(r.part(Point{left, s.y.of(r.At)}, Point{s.right, s.y.of(r.At)}))
		}
	}
	s.numbers()
}

// path returns the corners of a line through a series.
func (s *sketch) path(series Series) []Point {
	var points []Point
	for i, v := range series.Y {
		at := Point{s.x.of(float64(i)), s.y.of(v)}
		switch {
		case series.As == AsSteps:
			points = append(points, Point{s.x.of(float64(i) - 0.5), at.Y}, Point{s.x.of(float64(i) + 0.5), at.Y})
			continue
		case len(s.chart.Names) == 0:
			at.X = s.x.of(series.X[i])
		}
		points = append(points, at)
	}
	return points
}

// numbers writes the numbers of named points, each in the place about its point that is
// clearest of other points and numbers.
func (s *sketch) numbers() {
	points, taken := s.chart.namedPoints(), []Point{}
	if len(points) < 2 {
		return
	}
	for _, series := range s.chart.Series {
		if series.As == AsPoints {
			taken = append(taken, s.path(series)...)
		}
	}
	for k, point := range points {
		at, best, most := s.path(point.Series)[point.i], Point{}, -1.0
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
		s.words(best.X, best.Y+middle*tickSize, strconv.Itoa(k+1), tickSize, InkBlack, 0.5)
	}
}

// part draws the rule between two points.
func (r Rule) part(from, to Point) Part {
	p := stroke(r.Ink, 1.2, from, to)
	p.Dashes = []float64{4, 2}
	return p
}

// line draws a series along points.
func (s Series) line(p pen, points ...Point) Part {
	if s.As == AsThick {
		return stroke(s.Ink, 7, points...)
	}
	part := stroke(s.Ink, p.width, points...)
	part.Dashes = dashes[p.dash]
	return part
}

// area draws a box of a series: a pale area alone would hardly stand off the paper, and
// a line of paper keeps the parts of a stack apart in black and white.
func (s Series) area(corners []Point) []Part {
	inside := filled(s.Ink, corners...)
	edge := Part{Lines: inside.Lines, Closed: true, Width: 0.7, Ink: s.Ink.edge()}
	switch {
	case s.As == AsHatching:
		inside = Part{Lines: hatching(corners[0], corners[2]), Width: 0.9, Ink: s.Ink}
	case s.As == AsStack && edge.Ink == s.Ink:
		edge = stroke(InkPaper, 1, corners[:2]...)
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
	if m == Ring {
		return []Part{disc(ink, radius+0.4, at), disc(InkPaper, radius-1.6, at)}
	}
	return []Part{disc(InkPaper, radius+1.2, at), disc(ink, radius, at)}
}

// across lays out a chart whose Names stand under each other: a bar each, the range over
// it, and a word behind it. Its axis is Y.
func (s *sketch) across() {
	const row, bar = 34.0, 11.0
	c := s.chart
	_, span := c.extent()
	for _, series := range c.Series {
		for _, v := range series.Y {
			span.take(1.04 * v)
		}
	}
	axis := scale{span, s.left + 1, s.right - s.left - 4}
	top := s.Height + 4
	for i, name := range c.Names {
		y := top + row*float64(i)
		s.words(s.left, y+tickSize, abridged(Clean(name), mostLabel+4), tickSize, InkBlack, 0)
		if len(c.Says) > i {
			s.words(s.right, y+tickSize, abridged(Clean(c.Says[i]), mostLabel), tickSize, InkBlack, 1)
		}
		for _, series := range c.Series {
			top, to := y+tickSize+4, axis.of(series.Y[i])
			if series.As == AsRange {
				s.add(series.whisker(axis.of(series.Low[i]), to, top+bar/2))
			} else {
				s.add(series.area(box(axis.of(0), top, to, top+bar))...)
			}
		}
	}
	foot := top + row*float64(len(c.Names))
	for _, r := range c.Rules {
		s.add(r.part(Point{axis.of(r.At), foot}, Point{axis.of(r.At), top}))
	}
	s.foot(c.Y, axis, foot)
}

// whisker is a range with a stroke at either end.
func (s Series) whisker(low, high, y float64) Part {
	ends := [][]Point{{{low, y}, {high, y}}, {{low, y - 4}, {low, y + 4}}, {{high, y - 4}, {high, y + 4}}}
	return Part{Lines: ends, Width: 1.4, Ink: s.Ink}
}
