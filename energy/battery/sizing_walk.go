package battery

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
// where the sums fall as c grows. It orders falls and reuses the slice.
func leastStore(falls, before []float64, target float64) float64 {
	lo, hi := 0.0, 0.0 // the sums at hi are within the target, at lo they are not
	for _, f := range falls {
		hi = max(hi, f)
	}
	for _, f := range before {
		hi = max(hi, f)
	}
	if excess(falls, before, 0) <= target {
		return 0
	}
	// n and sum hold what lies at hi or above; falls and before what lies
	// between lo and hi.
	n, sum := 0, 0.0
	take := func(list []float64, sign int, level float64) []float64 {
		kept := list[:0]
		for _, f := range list {
			if f >= level {
				n += sign
				sum += float64(sign) * f
			} else {
				kept = append(kept, f)
			}
		}
		return kept
	}
	drop := func(list []float64, level float64) []float64 {
		kept := list[:0]
		for _, f := range list {
			if f > level {
				kept = append(kept, f)
			}
		}
		return kept
	}
	before = append([]float64(nil), before...)
	falls, before = take(falls, 1, hi), take(before, -1, hi)
	for len(falls)+len(before) > 0 {
		level := pivot(falls, before)
		at := sum - float64(n)*level + excess(falls, before, level)
		if at <= target {
			hi = level
			falls, before = take(falls, 1, level), take(before, -1, level)
		} else {
			lo = level
			falls, before = drop(falls, level), drop(before, level)
		}
	}
	if n <= 0 {
		return hi
	}
	return min(hi, max(lo, (sum-target)/float64(n)))
}

// excess returns the two sums of leastStore at c.
func excess(falls, before []float64, c float64) float64 {
	sum := 0.0
	for _, f := range falls {
		sum += max(0, f-c)
	}
	for _, f := range before {
		sum -= max(0, f-c)
	}
	return sum
}

// pivot returns a value of the lists, the middle one of three.
func pivot(falls, before []float64) float64 {
	list := falls
	if len(before) > len(falls) {
		list = before
	}
	a, b, c := list[0], list[len(list)/2], list[len(list)-1]
	return max(min(a, b), min(max(a, b), c))
}
