package document

import (
	"math"
	"strconv"
	"strings"
)

// svg returns d as an element.
func (d Drawing) svg(attributes ...string) markup {
	return element("svg", append(attributes, "viewBox", "0 0 "+short(d.Width)+" "+short(d.Height)), each(d.Parts, Part.svg))
}

func (p Part) svg() markup {
	if len(p.Lines) == 0 {
		return ""
	}
	at, ink := p.Lines[0][0], p.Ink.variable()
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
	return element("path", pairs{"d", path.String(), "fill", "none", "stroke", ink, "stroke-width", short(p.Width),
		"stroke-dasharray", strings.Join(Each(p.Dashes, short), " ")})
}

// short returns a length to a tenth of a point.
func short(v float64) string { return strconv.FormatFloat(math.Round(10*v)/10+0, 'f', -1, 64) }
