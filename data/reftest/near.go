package reftest

import (
	"math"
	"testing"
)

// Near fails t where got lies farther than tol from want, or is no number.
func Near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.10g, want %.10g within %g", what, got, want, tol)
	}
}
