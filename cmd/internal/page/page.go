// Package page turns results into documents: words, tables, pictures and working, a
// file a topic. It opens files only through the plan's own opener, and needs no
// terminal.
package page

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
)

// shortAnswer gathers the first lines of a page.
type shortAnswer []document.Line

// unknown is a section that only says why there is none.
func unknown(heading string, why units.Text) document.Section {
	return document.Section{Heading: heading, Prose: []document.Prose{document.Sentence("Not known: %v.", document.Told(why))}}
}

// say adds a line, or none where there is nothing to say.
func (a *shortAnswer) say(label string, text document.Prose) {
	if !text.IsZero() {
		*a = append(*a, document.Line{Label: label, Text: text})
	}
}

// scope lists what every answer about a pump leaves out.
func scope() []document.Assumption {
	return []document.Assumption{{Key: "pump", Why: document.Told("the pump is taken to stand under water: suction lift, priming and " +
		"external pumps with a suction pipe are not covered")}}
}

// assumed turns what the budget assumed into lines of the page.
func assumed(list []figure.Assumed) []document.Assumption {
	out := make([]document.Assumption, len(list))
	for i, a := range list {
		value := document.Told(a.Text)
		if a.Kind != 0 {
			value = document.Sentence("%v", document.OfKind(a.Kind, a.Value))
		}
		out[i] = document.Assumption{Key: a.Key, Value: value, Why: document.Told(a.Why), Source: a.Source}
	}
	return out
}

// caution closes the page of a test.
var caution = document.Plain("Electricity beside water kills. Work on mains voltage, earthing and residual-current protection is for a " +
	"licensed person; local rules come before anything here.")

// doubts returns warnings as a page holds them.
func doubts(lists ...[]data.Warning) []document.Warning {
	return document.Each(slices.Concat(lists...), func(w data.Warning) document.Warning {
		message := w.Message
		w.Message = ""
		return document.Warning{Where: w.String(), Message: message}
	})
}

// share returns a share as a page shows one that a reader may have given.
func share(v float64) document.Quantity { return document.OfKind(units.KindShare, v) }

// listed names several things in a sentence.
func listed(names []string) string {
	if n := len(names); n > 1 {
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
	return strings.Join(names, "")
}

// Capital returns a phrase with a capital at its start.
func Capital(phrase string) string {
	first, size := utf8.DecodeRuneInString(phrase)
	if size == 0 {
		return ""
	}
	return string(unicode.ToUpper(first)) + phrase[size:]
}

// ExactDigits shows a number of a table with all the digits that it has.
const ExactDigits = 12
