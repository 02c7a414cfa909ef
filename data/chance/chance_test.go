package chance

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestShapesAreTheirDistributions(t *testing.T) {
	u := Uniform("any")
	mean := func(s Shape) (m float64) {
		for _, x := range s.Of(u) {
			m += x / Draws
		}
		return m
	}
	// Means from JCGM 101:2008, 6.4.2.4, and of a triangle (low+mode+high)/3, known from
	// any text; of the log-triangle by the integral of 2 exp(x) over each side, by hand.
	for _, c := range []struct {
		name string
		s    Shape
		want float64
	}{
		{"rectangular", Rectangular(2, 5), 3.5},
		{"triangular", Triangular(1, 2, 6), 3},
		{"triangular, mode at its end", Triangular(1, 1, 4), 2},
		{"log-triangular", LogTriangular(1/math.E, 1, math.E), math.E + 1/math.E - 2},
		{"no width", Triangular(3, 3, 3), 3},
		{"no width, log", LogTriangular(3, 3, 3), 3},
	} {
		if got := mean(c.s); math.Abs(got-c.want) > 2e-3 {
			t.Errorf("%s: mean %g, want %g", c.name, got, c.want)
		}
	}
	if tri := Triangular(0, 1, 4); tri(0.25) != 1 || math.Abs(tri(0)) > 1e-15 || tri(1) != 4 {
		t.Error("the triangle's mode and ends are off")
	}
}

func TestUniformIsStratifiedAndItsOwn(t *testing.T) {
	a, b := Uniform("lift"), Uniform("dirt")
	if !slices.Equal(a, quantiles("lift")) {
		t.Error("the same name gives other draws")
	}
	if r := correlation(a, b); math.Abs(r) > 0.07 { // three standard errors of 2,000
		t.Errorf("two inputs are drawn alike: %g", r)
	}
	for i, x := range slices.Sorted(slices.Values(a)) {
		if x*Draws < float64(i) || x*Draws > float64(i+1) {
			t.Fatalf("no draw in part %d", i)
		}
	}
}

func TestQuantile(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		of      []float64
		p, want float64
	}{
		{[]float64{1, 2, 3, 4, 5}, 0.5, 3}, {[]float64{1, 2, 3, 4, 5}, 0.1, 1.4}, {[]float64{7}, 0.9, 7}, {[]float64{1, 2}, 1, 2},
		{[]float64{1, inf, inf}, 0.9, inf}, {[]float64{inf, inf}, 0.5, inf},
	} {
		if got := Quantile(c.of, c.p); got != c.want && math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v at %g: %g, want %g", c.of, c.p, got, c.want)
		}
	}
	if !math.IsNaN(Quantile(nil, 0.5)) {
		t.Error("of nothing there is a quantile")
	}
}

// TestNthAgainstSorting: few values and many, equal and infinite ones among them.
func TestNthAgainstSorting(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for n := 1; n < 3000; n += 1 + n/50 {
		v := make([]float64, n)
		for i := range v {
			if v[i] = math.Floor(float64(1+n%20) * r.ExpFloat64()); r.IntN(3) == 0 {
				v[i] = math.Inf(1)
			}
		}
		sorted, k := slices.Sorted(slices.Values(v)), r.IntN(n)
		if nth(v, k) != sorted[k] || v[k] != sorted[k] || slices.Max(v[:k+1]) > v[k] || slices.Min(v[k:]) < v[k] {
			t.Errorf("%d of %d: %g, want %g", k, n, v[k], sorted[k])
		}
	}
}

func TestSharesOfASum(t *testing.T) {
	// Of x + 2y with x and y alike, y makes four fifths of the variance. Ranks say
	// nearly the same, and bear what has no number.
	x, y := Uniform("x"), Uniform("y")
	sum := make([]float64, Draws)
	for i := range sum {
		if sum[i] = x[i] + 2*y[i]; sum[i] > 2.9 {
			sum[i] = math.Inf(1)
		}
	}
	got := Shares(sum, [][]float64{x, y, make([]float64, Draws)})
	if math.Abs(got[1]-0.8) > 0.03 || got[2] != 0 || math.Abs(got[0]+got[1]-1) > 1e-12 {
		t.Errorf("shares %v, want 0.2, 0.8, 0", got)
	}
	if got := Shares(make([]float64, Draws), [][]float64{x}); got[0] != 0 {
		t.Error("what does not spread is moved")
	}
}
