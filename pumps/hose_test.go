package pumps

import (
	"testing"

	"sunrill/data/units"
)

func TestNextHoseUp(t *testing.T) {
	s, c, _ := referenceSystem(t, "typical") // 25 mm hose
	d, _, err := FitDirt(c, s, 0.25)
	if err != nil {
		t.Fatal(err)
	}
	sizes := []PipeSize{
		{Name: "40 mm hose", Bore: 40 * mm}, {Name: "19 mm hose", Bore: 19 * mm}, {Name: "25 mm hose", Bore: 25 * mm},
		{Name: "32 mm hose", Bore: 32 * mm}, {Name: "50 mm hose", Bore: 50 * mm},
	}
	feed := s.Feeds()[0]
	n, err := NewNetwork(NetworkSpec{Trunk: s.Feeds(), Temperature: units.Celsius(15), Branches: []BranchSpec{
		{StaticHead: 1.2, Feeds: []Feed{feed}}, {StaticHead: 1.3, Feeds: []Feed{{Bore: 38 * mm, Length: 3}}}}})
	if err != nil {
		t.Fatal(err)
	}
	flow := func(c Circuit) units.Flow {
		duty, status := Solve(referenceCurve(t, "small"), c)
		if status != Meets {
			t.Fatal(status)
		}
		return duty.Flow
	}
	// The clean line, one with a valve shut a little, a dirty one, a branched one:
	// each keeps what it has on the new hose and gains from each step.
	for i, line := range []Circuit{s, s.WithK(30), s.WithDirt(d), n, n.WithDirt(d)} {
		next, err := Widen(line, sizes)
		if err != nil || len(next) != 2 || next[0].Hose.Name != "32 mm hose" || next[1].Hose.Name != "40 mm hose" {
			t.Fatalf("line %d: %+v, %v", i, next, err)
		}
		if a, b, c := flow(line), flow(next[0].Line), flow(next[1].Line); a >= b || b >= c {
			t.Errorf("line %d: %v, %v, %v", i, a, b, c)
		}
		for _, f := range next[1].Line.Feeds() {
			if f.Bore < 40*mm {
				t.Errorf("line %d keeps a bore of %v", i, f.Bore)
			}
		}
	}
	plain, _ := Widen(s, sizes)
	for _, worse := range []Circuit{s.WithK(30), s.WithDirt(d)} {
		if next, _ := Widen(worse, sizes); flow(next[0].Line) >= flow(plain[0].Line) {
			t.Error("valve or dirt is lost with the new hose")
		}
	}
}

// TestTightest: of 10 m of 25 mm hose and a piece of 19 mm that is 5 cm long, the
// hose takes more; friction goes with length and about the inverse fifth power of
// the bore, 10/0.05 x (19/25)^5 = 51 times as much. Where nothing flows it is the
// narrowest.
func TestTightest(t *testing.T) {
	s, err := NewSystem(SystemSpec{Temperature: units.Celsius(15), Feeds: []Feed{{Bore: 0.019, Length: 0.05}, {Bore: 0.025, Length: 10}}})
	if err != nil {
		t.Fatal(err)
	}
	if i := Tightest(s, 2*units.CubicMetrePerHour); i != 1 {
		t.Errorf("feed %d takes most", i+1)
	}
	if i := Tightest(s, 0); i != 0 {
		t.Errorf("feed %d is the narrowest", i+1)
	}
}

// Ribs give way in trunk and branches alike, and where there are none nothing does.
func TestSmoothedNetwork(t *testing.T) {
	ribbed := Feed{Bore: 32 * mm, Length: 4, Pitch: 6 * mm, Loss: Loss{K: 2}}
	plain := ribbed
	plain.Pitch, plain.Roughness = 0, 0.0015*mm
	network := func(f Feed) *Network {
		n, err := NewNetwork(NetworkSpec{Trunk: []Feed{f}, Temperature: units.Celsius(15),
			Branches: []BranchSpec{{StaticHead: 0.5, Feeds: []Feed{f}}, {StaticHead: 0.8, Feeds: []Feed{f}}}})
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	smooth, is, err := Smoothed(network(ribbed), 0.0015*mm)
	if err != nil || !is {
		t.Fatal(is, err)
	}
	wantNear(t, "2 m³/h", "head", float64(smooth.HeadAt(2*m3h)), float64(network(plain).HeadAt(2*m3h)), 1e-12)
	if network(ribbed).HeadAt(2*m3h) <= smooth.HeadAt(2*m3h) {
		t.Error("ribs cost nothing")
	}
	if _, is, _ := Smoothed(network(plain), 0.0015*mm); is {
		t.Error("a smooth line is smoothed")
	}
}
