package page

import (
	"math"
	"testing"
)

func TestEvaluate(t *testing.T) {
	symbols := map[string]float64{"a": 2, "b1": 3, "Re": 64}
	for formula, want := range map[string]float64{
		"1 + 2 * a": 5, "(1 + 2) * a": 6, "a^b1": 8, "-a^2": -4, "a^-1": 0.5, "2^3^2": 512, "a / b1 * b1": 2, "a * -b1 + 1": -5,
		"sqrt(16)": 4, "min(a, b1, 1)": 1, "max(a, b1)": 3, "64 / Re": 1, "1.5e-1 * a": 0.3, "ln(1)": 0, "floor(pi)": 3, "a - b1 - 1": -2,
	} {
		got, err := Evaluate(formula, symbols)
		if err != nil || math.Abs(got-want) > 1e-12 {
			t.Errorf("%s = %g, %v; want %g", formula, got, err, want)
		}
	}
	for _, bad := range []string{"a b1", "a +", "(a", "x", "1..2", "sqrt(4", "sqrt(4, 9)", "x(1)", "0x10", "", "'a"} {
		if v, err := Evaluate(bad, symbols); err == nil {
			t.Errorf("%s = %g, want an error", bad, v)
		}
	}
}
