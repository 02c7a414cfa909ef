package document

import (
	"math"
	"strconv"
	"strings"

	"sunrill/data/units"
)

// SVG returns p as a file of its own, with its title, on light paper.
func (p Picture) SVG(system units.System) ([]byte, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	d := p.Draw(system, true)
	about := element("title", nil, text(Clean(p.Title.Text(system, Clean)))) + element("desc", nil, text(Clean(p.Alt.Text(system, Clean))))
	return []byte(d.svg(pairs{"xmlns", "http://www.w3.org/2000/svg", "width", short(d.Width) + "pt", "height", short(d.Height) + "pt",
		"role", "img", "font-family", "Liberation Sans, Arial, Helvetica, sans-serif"}, Ink.OnPaper, about)), nil
}

// svg returns d as an element; about says what it is.
func (d Drawing) svg(attributes pairs, colour func(Ink) string, about markup) markup {
	return element("svg", append(attributes, "viewBox", "0 0 "+short(d.Width)+" "+short(d.Height)), about,
		each(d.Parts, func(p Part) markup { return p.svg(colour) }))
}

func (p Part) svg(colour func(Ink) string) markup {
	if len(p.Lines) == 0 {
		return ""
	}
	at, ink := p.Lines[0][0], colour(p.Ink)
	switch {
	case p.Text != "":
		anchor := map[float64]string{0.5: "middle", 1: "end"}[p.Anchor]
		return element("text", pairs{"x", short(at.X), "y", short(at.Y), "fill", ink, "font-size", short(p.Size), "text-anchor", anchor},
			text(p.Text))
	case p.Radius > 0:
		return element("circle", pairs{"cx", short(at.X), "cy", short(at.Y), "r", short(p.Radius), "fill", ink})
	}
	var path strings.Builder
	for _, line := range p.Lines {
		before := "M"
		for _, corner := range line {
			path.WriteString(before + short(corner.X) + " " + short(corner.Y))
			before = "L"
		}
		if p.Closed {
			path.WriteString("Z")
		}
	}
	if p.Filled {
		return element("path", pairs{"d", path.String(), "fill", ink})
	}
	var dashes []string
	for _, length := range p.Dashes {
		dashes = append(dashes, short(length))
	}
	return element("path", pairs{"d", path.String(), "fill", "none", "stroke", ink, "stroke-width", short(p.Width),
		"stroke-dasharray", strings.Join(dashes, " ")})
}

// short returns a length to a tenth of a point.
func short(v float64) string { return strconv.FormatFloat(math.Round(10*v)/10+0, 'f', -1, 64) }
