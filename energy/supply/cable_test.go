package supply

import (
	"errors"
	"testing"

	"sunrill/data/figure"
	"sunrill/data/reftest"
	"sunrill/data/units"
)

// ASTM B258: 12 AWG is 2.053 mm across, 3.309 mm²; 2 is 33.6 mm², 4/0 107.2 mm².
// An area between two gauges takes the thicker; of those above 4 the odd are
// not sold.
func TestAWGIsTheNextThicker(t *testing.T) {
	for mm2, want := range map[float64]string{3.3: "12", 3.4: "10", 4: "10", 1.5: "14", 25: "3", 33.6: "2", 35: "1", 50: "1/0", 54: "2/0", 107: "4/0", 120: "", 0.5: "20"} {
		if got := AWG(units.Area(mm2) * units.SquareMillimetre); got != want {
			t.Errorf("%g mm2 is %q AWG, want %q", mm2, got, want)
		}
	}
}

// TestGaugeOf: a conductor has the gauge of its area, one that is not known keeps
// its reason, and beyond 4/0 there is none.
func TestGaugeOf(t *testing.T) {
	of := func(mm2 float64) figure.Maybe[Conductor] {
		return figure.Known(Conductor{Area: units.Area(mm2) * units.SquareMillimetre})
	}
	if got := GaugeOf(of(3.3)); got != figure.Known("12") {
		t.Errorf("3.3 mm2: %+v", got)
	}
	if got := GaugeOf(of(120)); got.Known || got.Why == "" {
		t.Errorf("120 mm2: %+v", got)
	}
	if got := GaugeOf(figure.Unknown[Conductor]("no run")); got != figure.Unknown[string]("no run") {
		t.Errorf("no conductor: %+v", got)
	}
	if v, known, _ := of(3.3).Value.Figure(); !known || v != 3.3*units.SquareMillimetre {
		t.Errorf("a conductor is bought by %v", v)
	}
}

// TestCarryingInTheHeat: what each may carry by IEC 60364-5-52, from memory: 23 A of
// 2.5 mm² are 0.87 of it in air of 40 °C, 0.83 in 42.5 °C by half of the step to 45 °C, all
// of it in the cold and half in 70 °C; 4 mm² are the first for 20.1 A at 40 °C.
func TestCarryingInTheHeat(t *testing.T) {
	c := Conductor{Ampacity: 23}
	for air, want := range map[float64]float64{-20: 23, 30: 23, 40: 23 * 0.87, 42.5: 23 * 0.83, 70: 11.5} {
		reftest.Near(t, "ampacity", float64(c.In(units.Celsius(air)).Ampacity), want, 1e-9)
	}
	rows, err := Carrying(20.1, units.Celsius(40))
	if err != nil {
		t.Fatal(err)
	}
	reftest.Near(t, "least", rows[0].Area.In(units.SquareMillimetre), 4, 1e-9)
	if _, err := Carrying(202, units.Celsius(20)); !errors.Is(err, ErrNoConductor) {
		t.Errorf("202 A: %v", err)
	}
}

// TestFixedWiringIsThickEnough: 0.75 and 1 mm² are left out, 1.5 mm²
// is in (IEC 60364-5-52, table 52.2, from memory).
func TestFixedWiringIsThickEnough(t *testing.T) {
	all, fixed := Conductors(), FixedWiring()
	if len(fixed) != len(all)-2 {
		t.Errorf("%d of %d rows", len(fixed), len(all))
	}
	for _, r := range fixed {
		if mm2 := r.Area.In(units.SquareMillimetre); mm2 < 1.49 {
			t.Errorf("%g mm2", mm2)
		}
	}
	if fixed[0].Area.In(units.SquareMillimetre) > 1.51 {
		t.Errorf("the first is %v", fixed[0].Area)
	}
}
