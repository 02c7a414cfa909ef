package battery

import (
	"cmp"
	"math"
	"slices"
)

// walk is a path of falls and rises below its highest level, which is a full
// store: a rise beyond that is forgotten.
type walk struct {
	open   []float64 // fall, rise, fall, ... none larger than the one before
	closed []float64 // falls that a later rise or fall has covered
}

// fall goes down by d and returns the size of the fall that the path is in.
func (w *walk) fall(d float64) float64 {
	n := len(w.open)
	if n%2 == 1 {
		w.open[n-1] += d
	} else {
		w.open = append(w.open, d)
		n++
	}
	for n >= 3 && w.open[n-1] >= w.open[n-2] {
		w.closed = append(w.closed, w.open[n-2])
		w.open[n-3] += w.open[n-1] - w.open[n-2]
		n -= 2
		w.open = w.open[:n]
	}
	return w.open[n-1]
}

// rise goes up by d.
func (w *walk) rise(d float64) {
	n := len(w.open)
	if n == 0 {
		return
	}
	if n%2 == 0 {
		w.open[n-1] += d
	} else {
		w.open = append(w.open, d)
		n++
	}
	for w.open[n-1] >= w.open[n-2] {
		w.closed = append(w.closed, w.open[n-2])
		if n == 2 {
			w.open = w.open[:0]
			return
		}
		w.open[n-3] += w.open[n-1] - w.open[n-2]
		n -= 2
		w.open = w.open[:n]
	}
}

// falls appends the open falls to into.
func (w *walk) falls(into []float64) []float64 {
	for i := 0; i < len(w.open); i += 2 {
		into = append(into, w.open[i])
	}
	return into
}

// leastStore returns the least c with
//
//	sum max(0, fall - c) - sum max(0, before - c) <= target
//
// where the sums fall as c grows. Falls below from are left out: a c of less than that
// may be too small.
func leastStore(falls, before []float64, target, from float64) float64 {
	from = raise(falls, before, target, from)
	type end struct{ level, count float64 }
	var ends []end
	add := func(falls []float64, count float64) {
		for _, f := range falls {
			if f >= from {
				ends = append(ends, end{f, count})
			}
		}
	}
	add(falls, 1)
	add(before, -1)
	slices.SortFunc(ends, func(a, b end) int { return cmp.Compare(b.level, a.level) })
	// Between two levels the sums are one straight line: sum - n c.
	n, sum, above := 0.0, 0.0, math.Inf(1)
	for _, e := range append(ends, end{}) {
		switch {
		case sum-n*e.level <= target:
		case n <= 0:
			return above
		default:
			return min(above, (sum-target)/n)
		}
		n, sum, above = n+e.count, sum+e.count*e.level, e.level
	}
	return 0
}

// raise returns a level from on, above which the c of leastStore still is where it is
// above from: so that fewer falls are to be sorted.
func raise(falls, before []float64, target, from float64) float64 {
	const halvings = 8
	over := func(falls []float64, c float64) (sum float64) {
		for _, f := range falls {
			if f > c {
				sum += f - c
			}
		}
		return sum
	}
	high := max(from, 0)
	for _, f := range falls {
		high = max(high, f)
	}
	if low := max(from, 0); over(falls, low)-over(before, low) <= target {
		return from
	}
	for range halvings {
		if mid := (max(from, 0) + high) / 2; over(falls, mid)-over(before, mid) > target {
			from = mid
		} else {
			high = mid
		}
	}
	return from
}
