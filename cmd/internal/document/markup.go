package document

import (
	"html"
	"math"
	"strconv"
	"strings"
)

// markup is HTML or SVG. Only the functions of this file make it of strings: text and
// the values of attributes are escaped here, names of elements and of attributes are
// always words of our own.
type markup string

// text returns s, which may come from anywhere, as text.
func text(s string) markup { return markup(html.EscapeString(printable(s))) }

// pairs are names of attributes, each with its value after it.
type pairs []string

// element returns an element; an attribute without a value is left out.
func element(name string, attributes pairs, inner ...markup) markup {
	var b strings.Builder
	b.WriteString("<" + name)
	for i := 0; i < len(attributes); i += 2 {
		if value := attributes[i+1]; value != "" {
			b.WriteString(" " + attributes[i] + `="` + html.EscapeString(Clean(value)) + `"`)
		}
	}
	switch name {
	case "meta", "path", "circle", "input", "option":
		return markup(b.String() + "/>\n")
	}
	b.WriteString(">")
	for _, part := range inner {
		b.WriteString(string(part))
	}
	b.WriteString("</" + name + ">")
	switch name {
	case "data", "span", "td", "th", "dt", "dd":
	default:
		b.WriteByte('\n') // for those who read the source
	}
	return markup(b.String())
}

// each returns what f makes of every entry of list.
func each[T any](list []T, f func(T) markup) markup {
	var b strings.Builder
	for _, entry := range list {
		b.WriteString(string(f(entry)))
	}
	return markup(b.String())
}

// present returns an element around inner, or nothing around nothing.
func present(name string, attributes pairs, inner ...markup) markup {
	for _, part := range inner {
		if part != "" {
			return element(name, attributes, inner...)
		}
	}
	return ""
}

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
