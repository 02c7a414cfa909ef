package report

import (
	"bytes"
	"fmt"
	"html"
	"image/color"
	"math"
	"strconv"
	"strings"

	"sunrill/data/units"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// A drawing is 400 points wide with letters of 11 to 12, so that it can be read at the
// width of a phone and two of them stand side by side on paper.
const (
	drawingWidth  = 400
	drawingHeight = 246
	labelSize     = 11.5
	tickSize      = 11
	titleSize     = 14
	mostLabel     = 30 // letters of a name in a picture
	pictureDPI    = 216
)

// drawingFont has the widths of the common sans-serif fonts, so that a viewer's own
// font takes the same room.
var drawingFont = font.Font{Typeface: "Liberation", Variant: "Sans"}

func textStyle(size float64, ink Ink) text.Style {
	return text.Style{Color: ink.colour(), Font: font.From(drawingFont, vg.Length(size)), Handler: plot.DefaultTextHandler}
}

// inline returns p as SVG to stand in a page: without title and ground, in the page's
// own colours and font.
func (p Picture) inline(system units.System) (string, error) {
	canvas := vgsvg.New(drawingWidth, drawingHeight)
	p.Chart.in(system).draw(draw.New(canvas), system)
	var out bytes.Buffer
	if _, err := canvas.WriteTo(&out); err != nil {
		return "", fmt.Errorf("report: picture %s: %w", p.Key, err)
	}
	_, body, found := strings.Cut(out.String(), ">\n<g")
	if !found {
		return "", fmt.Errorf("report: picture %s: the drawing has no body", p.Key)
	}
	head := fmt.Sprintf(`<svg viewBox="0 0 %d %d" role="img" aria-label="%s">`+"\n<g", drawingWidth, drawingHeight,
		html.EscapeString(softened(p.Alt.text(system, Clean))))
	return head + byStyle.Replace(plainFont.Replace(body)), nil
}

// svgFont is how the drawing's font is described in every line of text.
const svgFont = "font-family:Liberation Sans;font-variant:normal;font-weight:normal;font-style:normal;"

// plainFont leaves the font of a text to the page.
var plainFont = strings.NewReplacer("\n\tstyle=\""+svgFont, ` style="`)

// SVG returns p as a file of its own, with its title, on light paper.
func (p Picture) SVG(system units.System) ([]byte, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	title, height := p.headline(system)
	canvas := vgsvg.New(drawingWidth, height)
	p.sheet(draw.New(canvas), system, title)
	var out bytes.Buffer
	if _, err := canvas.WriteTo(&out); err != nil {
		return nil, fmt.Errorf("report: picture %s: %w", p.Key, err)
	}
	alt := html.EscapeString(softened(p.Alt.text(system, Clean)))
	drawing := strings.Replace(out.String(), "\n<g", "\n<desc>"+alt+"</desc>\n<g", 1)
	drawing = strings.ReplaceAll(drawing, "font-family:Liberation Sans;", "font-family:'Liberation Sans',Arial,Helvetica,sans-serif;")
	return []byte(drawing), nil
}

// PNG returns p as an image, with its title, on light paper.
func (p Picture) PNG(system units.System) ([]byte, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	title, height := p.headline(system)
	canvas := vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(drawingWidth, height), vgimg.UseDPI(pictureDPI))}
	p.sheet(draw.New(canvas), system, title)
	var out bytes.Buffer
	if _, err := canvas.WriteTo(&out); err != nil {
		return nil, fmt.Errorf("report: picture %s: %w", p.Key, err)
	}
	return out.Bytes(), nil
}

const (
	sheetMargin = 8
	titleLine   = 1.25 * titleSize
)

// headline returns the title broken into lines and the height of the sheet.
func (p Picture) headline(system units.System) ([]string, vg.Length) {
	style := textStyle(titleSize, InkBlack)
	var lines []string
	const most = 160 // letters: a name from a file may have any number
	for word := range strings.FieldsSeq(shortened(softened(p.Title.text(system, Clean)), most)) {
		word = shortened(word, mostLabel)
		last := len(lines) - 1
		if last >= 0 && style.Width(lines[last]+" "+word) <= drawingWidth-2*sheetMargin {
			lines[last] += " " + word
			continue
		}
		lines = append(lines, word)
	}
	return lines, drawingHeight + vg.Length(len(lines))*titleLine + 3*sheetMargin
}

// sheet draws p with its title on paper.
func (p Picture) sheet(c draw.Canvas, system units.System, title []string) {
	c.SetColor(InkPaper.colour())
	c.Fill(c.Rectangle.Path())
	style := textStyle(titleSize, InkBlack)
	style.YAlign = draw.YTop
	y := c.Max.Y - sheetMargin
	for _, line := range title {
		c.FillText(style, vg.Point{X: c.Min.X + sheetMargin, Y: y}, line)
		y -= titleLine
	}
	c.Max.Y = y - sheetMargin/2
	p.Chart.in(system).draw(draw.Crop(c, sheetMargin, -sheetMargin, sheetMargin, 0), system)
}

// draw puts c, whose numbers are in system's units, on the canvas.
func (c Chart) draw(dc draw.Canvas, system units.System) {
	p := plot.New()
	p.BackgroundColor = nil
	c.axes(p, system)
	over := textStyle(tickSize, InkQuiet)
	over.YAlign = draw.YTop
	dc.FillText(over, vg.Point{X: dc.Min.X, Y: dc.Max.Y}, c.Y.title(system))
	inner := draw.Crop(dc, 0, 0, 0, -1.7*tickSize)
	p.Add(ground{c})
	for i, s := range c.Series {
		p.Add(shape{c, s, i})
	}
	for _, r := range c.Rules {
		p.Add(ruled{r})
	}
	p.Draw(inner)
	data := p.DataCanvas(inner)
	x, y := p.Transforms(&data)
	outer := inner.Rectangle
	outer.Min = data.Min // names stay clear of the marks of both axes
	c.label(&frame{Canvas: data, x: x, y: y, outer: outer}, system)
}

// axes sets the range, the marks and the looks of both axes.
func (c Chart) axes(p *plot.Plot, system units.System) {
	x, y := c.extent()
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = x.from, x.to, y.from, y.to
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		a.Padding = 0
		a.LineStyle = draw.LineStyle{Color: InkQuiet.colour(), Width: 0.8}
		a.Tick.LineStyle = a.LineStyle
		a.Tick.Length = 3
		label := textStyle(tickSize, InkQuiet)
		label.XAlign, label.YAlign = a.Tick.Label.XAlign, a.Tick.Label.YAlign
		a.Tick.Label = label
		a.Label.TextStyle = textStyle(tickSize, InkQuiet)
		a.Label.TextStyle.XAlign, a.Label.TextStyle.YAlign = draw.XRight, draw.YBottom
		a.Label.Position = draw.PosRight
	}
	p.Y.LineStyle.Width, p.Y.Tick.Length = 0, 0
	p.Y.Tick.Marker = c.Y.ticks(y)
	if len(c.Names) > 0 {
		p.X.Tick.Marker = names(c.Names)
		p.X.Tick.LineStyle = lineStyle(InkPaper, 0.1, Solid) // not seen, but it keeps the names off the axis
		return
	}
	p.X.Label.Text = c.X.title(system)
	p.X.Tick.Marker = c.X.ticks(x)
}

// names marks places 0, 1, 2 with names.
func names(list []string) plot.ConstantTicks {
	ticks := make(plot.ConstantTicks, len(list))
	for i, name := range list {
		ticks[i] = plot.Tick{Value: float64(i), Label: abridged(Clean(name))}
	}
	return ticks
}

// span is a range of an axis.
type span struct{ from, to float64 }

func (s *span) take(v float64) { s.from, s.to = min(s.from, v), max(s.to, v) }

// extent returns the ranges of both axes: all that is drawn, zero, and a
// little room above.
func (c Chart) extent() (x, y span) {
	x, y = span{c.X.From, c.X.To}, span{c.Y.From, c.Y.To}
	fixed := y.to > y.from
	stacked := make([]float64, len(c.Names))
	for _, s := range c.Series {
		for i, v := range s.Y {
			if s.As == AsStack {
				stacked[i] += v
				v = stacked[i]
			} else if s.Low != nil && s.As != AsBand {
				v += s.Low[i]
			}
			y.take(v)
			if len(c.Names) == 0 {
				x.take(s.X[i])
			}
		}
		for _, v := range s.Low {
			y.take(v)
		}
	}
	for _, r := range c.Rules {
		if r.Vertical {
			x.take(r.At)
		} else {
			y.take(r.At)
		}
	}
	if len(c.Names) > 0 {
		x = span{-0.5, float64(len(c.Names)) - 0.5}
		if c.stacked() {
			x = span{-0.65, float64(len(c.Names)) - 0.15} // names stand on its right
		}
	}
	if y.to == y.from {
		y.to = y.from + 1
	}
	if x.to == x.from {
		x.to = x.from + 1
	}
	if !fixed {
		y.to += 0.08 * (y.to - y.from)
	}
	return x, y
}

// ticks marks the axis at round distances, six or so of them.
func (a Axis) ticks(s span) plot.ConstantTicks {
	step := a.Every
	if step == 0 {
		step = roundStep((s.to - s.from) / 6)
	}
	decimals := max(0, -int(math.Floor(math.Log10(step)+1e-9)))
	if step != math.Trunc(step*math.Pow10(decimals))/math.Pow10(decimals) {
		decimals++ // 2.5, 0.25
	}
	var ticks plot.ConstantTicks
	for i := math.Ceil(s.from/step - 1e-9); i*step <= s.to*(1+1e-9); i++ {
		v := i*step + 0 // no minus before zero
		ticks = append(ticks, plot.Tick{Value: v, Label: strconv.FormatFloat(v, 'f', decimals, 64)})
	}
	return ticks
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

// shortened returns s with at most n letters, the last of them dots where some are
// left out.
func shortened(s string, n int) string {
	letters := []rune(s)
	if len(letters) <= n {
		return s
	}
	return strings.TrimSpace(string(letters[:n-1])) + "…"
}

// abridged returns a name with at most mostLabel letters, from its start and its end: the
// names of pumps of one make often differ in the last letters only.
func abridged(name string) string {
	letters := []rune(name)
	if len(letters) <= mostLabel {
		return name
	}
	const start = 3 * mostLabel / 5
	end := letters[len(letters)-(mostLabel-start-1):]
	return strings.TrimSpace(string(letters[:start])) + "…" + strings.TrimSpace(string(end))
}

func lineStyle(ink Ink, width float64, dash Dash) draw.LineStyle {
	s := draw.LineStyle{Color: color.Color(ink.colour()), Width: vg.Length(width)}
	switch dash {
	case Dashed:
		s.Dashes = []vg.Length{6, 3.5}
	case Dotted:
		s.Dashes = []vg.Length{1.6, 2.8}
	case DashDotted:
		s.Dashes = []vg.Length{8, 3, 1.6, 3}
	}
	return s
}
