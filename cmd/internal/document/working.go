package document

import (
	"cmp"
	"regexp"
	"strings"
)

// The working is shown in figures that a pencil can follow: the inputs with a
// few digits more than the result.
const (
	inputDigits  = 7
	resultDigits = 5
)

// words match the numbers and symbols of a formula.
var words = regexp.MustCompile(`[\pL\pN_.]+`)

// PutIn returns the right side of the formula with the numbers in place of the
// symbols.
func (s Step) PutIn() string {
	right := s.Formula
	if _, after, found := strings.Cut(right, "="); found {
		right = after
	}
	numbers := map[string]string{}
	for _, in := range s.Inputs {
		numbers[in.Symbol] = in.figure()
		if in.Value < 0 {
			numbers[in.Symbol] = "(" + in.figure() + ")"
		}
	}
	return words.ReplaceAllStringFunc(strings.TrimSpace(right), func(word string) string { return cmp.Or(numbers[word], word) })
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
