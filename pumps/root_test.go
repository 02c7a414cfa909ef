package pumps

import (
	"errors"
	"math"
	"testing"
)

func TestRootFindsAndRefuses(t *testing.T) {
	x, err := root(func(x float64) float64 { return math.Cos(x) - x }, 0, 1, 1e-14)
	if err != nil || math.Abs(x-0.7390851332151607) > 1e-13 { // the Dottie number
		t.Errorf("cos x = x at %.16g, %v", x, err)
	}
	for _, c := range []struct {
		f    func(float64) float64
		want error
	}{
		{func(float64) float64 { return 1 }, errNoBracket},
		{func(float64) float64 { return math.NaN() }, errNotFinite},
		{func(x float64) float64 { return 1 / x }, errNotFinite},
	} {
		if _, err := root(c.f, 0, 1, 1e-9); !errors.Is(err, c.want) {
			t.Errorf("error %v, want %v", err, c.want)
		}
	}
}
