package document

import (
	"math"
	"slices"
	"testing"

	"sunrill/data/figure"
	"sunrill/data/units"
)

func TestFormatNumber(t *testing.T) {
	tests := []struct {
		v      float64
		digits int
		want   string
	}{
		{0, 3, "0"},
		{2653.4, 3, "2650"},
		{999.6, 3, "1000"},
		{1000, 3, "1000"},
		{984.4, 3, "984"},
		{1.6, 3, "1.60"},
		{0.02634, 3, "0.0263"},
		{-1.005, 2, "-1.0"},
		{51.25, 2, "51"},
		{0.0015, 12, "0.0015"},
		{2400, 12, "2400"},
		{1e-9, 3, "1e-09"},
	}
	for _, tt := range tests {
		if got := formatNumber(tt.v, tt.digits); got != tt.want {
			t.Errorf("formatNumber(%v, %d) = %s, want %s", tt.v, tt.digits, got, tt.want)
		}
	}
}

// TestNoExponentOnAPage: what is less than anybody measures is 0 with the usual digits,
// and itself with all of them.
func TestNoExponentOnAPage(t *testing.T) {
	for v, want := range map[float64]string{2.22e-7: "0", -9e-7: "0", 1.2e-6: "0.00000120"} {
		if got := Head.Figure(v, units.Metric, 0); got != want {
			t.Errorf("%g m is shown as %s, want %s", v, got, want)
		}
	}
	if got := None.Figure(1.5e-9, units.Metric, 12); got != "1.5e-09" {
		t.Errorf("with all its digits 1.5e-9 is %s", got)
	}
}

func TestUnitsOfEachSystem(t *testing.T) {
	// Factors from NIST Special Publication 811, appendix B.8: US gallon
	// 3.785412 L, imperial gallon 4.546090 L, foot 0.3048 m.
	tests := []struct {
		q    Quantity
		want []string
	}{
		{Flow.Of(2.4), []string{"2400 L/h", "634 US gal/h", "528 imp gal/h"}},
		{Head.Of(1.5), []string{"1.50 m", "4.92 ft", "4.92 ft"}},
		{OfKind(units.KindVolume, 9.2), []string{"9.2 m³", "2430 US gal", "2020 imp gal"}},
		{OfKind(units.KindBore, 1.5e-6), []string{"0.0015 mm", "0.0000591 in", "0.0000591 in"}},
		{OfKind(units.KindLength, 0.9144), []string{"0.9144 m", "3 ft", "3 ft"}},
		{Bore.Of(25.4), []string{"25.4 mm", "1.00 in", "1.00 in"}},
		{Temperature.Of(20), []string{"20.0 °C", "68.0 °F", "20.0 °C"}},
		{Temperature.Of(-0.0427), []string{"0.0 °C", "31.9 °F", "0.0 °C"}},
		{Temperature.Of(-0.587), []string{"-0.6 °C", "30.9 °F", "-0.6 °C"}},
		{Fraction.Of(0.825), []string{"82.5 %", "82.5 %", "82.5 %"}},
		{Money("R").Of(1390.4), []string{"R 1390", "R 1390", "R 1390"}},
	}
	for _, tt := range tests {
		got := []string{Softened(tt.q.in(units.Metric, Clean)), Softened(tt.q.in(units.US, Clean)), Softened(tt.q.in(units.Imperial, Clean))}
		if !slices.Equal(got, tt.want) {
			t.Errorf("got %q, want %q", got, tt.want)
		}
	}
}

// TestFiguresOfEveryKind: a sentence takes a bare number in the unit of the key, a
// quantity and a known figure of it; of another kind, or unknown, it takes none.
func TestFiguresOfEveryKind(t *testing.T) {
	for _, v := range []any{1.5, 90 * units.Minute, figure.Known(90 * units.Minute), figure.Known(1.5)} {
		if got := Hours.Of(v).Value; got != 1.5 {
			t.Errorf("%v: %g h, want 1.5", v, got)
		}
	}
	if got := None.Exact(3).Value; got != 3 {
		t.Errorf("3 of something: %g", got)
	}
	if got := Temperature.Rough(units.Celsius(4)).Value; math.Abs(got-4) > 1e-9 {
		t.Errorf("4 degrees: %g", got)
	}
	for _, v := range []any{3 * units.Watt, figure.Unknown[units.Duration]("no clock"), "1.5"} {
		if got := Hours.Of(v).Value; !math.IsNaN(got) {
			t.Errorf("%v: %g h", v, got)
		}
	}
}
