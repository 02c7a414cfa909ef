package report

import (
	"bytes"
	"fmt"
	"image/color"
	"math"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
)

const pictureDPI = 216

// drawingFont has the widths of the common sans-serif fonts, which a drawing is laid out for.
var drawingFont = font.Font{Typeface: "Liberation", Variant: "Sans"}

// PNG returns p as an image, with its title, on light paper.
func PNG(p document.Picture, system units.System) ([]byte, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	d := p.Draw(system, true)
	fonts := font.NewCache(liberation.Collection())
	canvas := vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(vg.Length(d.Width), vg.Length(d.Height)), vgimg.UseDPI(pictureDPI))}
	for _, part := range d.Parts {
		if err := paint(canvas, part, d.Height, fonts); err != nil {
			return nil, fmt.Errorf("report: picture %s: %w", p.Key, err)
		}
	}
	var out bytes.Buffer
	if _, err := canvas.WriteTo(&out); err != nil {
		return nil, fmt.Errorf("report: picture %s: %w", p.Key, err)
	}
	return out.Bytes(), nil
}

// paint puts part on a canvas whose zero is at the foot, height below that of the drawing.
func paint(canvas vg.Canvas, part document.Part, height float64, fonts *font.Cache) error {
	c := color.NRGBA{A: 0xff}
	if _, err := fmt.Sscanf(part.Ink.OnPaper(), "#%02X%02X%02X", &c.R, &c.G, &c.B); err != nil {
		return err
	}
	canvas.SetColor(c)
	place := func(p document.Point) vg.Point { return vg.Point{X: vg.Length(p.X), Y: vg.Length(height - p.Y)} }
	var path vg.Path
	for _, line := range part.Lines {
		for i, corner := range line {
			switch at := place(corner); {
			case part.Text != "":
				face := fonts.Lookup(drawingFont, vg.Length(part.Size))
				at.X -= face.Width(part.Text) * vg.Length(part.Anchor)
				canvas.FillString(face, at, part.Text)
			case part.Radius > 0:
				path.Move(vg.Point{X: at.X + vg.Length(part.Radius), Y: at.Y})
				path.Arc(at, vg.Length(part.Radius), 0, 2*math.Pi)
			case i == 0:
				path.Move(at)
			default:
				path.Line(at)
			}
		}
		if part.Closed {
			path.Close()
		}
	}
	switch {
	case len(path) == 0:
	case part.Filled:
		canvas.Fill(path)
	default:
		canvas.SetLineWidth(vg.Length(part.Width))
		canvas.SetLineDash(document.Each(part.Dashes, func(v float64) vg.Length { return vg.Length(v) }), 0)
		canvas.Stroke(path)
	}
	return nil
}
