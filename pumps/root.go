package pumps

import "math"

// root returns x between lo and hi where f changes sign, to within tol. An f that
// has one sign at both ends, or is no number, is a broken model and panics.
//
// It is Brent's method: inverse quadratic or secant steps, with bisection
// wherever those would leave the bracket or shrink it too slowly, so that the
// root never escapes and the worst case is that of bisection.
//
// Source: R. P. Brent, Algorithms for Minimization without Derivatives,
// 1973, chapter 4.
func root(f func(float64) float64, lo, hi, tol float64) float64 {
	a, b := lo, hi
	fa, fb := f(a), f(b)
	switch {
	case fa == 0:
		return a
	case fb == 0:
		return b
	case !finite(fa) || !finite(fb) || (fa > 0) == (fb > 0):
		panic("pumps: no change of sign between two flows")
	}
	c, fc := a, fa
	step := b - a
	last := step
	for range 200 {
		if math.Abs(fc) < math.Abs(fb) {
			a, b, c = b, c, b
			fa, fb, fc = fb, fc, fb
		}
		near := 2*epsilon*math.Abs(b) + tol/2
		half := (c - b) / 2
		if math.Abs(half) <= near || fb == 0 {
			return b
		}
		if math.Abs(last) < near || math.Abs(fa) <= math.Abs(fb) {
			step, last = half, half
		} else {
			step, last = brentStep(a, b, c, fa, fb, fc, half, near, step, last)
		}
		a, fa = b, fb
		if math.Abs(step) > near {
			b += step
		} else {
			b += math.Copysign(near, half)
		}
		if fb = f(b); !finite(fb) {
			panic("pumps: a head that is no number")
		}
		if (fb > 0) == (fc > 0) {
			c, fc = a, fa
			step = b - a
			last = step
		}
	}
	panic("pumps: no convergence")
}

// brentStep returns the next step and the one before it: interpolated if that
// stays well inside the bracket, else half the bracket.
func brentStep(a, b, c, fa, fb, fc, half, near, step, last float64) (next, before float64) {
	var p, q float64
	s := fb / fa
	if a == c {
		p, q = 2*half*s, 1-s
	} else {
		t, r := fa/fc, fb/fc
		p = s * (2*half*t*(t-r) - (b-a)*(r-1))
		q = (t - 1) * (r - 1) * (s - 1)
	}
	if p > 0 {
		q = -q
	}
	p = math.Abs(p)
	if 2*p < min(3*half*q-math.Abs(near*q), math.Abs(last*q)) {
		return p / q, step
	}
	return half, half
}

// epsilon is the spacing of float64 at 1.
const epsilon = 0x1p-52

// peak returns where f is largest between lo and hi, to within tol, for an f
// with one hump there. Golden-section search: slow, and cannot go astray.
func peak(f func(float64) float64, lo, hi, tol float64) float64 {
	const golden = 0.6180339887498949 // (sqrt 5 - 1)/2
	a, b := hi-golden*(hi-lo), lo+golden*(hi-lo)
	fa, fb := f(a), f(b)
	for hi-lo > tol {
		if fa > fb {
			hi, b, fb = b, a, fa
			a = hi - golden*(hi-lo)
			fa = f(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + golden*(hi-lo)
			fb = f(b)
		}
	}
	return (lo + hi) / 2
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
