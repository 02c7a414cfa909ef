package document

import "strings"

// The working is shown in figures that a pencil can follow: the inputs with a
// few digits more than the result.
const (
	inputDigits  = 7
	resultDigits = 5
)

// aboutWorking stands above the working.
const aboutWorking = "Each figure: formula, result, what goes into it, source. Units are metric throughout; shares are parts of one; " +
	"items of a list count from 1."

// workingItems returns the steps as sentences.
func workingItems(list []Step) []Prose {
	return append([]Prose{Sentence(aboutWorking)}, Each(list, func(s Step) Prose {
		item := Sentence("%v", s.Key).When(s.What != "", ", %v", s.What).
			And(": %v = %v", s.Formula, figured(s.Result, resultDigits, s.Unit))
		for _, in := range s.Inputs {
			item = item.And("; %v = %v", in.Symbol, figured(in.Value, inputDigits, in.Unit)).When(in.What != "", " %v", in.What)
		}
		return item.When(s.Source != "", " (%v)", s.Source)
	})...)
}

// figured returns v with its unit as it stands; a share has none.
func figured(v float64, digits int, u Unit) string {
	return strings.TrimSuffix(trimZeros(formatNumber(v, digits))+HardSpace+strings.TrimSuffix(u.Symbol, "1"), HardSpace)
}
