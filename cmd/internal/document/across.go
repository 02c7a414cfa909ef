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
	return Part{Lines: [][]Point{{{low, y}, {high, y}}, {{low, y - 4}, {low, y + 4}}, {{high, y - 4}, {high, y + 4}}}, Width: 1.4, Ink: s.Ink}
}
