package figure_test

import (
	"errors"
	"testing"

	"sunrill/data/figure"
)

func TestMaybeKeepsItsReason(t *testing.T) {
	for _, test := range []struct {
		name string
		m    figure.Maybe[int]
		want figure.Maybe[int]
	}{
		{"given", figure.Given(true, 3, "no"), figure.Maybe[int]{Value: 3, Known: true}},
		{"not given", figure.Given(false, 3, "no"), figure.Maybe[int]{Why: "no"}},
		{"made", figure.OrWhy(4, nil), figure.Maybe[int]{Value: 4, Known: true}},
		{"failed", figure.OrWhy(4, errors.New("broken")), figure.Maybe[int]{Why: "broken"}},
	} {
		if test.m != test.want {
			t.Errorf("%s: %+v, want %+v", test.name, test.m, test.want)
		}
		v, known, why := test.m.Figure()
		if v != any(test.want.Value) || known != test.want.Known || why != test.want.Why {
			t.Errorf("%s: Figure says %v, %v, %q", test.name, v, known, why)
		}
	}
}

// TestExplain gives a reason to what has none, in embedded structs too, and leaves
// known figures and other reasons alone.
func TestExplain(t *testing.T) {
	s := struct {
		Inner Part
		C     figure.Maybe[string]
		D, E  figure.Maybe[float64]
		F     int
	}{D: figure.Known(1.0), C: figure.Unknown[string]("its own")}
	if figure.Explain(&s, "shared"); s.C.Why != "its own" || s.D.Why != "" || s.E.Why != "shared" || s.Inner.A.Why != "" {
		t.Errorf("%+v", s)
	}
	type outer struct{ Part }
	o := outer{}
	o.B = figure.Known(2)
	if figure.Explain(&o, "shared"); o.A.Why != "shared" || o.B.Why != "" {
		t.Errorf("%+v", o)
	}
}

// Part is embedded by TestExplain.
type Part struct{ A, B figure.Maybe[int] }
