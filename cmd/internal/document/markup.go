package document

import (
	"html"
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
