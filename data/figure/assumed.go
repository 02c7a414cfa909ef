package figure

import (
	"sunrill/data/units"
)

// Assumed is a value that nobody gave and that an answer rests on.
type Assumed struct {
	Key    string     // plan key: "water.temperature"
	Kind   units.Kind // of Value; 0 where Text says it
	Value  float64    // in the base unit of Kind
	Text   units.Text // the value in words, where it is no quantity
	Why    units.Text // why this value, in a few words
	Source string     // published source, "" for none
}
