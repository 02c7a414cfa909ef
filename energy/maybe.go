package energy

// Maybe is a figure that may be unknown, with the reason where it is. The zero
// value is unknown with no reason; use Unknown to give one.
type Maybe[T any] struct {
	Value T      // meaningful only where Known
	Known bool   // whether Value holds
	Why   string // the reason where it does not
}

// Known returns v as a known figure.
func Known[T any](v T) Maybe[T] { return Maybe[T]{Value: v, Known: true} }

// Unknown returns a figure that is missing for the reason why.
func Unknown[T any](why string) Maybe[T] { return Maybe[T]{Why: why} }

// larger returns the larger of two figures, or the one that is known.
func larger[T ~float64](a, b Maybe[T]) Maybe[T] {
	switch {
	case !a.Known:
		return b
	case b.Known && b.Value > a.Value:
		return b
	}
	return a
}

// mean returns the middle of two figures, unknown where one is.
func mean[T ~float64](a, b Maybe[T]) Maybe[T] {
	switch {
	case !a.Known:
		return a
	case !b.Known:
		return b
	}
	return Known((a.Value + b.Value) / 2)
}

// known returns *v, or zero where a plan leaves the key out. It makes no Maybe:
// it is for keys whose zero says "not given".
func known[T any](v *T) T {
	if v == nil {
		var none T
		return none
	}
	return *v
}
