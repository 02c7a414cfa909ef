package page

import (
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
)

// spell returns a length of time, or a number of hours, in hours, or in minutes where
// it is short.
func spell(length any) document.Quantity {
	q := document.Hours.Of(length)
	if q.Value < 1 {
		return document.Minutes.Rough(q.Value * 60)
	}
	return q
}

// share returns a share as a page shows one that a reader may have given.
func share(v float64) document.Quantity { return document.OfKind(units.KindShare, v) }

// monthName returns the name of month 0 to 11.
func monthName(month int) string { return time.Month(month + 1).String() }

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
