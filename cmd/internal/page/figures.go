package page

import (
	"math"

	"sunrill/data/figure"
)

// number returns v as JSON shows a figure that is known.
func number[T ~float64](v T) *float64 {
	f := float64(v)
	return &f
}

// known returns a figure of the budget in the given size of its unit, nil where
// it is not known or beyond any number.
func known[T ~float64](m figure.Maybe[T], size T) *float64 {
	if !m.Known {
		return nil
	}
	return bounded(float64(m.Value / size))
}

// bounded returns v, nil where it is beyond any number.
func bounded(v float64) *float64 {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return nil
	}
	return &v
}

// positive returns v where it is a finite number above 0, else nil.
func positive(v float64) *float64 {
	if !(v > 0) {
		return nil
	}
	return bounded(v)
}

// fractionOf returns part over whole, 0 where there is no whole.
func fractionOf(part, whole float64) float64 {
	if whole == 0 {
		return 0
	}
	return part / whole
}
