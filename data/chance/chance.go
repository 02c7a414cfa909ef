// Package chance draws uncertain inputs together, so that what follows from them can
// be counted: the propagation of distributions of JCGM 101:2008.
package chance

import (
	"hash/fnv"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"sync"
)

// Draws is how often everything is drawn.
const Draws = 2000

// Uniform returns the quantiles of one input, one for each draw, all within (0, 1).
// They are stratified, one in each of Draws equal parts, so that a counted share is
// surer than that of plain draws. The same name gives the same quantiles, whatever
// else is drawn: every pump and every variant of a plan meets the same luck. They are made
// once, for reading only.
func Uniform(name string) []float64 {
	u, made := uniform.Load(name)
	if !made {
		u, _ = uniform.LoadOrStore(name, quantiles(name))
	}
	return u.([]float64)
}

var uniform sync.Map // of each name

func quantiles(name string) []float64 {
	h := fnv.New64a()
	_, _ = io.WriteString(h, name) // a hash takes all
	r := rand.New(rand.NewPCG(h.Sum64(), 2008))
	u := make([]float64, Draws)
	for i := range u {
		u[i] = (float64(i) + r.Float64()) / Draws
	}
	r.Shuffle(Draws, func(i, j int) { u[i], u[j] = u[j], u[i] })
	return u
}

// Shape is how likely an input lies where in its range: the quantile function.
type Shape func(u float64) float64

// Rectangular is an input that lies anywhere from low to high alike (JCGM 101, 6.4.2).
func Rectangular(low, high float64) Shape {
	return func(u float64) float64 { return low + u*(high-low) }
}

// Triangular is an input that lies most likely at mode, within low to high.
func Triangular(low, mode, high float64) Shape {
	if !(high > low) {
		return func(float64) float64 { return mode }
	}
	turn := (mode - low) / (high - low)
	return func(u float64) float64 {
		if u < turn {
			return low + math.Sqrt(u*(high-low)*(mode-low))
		}
		return high - math.Sqrt((1-u)*(high-low)*(high-mode))
	}
}

// LogTriangular is an input whose logarithm is triangular between those of low and
// high, both above 0, most likely at mode.
func LogTriangular(low, mode, high float64) Shape {
	if !(high > low) {
		return func(float64) float64 { return mode }
	}
	t := Triangular(math.Log(low), math.Log(mode), math.Log(high))
	return func(u float64) float64 { return math.Exp(t(u)) }
}

// Of returns the input at each quantile.
func (s Shape) Of(u []float64) []float64 {
	out := make([]float64, len(u))
	for i, x := range u {
		out[i] = s(x)
	}
	return out
}

// Quantile returns the value that a share p, 0 to 1, of values lies below, between the
// two next to it; NaN where there are none. Infinite values are values. It changes the
// order of values.
func Quantile(values []float64, p float64) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	at := p * float64(len(values)-1)
	k := min(int(at), len(values)-2)
	if k < 0 {
		return values[0]
	}
	low := nth(values, k)
	high := values[k+1]
	for _, v := range values[k+2:] {
		if v < high {
			high = v
		}
	}
	switch {
	case low == high:
		return low
	case math.IsInf(high, 0):
		return map[bool]float64{true: low, false: high}[math.Round(at) == float64(k)]
	}
	return low + (at-float64(k))*(high-low)
}

// nth puts the value that k others lie before in its place, none larger before it and
// none smaller behind, and returns it. It parts the values where a few of them show that
// one to lie.
func nth(v []float64, k int) float64 {
	for lo, hi := 0, len(v)-1; lo < hi; {
		var few [31]float64
		if hi-lo < len(few) {
			slices.Sort(v[lo : hi+1])
			break
		}
		for i := range few {
			few[i] = v[lo+i*(hi-lo)/(len(few)-1)]
		}
		slices.Sort(few[:])
		pivot, i, j := few[(k-lo)*(len(few)-1)/(hi-lo)], lo, hi
		for i <= j {
			for v[i] < pivot {
				i++
			}
			for v[j] > pivot {
				j--
			}
			if i <= j {
				v[i], v[j] = v[j], v[i]
				i, j = i+1, j-1
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return v[k]
		}
	}
	return v[k]
}

// Shares returns how much of the spread of outcome comes from each input, told by its
// quantiles as Uniform has them: squared rank correlations, scaled so that they sum to 1;
// all 0 where nothing spreads. Ranks bear the infinite turnover of a pump that does not
// lift, and are the same for every shape of an input.
func Shares(outcome []float64, quantiles [][]float64) []float64 {
	out := make([]float64, len(quantiles))
	o, sum := ranks(outcome), 0.0
	for i, u := range quantiles {
		r := correlation(o, u)
		out[i] = r * r
		sum += out[i]
	}
	for i := range out {
		if sum > 0 {
			out[i] /= sum
		}
	}
	return out
}

// ranks returns the place of each value in order, equal ones sharing theirs.
func ranks(values []float64) []float64 {
	type placed struct {
		value float64
		at    int
	}
	order := make([]placed, len(values))
	for i, v := range values {
		order[i] = placed{v, i}
	}
	slices.SortFunc(order, func(a, b placed) int {
		switch { // none is NaN, which cmp.Compare asks first
		case a.value < b.value:
			return -1
		case a.value > b.value:
			return 1
		}
		return 0
	})
	out := make([]float64, len(values))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && order[j].value == order[i].value {
			j++
		}
		for k := i; k < j; k++ {
			out[order[k].at] = float64(i+j-1) / 2
		}
		i = j
	}
	return out
}

// correlation returns Pearson's coefficient of a and b, 0 where either is constant.
func correlation(a, b []float64) float64 {
	n := float64(len(a))
	var ma, mb float64
	for i := range a {
		ma, mb = ma+a[i], mb+b[i]
	}
	ma, mb = ma/n, mb/n
	var ab, aa, bb float64
	for i := range a {
		x, y := a[i]-ma, b[i]-mb
		ab, aa, bb = ab+x*y, aa+x*x, bb+y*y
	}
	const rounding = 1e-9 // of ranks and quantiles, whose least spread is far above
	if aa < rounding || bb < rounding {
		return 0
	}
	return ab / math.Sqrt(aa*bb)
}
