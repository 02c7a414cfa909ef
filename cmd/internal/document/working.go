package document

import (
	"fmt"
	"strings"
	"unicode"
)

// The working is shown in figures that a pencil can follow: the inputs with a
// few digits more than the result.
const (
	inputDigits  = 7
	resultDigits = 5
)

// check returns an error where a figure of s is not a finite number.
func (s Step) check() error {
	ok := finite(s.Result)
	for _, in := range s.Inputs {
		ok = ok && finite(in.Value)
	}
	if !ok {
		return fmt.Errorf("document: working %s is not a finite number", s.Key)
	}
	return nil
}

// PutIn returns the right side of the formula with the numbers in place of the
// symbols.
func (s Step) PutIn() string {
	_, right, found := strings.Cut(s.Formula, "=")
	if !found {
		right = s.Formula
	}
	numbers := map[string]string{}
	for _, in := range s.Inputs {
		n := in.figure()
		if in.Value < 0 {
			n = "(" + n + ")"
		}
		numbers[in.Symbol] = n
	}
	var b strings.Builder
	rest := []rune(strings.TrimSpace(right))
	for len(rest) > 0 {
		n := wordAt(rest)
		if n == 0 {
			b.WriteRune(rest[0])
			rest = rest[1:]
			continue
		}
		word := string(rest[:n])
		if number, is := numbers[word]; is {
			word = number
		}
		b.WriteString(word)
		rest = rest[n:]
	}
	return b.String()
}

// wordAt returns how many runes of text, from its first, belong to one number
// or symbol.
func wordAt(text []rune) int {
	n := 0
	for n < len(text) && (text[n] == '_' || text[n] == '.' || unicode.IsLetter(text[n]) || unicode.IsDigit(text[n])) {
		n++
	}
	return n
}

// figure returns the value with its digits for the working.
func (in Input) figure() string { return formatNumber(in.Value, inputDigits) }

// ResultText returns the result with its unit.
func (s Step) ResultText() string {
	return strings.TrimSpace(trimZeros(formatNumber(s.Result, resultDigits)) + HardSpace + Clean(s.Unit.workingSymbol()))
}

// workingSymbol returns the unit as the working shows it: a share has none.
func (u Unit) workingSymbol() string {
	if u.Symbol == "1" {
		return ""
	}
	return u.Symbol
}

// InputList lists the inputs with unit and name.
func (s Step) InputList() string {
	list := make([]string, len(s.Inputs))
	for i, in := range s.Inputs {
		list[i] = strings.TrimRight(Clean(in.Symbol)+HardSpace+in.figure()+HardSpace+Clean(in.Unit.workingSymbol()), HardSpace)
		if in.What != "" {
			list[i] += " " + Clean(in.What)
		}
	}
	return strings.Join(list, "; ")
}

// workingItems returns the steps as sentences.
func workingItems(list []Step) []Prose {
	items := make([]Prose, len(list))
	for i, s := range list {
		title := s.Key
		if s.What != "" {
			title += ", " + s.What
		}
		items[i] = Sentence("%v: %v = %v = %v", title, s.Formula, s.PutIn(), s.ResultText())
		if len(s.Inputs) > 0 {
			items[i] = Sentence("%v; %v", items[i], s.InputList())
		}
		if s.Source != "" {
			items[i] = Sentence("%v. %v", items[i], s.Source)
		}
	}
	return items
}
