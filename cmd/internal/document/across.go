package document

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
		s.words(s.left, y+tickSize, abridged(Clean(name), 2*mostLabel-14), tickSize, InkBlack, 0)
		for _, series := range c.Series {
			if len(series.Labels) > i {
				s.words(s.right, y+tickSize, series.Labels[i], tickSize, InkBlack, 1)
			}
			middle := y + tickSize + 4 + bar/2
			if series.As != AsRange {
				s.add(series.area(box(axis.of(0), middle-bar/2, axis.of(series.Y[i]), middle+bar/2))...)
				continue
			}
			low, high := axis.of(series.Low[i]), axis.of(series.Y[i])
			s.add(Part{Lines: [][]Point{{{low, middle}, {high, middle}}, {{low, middle - 4}, {low, middle + 4}},
				{{high, middle - 4}, {high, middle + 4}}}, Width: 1.4, Ink: series.Ink})
		}
	}
	foot := top + row*float64(len(c.Names))
	s.add(Part{Lines: [][]Point{{{s.left, foot}, {s.right, foot}}}, Width: 0.8, Ink: InkQuiet})
	for _, t := range c.Y.ticks(span, s.system) {
		half := TextWidth(t.label, tickSize) / 2
		s.words(min(max(axis.of(t.at), s.left+half), s.right-half), foot+tickSize+3, t.label, tickSize, InkQuiet, 0.5)
	}
	for _, r := range c.Rules {
		s.add(r.part(Point{axis.of(r.At), foot}, Point{axis.of(r.At), top}))
	}
	s.words(s.right, foot+2*tickSize+6, c.Y.title(s.system), tickSize, InkQuiet, 1)
	s.Height = foot + 2*tickSize + 10
}
