package pumps

import (
	"math"
	"testing"

	"sunrill/data/reftest"
	"sunrill/data/units"
)

// TestWeirAgainstRehbock: the published table is Rehbock's (1929), whose coefficient
// grows with the head over the sill: (0.602 + 0.0832 h/p)(1 + 1.25 mm/h)^1.5 in place of
// Cd, which this test takes from it for each row, so that the form and its power are held.
func TestWeirAgainstRehbock(t *testing.T) {
	rows := 0
	for _, r := range reftest.Load(t, "weir_sharp_crested.csv") {
		if r.Text("type") != "rectangular_full_width_rehbock" {
			continue
		}
		rows++
		h, p := r.Float("head_mm")/1000, r.Float("crest_height_mm")/1000
		cd := (0.602 + 0.0832*h/p) * math.Pow(1+0.00125/h, 1.5)
		got := Weir(cd, units.Length(r.Float("width_mm")/1000), units.Length(h)).In(units.CubicMetrePerHour)
		if want := r.Float("q_m3h"); math.Abs(got/want-1) > 3e-3 {
			t.Errorf("%s: %g m3/h, want %g", r.At, got, want)
		}
		// Our lip, which has no rise with the head, gives less: a level on the safe side.
		if lip := Weir(lipCd, units.Length(r.Float("width_mm")/1000), units.Length(h)).In(units.CubicMetrePerHour); lip > r.Float("q_m3h") || lip < 0.7*r.Float("q_m3h") {
			t.Errorf("%s: the lip gives %g m3/h of %g", r.At, lip, r.Float("q_m3h"))
		}
	}
	if rows < 12 {
		t.Errorf("%d rows", rows)
	}
}

func TestLipLevel(t *testing.T) {
	r := Return{LipWidth: 0.3, Freeboard: 0.03, Manning: 0.01}
	for _, q := range []units.Flow{0, 0.0005, 0.001, 0.003} {
		l := r.Level(q)
		if back := Weir(lipCd, r.LipWidth, l.Level); math.Abs(float64(back-q)) > 1e-12 {
			t.Errorf("%v: the level passes %v", q, back)
		}
		if l.Spills != (l.Level > r.Freeboard) {
			t.Errorf("%v: spills %t at %v", q, l.Spills, l.Level)
		}
		if l.Spills && r.Remedy(l) != "a wider lip is needed" {
			t.Error(r.Remedy(l))
		}
	}
	// A screen that holds the water up asks for more screen, whatever runs behind it.
	r.ScreenArea, r.Blocked = 0.001, 0.5
	if l := r.Level(0.0005); !l.Spills || r.Remedy(l) != "more screen comes first: it alone holds the water up too far" {
		t.Error(r.Remedy(l))
	}
}
