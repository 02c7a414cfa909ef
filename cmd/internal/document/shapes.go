package document

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

// dashes are the lengths of strokes and gaps of each Dash, and of more for many lines.
var dashes = [][]float64{Solid: nil, Dashed: {6, 3.5}, {1.6, 2.8}, {8, 3, 1.6, 3}, {13, 4}, {8, 3, 1.6, 3, 1.6, 3}}

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

// entries lists what the legend names: series in the order of drawing, then rules.
func (s *sketch) entries() []entry {
	var all []entry
	seen, pens := map[string]bool{"": true}, s.chart.pens()
	for n, series := range s.chart.Series {
		switch {
		case seen[series.Name]:
		case series.As == AsPoints:
			all = append(all, entry{series.Name, 10, func(at Point) []Part {
				return series.Mark.parts(series.Ink, Point{at.X + 5, at.Y})
			}})
		default:
			all = append(all, entry{series.Name, swatch, func(at Point) []Part {
				switch right := at.X + swatch; {
				case series.As == AsRange:
					return []Part{series.whisker(at.X+3, right, at.Y)}
				case series.As == AsBars:
					return series.area(box(at.X+3, at.Y-5, right, at.Y+5))
				}
				return []Part{series.line(pens[n], at, Point{at.X + swatch, at.Y})}
			}})
		}
		seen[series.Name] = true
	}
	for _, r := range s.chart.Rules {
		if r.Name != "" {
			all = append(all, entry{r.Name, swatch, func(at Point) []Part { return []Part{r.part(at, Point{at.X + swatch, at.Y})} }})
		}
	}
	return all
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
		case AsPoints:
			for _, at := range path {
				s.add(series.Mark.parts(series.Ink, at)...)
			}
		default:
			for i, v := range series.Y {
				if top, foot := s.y.of(max(0, v)), s.y.of(min(0, v)); foot-top >= 0.3 {
					s.add(series.area(box(s.x.of(float64(i)-halfBar), top, s.x.of(float64(i)+halfBar), foot))...)
				}
			}
		}
	}
	for _, r := range c.Rules {
		s.add(r.part(Point{s.x.at, s.y.of(r.At)}, Point{s.right, s.y.of(r.At)}))
	}
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

// area draws a box of a series, with an edge in the ink before its own: a pale area alone
// would hardly stand off the paper.
func (s Series) area(corners []Point) []Part {
	inside := filled(s.Ink, corners...)
	return []Part{inside, {Lines: inside.Lines, Closed: true, Width: 0.7, Ink: max(InkBlack, s.Ink-1)}}
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
		for _, r := range c.Rules { // at the bar alone, so that it crosses no name
			s.add(r.part(Point{axis.of(r.At), y + row}, Point{axis.of(r.At), y + tickSize + 2}))
		}
	}
	s.foot(c.Y, axis, top+row*float64(len(c.Names)))
}

// whisker is a range with a stroke at either end.
func (s Series) whisker(low, high, y float64) Part {
	ends := [][]Point{{{low, y}, {high, y}}, {{low, y - 4}, {low, y + 4}}, {{high, y - 4}, {high, y + 4}}}
	return Part{Lines: ends, Width: 1.4, Ink: s.Ink}
}
