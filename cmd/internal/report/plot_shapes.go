package report

import (
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// ground draws faint lines across at the marks of the upright axis.
type ground struct{ c Chart }

// Plot draws it; the plot calls this.
func (g ground) Plot(c draw.Canvas, p *plot.Plot) {
	_, y := p.Transforms(&c)
	for _, tick := range p.Y.Tick.Marker.Ticks(p.Y.Min, p.Y.Max) {
		if tick.Value > p.Y.Min {
			c.StrokeLine2(lineStyle(InkFaint, 0.7, Solid), c.Min.X, y(tick.Value), c.Max.X, y(tick.Value))
		}
	}
}

// ruled draws a rule.
type ruled struct{ r Rule }

// Plot draws it; the plot calls this.
func (l ruled) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	style := lineStyle(l.r.Ink, 1.2, Dashed)
	if l.r.Vertical {
		c.StrokeLine2(style, x(l.r.At), c.Min.Y, x(l.r.At), c.Max.Y)
		return
	}
	c.StrokeLine2(style, c.Min.X, y(l.r.At), c.Max.X, y(l.r.At))
}

// shape draws series s, number n of chart c.
type shape struct {
	c Chart
	s Series
	n int
}

// Plot draws it; the plot calls this.
func (g shape) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	f := frame{Canvas: c, x: x, y: y}
	switch g.s.As {
	case AsLine:
		c.StrokeLines(lineStyle(g.s.Ink, 1.8, g.s.Dash), f.path(g.c, g.s))
	case AsThick:
		c.StrokeLines(lineStyle(g.s.Ink, 6, Solid), f.path(g.c, g.s))
	case AsSteps:
		c.StrokeLines(lineStyle(g.s.Ink, 1.8, g.s.Dash), f.path(g.c, g.s))
	case AsBand:
		c.FillPolygon(g.s.Ink.colour(), f.band(g.s))
	case AsPoints:
		for i := range g.s.X {
			f.mark(g.s.Mark, g.s.Ink, vg.Point{X: x(g.s.X[i]), Y: y(g.s.Y[i])})
		}
	default:
		for _, box := range f.boxes(g.c, g.n) {
			if g.s.As == AsHatching {
				f.hatch(box, g.s.Ink)
				continue
			}
			c.FillPolygon(g.s.Ink.colour(), corners(box))
			if g.s.As == AsStack && box.Max.Y-box.Min.Y > 1 {
				// A line of paper keeps neighbours apart in black and white.
				c.StrokeLine2(lineStyle(InkPaper, 1, Solid), box.Min.X, box.Max.Y, box.Max.X, box.Max.Y)
			}
			if edge := g.s.Ink.text(); edge != g.s.Ink && visible(box) {
				// A pale area alone would hardly stand off the paper.
				c.StrokeLines(lineStyle(edge, 0.7, Solid), append(corners(box), box.Min))
			}
		}
	}
}

// frame is the canvas of the data with its two scales.
type frame struct {
	draw.Canvas
	x, y  func(float64) vg.Length
	outer vg.Rectangle // where words may stand
}

// path returns the corners of a line through a series.
func (f *frame) path(c Chart, s Series) []vg.Point {
	var points []vg.Point
	for i, v := range s.Y {
		switch {
		case len(c.Names) > 0 && s.As == AsSteps:
			points = append(points, vg.Point{X: f.x(float64(i) - 0.5), Y: f.y(v)}, vg.Point{X: f.x(float64(i) + 0.5), Y: f.y(v)})
		case len(c.Names) > 0:
			points = append(points, vg.Point{X: f.x(float64(i)), Y: f.y(v)})
		case s.As == AsSteps && i > 0:
			points = append(points, vg.Point{X: f.x(s.X[i]), Y: f.y(s.Y[i-1])}, vg.Point{X: f.x(s.X[i]), Y: f.y(v)})
		default:
			points = append(points, vg.Point{X: f.x(s.X[i]), Y: f.y(v)})
		}
	}
	return points
}

// band returns the outline of the area between a series and its lower edge.
func (f *frame) band(s Series) []vg.Point {
	var points []vg.Point
	for i := range s.X {
		points = append(points, vg.Point{X: f.x(s.X[i]), Y: f.y(s.Y[i])})
	}
	for i := len(s.X) - 1; i >= 0; i-- {
		low := 0.0
		if s.Low != nil {
			low = s.Low[i]
		}
		points = append(points, vg.Point{X: f.x(s.X[i]), Y: f.y(low)})
	}
	return points
}

// boxes returns the bars of series n of chart c: side by side where several
// series are bars, on top of each other where they are a stack.
func (f *frame) boxes(c Chart, n int) []vg.Rectangle {
	s := c.Series[n]
	groups, group := 0, 0
	base := make([]float64, len(c.Names))
	for i, other := range c.Series {
		if other.As == AsBars {
			if i < n {
				group++
			}
			groups++
		}
		if i < n && other.As == AsStack {
			for j, v := range other.Y {
				base[j] += v
			}
		}
	}
	width := 0.76
	left := -width / 2
	switch s.As {
	case AsBars:
		width /= float64(groups)
		left += float64(group) * width
	case AsStack:
		width, left = 0.34, -0.17
	}
	boxes := make([]vg.Rectangle, len(s.Y))
	for i, v := range s.Y {
		low := 0.0
		if s.As == AsStack {
			low = base[i]
			v += low
		} else if s.Low != nil {
			low = s.Low[i]
			v += low
		}
		boxes[i] = vg.Rectangle{
			Min: vg.Point{X: f.x(float64(i) + left), Y: f.y(min(low, v))},
			Max: vg.Point{X: f.x(float64(i) + left + width), Y: f.y(max(low, v))},
		}
	}
	return boxes
}

// visible tells whether a box is high enough to be seen.
func visible(r vg.Rectangle) bool { return r.Max.Y-r.Min.Y >= 0.3 }

func corners(r vg.Rectangle) []vg.Point {
	return []vg.Point{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}}
}

// hatch fills a box with slanting lines in a border.
func (f *frame) hatch(r vg.Rectangle, ink Ink) {
	if !visible(r) {
		return
	}
	const apart = 4.5
	var lines [][]vg.Point
	w, h := r.Max.X-r.Min.X, r.Max.Y-r.Min.Y
	for d := vg.Length(math.Ceil(float64(-h/apart)) * apart); d < w; d += apart {
		// the line x = left + d + t, y = bottom + t within the box
		from, to := max(0, -d), min(h, w-d)
		if to > from {
			lines = append(lines, []vg.Point{{X: r.Min.X + d + from, Y: r.Min.Y + from}, {X: r.Min.X + d + to, Y: r.Min.Y + to}})
		}
	}
	f.StrokeLines(lineStyle(ink, 0.9, Solid), lines...)
	f.StrokeLines(lineStyle(ink, 1, Solid), append(corners(r), r.Min))
}

// mark draws a point with a rim of paper, so that it stands out from a line.
func (f *frame) mark(m Mark, ink Ink, at vg.Point) {
	const radius = 4.2
	glyph := func(shape draw.GlyphDrawer, ink Ink, r vg.Length) {
		f.DrawGlyphNoClip(draw.GlyphStyle{Color: ink.colour(), Radius: r, Shape: shape}, at)
	}
	switch m {
	case Dot:
		glyph(draw.CircleGlyph{}, InkPaper, radius+1.2)
		glyph(draw.CircleGlyph{}, ink, radius)
	case Ring:
		glyph(draw.CircleGlyph{}, ink, radius+0.4)
		glyph(draw.CircleGlyph{}, InkPaper, radius-1.6)
	case Square:
		glyph(draw.BoxGlyph{}, InkPaper, radius+0.6)
		glyph(draw.BoxGlyph{}, ink, radius-0.6)
	case Triangle:
		glyph(draw.PyramidGlyph{}, InkPaper, radius+1.4)
		glyph(draw.PyramidGlyph{}, ink, radius)
	case Cross:
		f.StrokeLine2(lineStyle(ink, 2, Solid), at.X-radius, at.Y-radius, at.X+radius, at.Y+radius)
		f.StrokeLine2(lineStyle(ink, 2, Solid), at.X-radius, at.Y+radius, at.X+radius, at.Y-radius)
	}
}
