package pumps

import (
	"math"
	"testing"

	"sunrill/data/reftest"
	"sunrill/data/units"
)

// TestChangesOfBoreReference: Borda-Carnot and Crane TP-410's sudden contraction, from
// the published table.
func TestChangesOfBoreReference(t *testing.T) {
	held := 0
	for _, r := range reftest.Load(t, "fittings_k.csv") {
		from, to := units.Length(0), units.Length(0)
		if r.Has("d1_mm") && r.Has("d2_mm") {
			from, to = units.Length(r.Float("d1_mm")), units.Length(r.Float("d2_mm"))
		}
		var got float64
		switch r.Text("item") + " " + r.Text("source") {
		case "sudden_expansion Borda-Carnot":
			got = BoreChange([]Feed{{Bore: from}, {Bore: to}}, 0)
		case "sudden_contraction Crane TP-410":
			got = BoreChange([]Feed{{Bore: from}, {Bore: to}}, 1)
		default:
			continue
		}
		if held++; math.Abs(got-r.Float("k")) > 1e-8 {
			t.Errorf("%s: K %g, want %g", r.At, got, r.Float("k"))
		}
	}
	if held < 6 {
		t.Errorf("%d rows", held)
	}
	// Both ends of a narrow run, neither of a wide one, and no step where there is none.
	three := []Feed{{Bore: 0.04}, {Bore: 0.02}, {Bore: 0.04}}
	if got := BoreChange(three, 1); math.Abs(got-(0.375+0.5625)) > 1e-12 || BoreChange(three, 0) != 0 || BoreChange([]Feed{{Bore: 0.02}, {Bore: 0.0201}}, 0) != 0 {
		t.Errorf("a narrow run between wide ones: %g", got)
	}
}

// TestPartsAndCheckValves: a part takes its head at its flow and a quarter of it at half;
// a check valve asks for its cracking head before anything flows.
func TestPartsAndCheckValves(t *testing.T) {
	q := 3000 * units.LitrePerHour
	spec := SystemSpec{StaticHead: 0.8, Temperature: units.Celsius(15), Feeds: []Feed{{Bore: 0.025, Length: 5}}}
	plain := NewSystem(spec)
	spec.Feeds = []Feed{{Bore: 0.025, Length: 5, Parts: PartLoss(0.4, q), Cracking: 0.3}}
	s := NewSystem(spec)
	for of, want := range map[units.Flow]float64{q: 0.7, q / 2: 0.4} {
		if got := float64(s.HeadAt(of) - plain.HeadAt(of)); math.Abs(got-want) > 1e-12 {
			t.Errorf("at %v: %g m more, want %g", of, got, want)
		}
	}
	if s.Lift() != 1.1 || s.Restart() != 1.1 {
		t.Errorf("lift %v, restart %v", s.Lift(), s.Restart())
	}
	h := s.FeedHeads(q)[0]
	if parts := h.Fittings; math.Abs(float64(parts)-0.4) > 1e-9 {
		t.Errorf("the part takes %v", parts)
	}
}
