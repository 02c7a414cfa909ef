package figure_test

import (
	"encoding/json"
	"errors"
	"math"
	"testing"

	"sunrill/data/figure"
)

// TestThenKeepsTheReason: what is made of an unknown figure is unknown for the
// same reason, and nothing is made of it.
func TestThenKeepsTheReason(t *testing.T) {
	half := func(v int) float64 { return float64(v) / 2 }
	if got := figure.Then(figure.Known(3), half); got != figure.Known(1.5) {
		t.Errorf("half of 3: %+v", got)
	}
	lost := func(int) float64 { t.Error("an unknown figure was used"); return 0 }
	if got := figure.Then(figure.OrWhy(3, errors.New("no meter")), lost); got != figure.Unknown[float64]("no meter") {
		t.Errorf("half of what nobody read: %+v", got)
	}
}

// TestNumbersThatAreNone: infinity and NaN never become figures, and zero or less
// is none where a figure has to be above 0.
func TestNumbersThatAreNone(t *testing.T) {
	for _, c := range []struct {
		v                float64
		finite, positive bool
	}{
		{3, true, true}, {0, true, false}, {-3, true, false},
		{math.Inf(1), false, false}, {math.Inf(-1), false, false}, {math.NaN(), false, false},
	} {
		want := func(known bool) figure.Maybe[float64] {
			if known {
				return figure.Known(c.v)
			}
			return figure.Unknown[float64]("why")
		}
		if got := figure.Finite(c.v, "why"); got != want(c.finite) {
			t.Errorf("Finite(%g) = %+v", c.v, got)
		}
		if got := figure.Positive(c.v, "why"); got != want(c.positive) {
			t.Errorf("Positive(%g) = %+v", c.v, got)
		}
	}
}

// TestTwoFigures: the larger is the one that is known where one is not; the mean
// is unknown then, for the reason of the first that is.
func TestTwoFigures(t *testing.T) {
	two, five := figure.Known(2.0), figure.Known(5.0)
	dry, lost := figure.Unknown[float64]("dry"), figure.Unknown[float64]("lost")
	for _, c := range []struct{ a, b, larger, mean figure.Maybe[float64] }{
		{two, five, five, figure.Known(3.5)},
		{five, two, five, figure.Known(3.5)},
		{two, dry, two, dry},
		{dry, two, two, dry},
		{dry, lost, lost, dry},
	} {
		if got := figure.Larger(c.a, c.b); got != c.larger {
			t.Errorf("the larger of %+v and %+v: %+v", c.a, c.b, got)
		}
		if got := figure.Mean(c.a, c.b); got != c.mean {
			t.Errorf("the mean of %+v and %+v: %+v", c.a, c.b, got)
		}
	}
}

// TestFiguresFromJSON: null is unknown, anything else is known or a fault.
func TestFiguresFromJSON(t *testing.T) {
	var row struct{ Flow, Head, Left figure.Maybe[float64] }
	if err := json.Unmarshal([]byte(`{"Flow": 0, "Head": null}`), &row); err != nil {
		t.Fatal(err)
	}
	if row.Flow != figure.Known(0.0) || row.Head.Known || row.Left.Known {
		t.Errorf("%+v", row)
	}
	if err := json.Unmarshal([]byte(`{"Flow": "much"}`), &row); err == nil {
		t.Error("a word was taken for a number")
	}
}

// TestOrZero: a key that is left out is zero, one that is there its value.
func TestOrZero(t *testing.T) {
	v := 4
	if figure.OrZero(&v) != 4 || figure.OrZero[int](nil) != 0 {
		t.Errorf("%d and %d", figure.OrZero(&v), figure.OrZero[int](nil))
	}
}
