package document

import (
	"fmt"
	"strings"
	"unicode"

	"sunrill/data/units"
)

// Prose is a sentence whose figures keep their unit until a renderer prints
// them. The zero value is no sentence.
type Prose struct {
	format string
	args   []any
}

// Quantity is a number in a unit, on its way into a sentence.
type Quantity struct {
	Value  float64 // in the unit that Unit's keys end in
	Unit   Unit
	Digits int // significant digits; 0 means 3, below 0 is as people say it
}

// Sentence returns Prose from a format of our own words in which each %v
// stands for one argument: a Quantity, made by Unit.Of, a sentence with figures, or anything else,
// which is taken as text from outside and cleaned or escaped by the renderer.
func Sentence(format string, args ...any) Prose { return Prose{format, args} }

// And returns p with more said behind it.
func (p Prose) And(format string, args ...any) Prose {
	return Sentence("%v"+format, append([]any{p}, args...)...)
}

// When returns p with more said behind it where is holds, p alone else.
func (p Prose) When(is bool, format string, args ...any) Prose {
	if !is {
		return p
	}
	return p.And(format, args...)
}

// Plain returns Prose of s alone, taken as text from outside.
func Plain(s string) Prose { return Prose{"%v", []any{s}} }

// Told returns Prose of a sentence of the packages that reckon.
func Told(t units.Text) Prose { return Prose{"%v", []any{t}} }

// IsZero reports whether p says nothing.
func (p Prose) IsZero() bool { return p.format == "" }

// HardSpace keeps a figure and its unit on one line until the text page has
// been broken into lines.
const HardSpace = "\u00a0"

// Softened returns s with plain spaces for hard ones.
func Softened(s string) string { return strings.ReplaceAll(s, HardSpace, " ") }

// Text returns p with quantities shown in system, a hard space before their
// unit, and foreign text passed through clean.
func (p Prose) Text(system units.System, clean func(string) string) string {
	return p.fill(system, func(own string) string { return own }, clean, func(q Quantity) string { return q.in(system, clean) })
}

// fill returns p with our own words, foreign text and figures each passed through
// what a renderer does with them.
func (p Prose) fill(system units.System, own, foreign func(string) string, figure func(Quantity) string) string {
	format := own(p.format)
	if len(p.args) == 0 {
		return strings.ReplaceAll(format, "%%", "%")
	}
	shown := make([]any, len(p.args))
	for i, a := range p.args {
		switch a := a.(type) {
		case Quantity:
			shown[i] = figure(a)
		case Prose:
			shown[i] = a.fill(system, own, foreign, figure)
		case units.Text:
			shown[i] = foreign(a.In(system))
		default:
			shown[i] = foreign(fmt.Sprint(a))
		}
	}
	return fmt.Sprintf(format, shown...)
}

// String returns p in metric units, with control characters removed.
func (p Prose) String() string { return Softened(p.Text(units.Metric, Clean)) }

// MarshalText returns p as String does.
func (p Prose) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// Clean returns s on one line, without the control and bidirectional
// characters that could move a cursor, recolour a terminal or reorder what a
// reader sees.
func Clean(s string) string { return Softened(printable(s)) }

// printable is Clean but for hard spaces.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\u2028' || r == '\u2029':
			return ' '
		case unicode.IsControl(r) || IsBidi(r) || r == '\ufeff' || r == unicode.ReplacementChar:
			return -1
		}
		return r
	}, s)
}

// IsBidi reports whether r steers the direction of text (Unicode Standard
// Annex #9, section 2).
func IsBidi(r rune) bool {
	return r == '\u061c' || r == '\u200e' || r == '\u200f' ||
		('\u202a' <= r && r <= '\u202e') || ('\u2066' <= r && r <= '\u2069')
}
