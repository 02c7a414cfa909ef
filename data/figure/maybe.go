// Package figure holds what an answer is made of: a figure that may be unknown, with
// its reason, and a value that nobody gave.
package figure

import (
	"encoding/json"
	"math"
	"reflect"

	"sunrill/data/units"
)

// Maybe is a figure that may be unknown, with the reason where it is. The zero
// value is unknown with no reason; use Unknown to give one.
type Maybe[T any] struct {
	Value T          // meaningful only where Known
	Known bool       // whether Value holds
	Why   units.Text // the reason where it does not; beside a value, where that comes from
}

// Known returns v as a known figure.
func Known[T any](v T) Maybe[T] { return Maybe[T]{Value: v, Known: true} }

// Unknown returns a figure that is missing for the reason why.
func Unknown[T any](why units.Text) Maybe[T] { return Maybe[T]{Why: why} }

// Given returns v where it is known, else the reason why it is not.
func Given[T any](known bool, v T, why units.Text) Maybe[T] {
	if known {
		return Known(v)
	}
	return Unknown[T](why)
}

// OrWhy returns v, or err as the reason why it is not known.
func OrWhy[T any](v T, err error) Maybe[T] {
	if err != nil {
		return Unknown[T](units.Text(err.Error()))
	}
	return Known(v)
}

// Then returns what f makes of a figure, unknown for the same reason where that is.
func Then[T, U any](m Maybe[T], f func(T) U) Maybe[U] {
	if !m.Known {
		return Unknown[U](m.Why)
	}
	return Known(f(m.Value))
}

// Finite returns v where it is a number, else the reason why it is not.
func Finite(v float64, why units.Text) Maybe[float64] {
	return Given(!math.IsInf(v, 0) && !math.IsNaN(v), v, why)
}

// Positive returns v where it is a number above 0, else the reason why it is not.
func Positive(v float64, why units.Text) Maybe[float64] {
	return Given(v > 0 && !math.IsInf(v, 0), v, why)
}

// UnmarshalJSON reads a figure; null is unknown.
func (m *Maybe[T]) UnmarshalJSON(text []byte) error {
	if string(text) == "null" {
		return nil
	}
	m.Known = true
	return json.Unmarshal(text, &m.Value)
}

// Figure returns the value, whether it is known and the reason where it is not.
func (m Maybe[T]) Figure() (v any, known bool, why units.Text) { return m.Value, m.Known, m.Why }

// Larger returns the larger of two figures, or the one that is known.
func Larger[T ~float64](a, b Maybe[T]) Maybe[T] {
	switch {
	case !a.Known:
		return b
	case b.Known && b.Value > a.Value:
		return b
	}
	return a
}

// Mean returns the middle of two figures, unknown where one is.
func Mean[T ~float64](a, b Maybe[T]) Maybe[T] {
	switch {
	case !a.Known:
		return a
	case !b.Known:
		return b
	}
	return Known((a.Value + b.Value) / 2)
}

// Explain gives every figure of the struct that s points to, but for those that are
// known or have a reason, the reason why.
func Explain(s any, why units.Text) {
	v := reflect.ValueOf(s).Elem()
	for i := range v.NumField() {
		switch f := v.Field(i); {
		case !f.CanInterface():
		case v.Type().Field(i).Anonymous && f.Kind() == reflect.Struct:
			Explain(f.Addr().Interface(), why)
		default:
			if m, ok := f.Addr().Interface().(interface{ explain(why units.Text) }); ok {
				m.explain(why)
			}
		}
	}
}

func (m *Maybe[T]) explain(why units.Text) {
	if !m.Known && m.Why == "" {
		m.Why = why
	}
}

// OrZero returns *v, or zero where a plan leaves the key out. It makes no Maybe:
// it is for keys whose zero says "not given".
func OrZero[T any](v *T) T {
	if v == nil {
		var none T
		return none
	}
	return *v
}
