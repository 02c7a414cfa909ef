package page

import (
	"fmt"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
)

// working gathers the steps of a page, from the figures that the page shows.
type working struct {
	steps []document.Step
	seen  map[string]bool
}

// add appends a step. A figure is worked once: of a second step with its key
// nothing is kept.
func (w *working) add(key, what, formula string, result float64, unit document.Unit, source string, inputs ...document.Input) {
	if w.seen[key] {
		return
	}
	if w.seen == nil {
		w.seen = map[string]bool{}
	}
	w.seen[key] = true
	w.steps = append(w.steps, document.Step{Key: key, What: what, Formula: formula, Inputs: inputs, Result: result, Unit: unit, Source: source})
}

// put returns one number that goes into a step.
func put(symbol string, value float64, unit document.Unit, what string) document.Input {
	return document.Input{Symbol: symbol, Value: value, Unit: unit, What: what}
}

// gravity returns g as an input.
func gravity() document.Input {
	return put("g", units.StandardGravity, document.Named("m/s2"), "standard gravity")
}

// sumOf returns "h1 + h2 + h3" over the symbols of inputs.
func sumOf(inputs []document.Input) string {
	symbols := make([]string, len(inputs))
	for i, in := range inputs {
		symbols[i] = in.Symbol
	}
	return strings.Join(symbols, " + ")
}

// numbered returns a symbol with a number behind it, from 1.
func numbered(symbol string, i int) string { return fmt.Sprintf("%s%d", symbol, i+1) }

// Units that only the working shows.
var (
	viscosityUnit  = document.Named("m2/s")
	thicknessUnit  = document.Named("Pa s")
	densityUnit    = document.Named("kg/m3")
	resistanceUnit = document.Named("s2/m5")
)

// The sources of the working, as the page names them among its own.
const (
	fromContinuity = "continuity, any textbook of hydraulics"
	fromDarcy      = "Darcy-Weisbach, any textbook of hydraulics"
	fromChurchill  = "S. W. Churchill, Chemical Engineering 84 (1977), no. 24, p. 91"
	fromReynolds   = "Reynolds number, any textbook of hydraulics; viscosity by IAPWS SR6-08"
	fromMinor      = "minor losses on the velocity head, any textbook of hydraulics"
	fromErgun      = "S. Ergun, Chem. Eng. Progress 48 (1952) 89"
	fromCurve      = "the pump's curve; F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300"
	fromRibs       = "R. C. Hawthorne and H. C. von Helms, Product Engineering, 1963, from memory"
	fromMoney      = "Panneerselvam, Engineering Economics, chapters 3 and 6"
	byDefinition   = "by definition"
)
