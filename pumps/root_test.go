package pumps

import (
	"math"
	"testing"
)

func TestRootFindsAndRefuses(t *testing.T) {
	x := root(func(x float64) float64 { return math.Cos(x) - x }, 0, 1, 1e-14)
	if math.Abs(x-0.7390851332151607) > 1e-13 { // the Dottie number
		t.Errorf("cos x = x at %.16g", x)
	}
	for name, f := range map[string]func(float64) float64{
		"no change of sign": func(float64) float64 { return 1 },
		"no number":         func(float64) float64 { return math.NaN() },
		"a pole at the end": func(x float64) float64 { return 1 / x },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			root(f, 0, 1, 1e-9)
		}()
	}
}
