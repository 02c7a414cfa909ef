package pumps

import (
	"errors"
	"math"
	"testing"

	"sunrill/data"
	"sunrill/data/units"
)

func TestFitDirtLosesItsShareOnTheReferenceAndMeetsEveryPump(t *testing.T) {
	s, c, _ := referenceSystem(t, "typical")
	clean, _ := Solve(c, s)
	d, warnings, err := FitDirt(c, s, 0.25)
	if err != nil || len(warnings) != 0 {
		t.Fatal(err, warnings)
	}
	dirty, _ := Solve(c, s.WithDirt(d))
	wantNear(t, "dirt", "dirty flow", float64(dirty.Flow), 0.75*float64(clean.Flow), 1e-9)
	// A stronger pump on the same line loses another share to the same dirt.
	big := referenceCurve(t, "droop")
	a, _ := Solve(big, s)
	b, _ := Solve(big, s.WithDirt(d))
	if loss := 1 - float64(b.Flow/a.Flow); loss <= 0 || near(loss, 0.25, 1e-3) {
		t.Errorf("the other pump loses %g", loss)
	}
	// A measured dirty flow gives the same dirt back.
	back, err := DirtAt(c, s, dirty.Flow)
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "dirt", "resistance", back.Resistance, d.Resistance, 1e-9)
	if none, err := DirtAt(c, s, clean.Flow*1.05); err != nil || none.Resistance != 0 {
		t.Errorf("more than the clean flow is %v, %v", none, err)
	}
	if _, err := DirtAt(c, s, c.Last()*2); !errors.Is(err, ErrOutsideCurve) {
		t.Errorf("a flow beyond the curve: %v", err)
	}
	for _, share := range []float64{-0.1, 0.95, math.NaN()} {
		var fault *data.Error
		if _, _, err := FitDirt(c, s, share); !errors.As(err, &fault) {
			t.Errorf("share %g: %v", share, err)
		}
	}
	high, _, _ := referenceSystem(t, "static_above_shutoff")
	if _, _, err := FitDirt(c, high, 0.25); !errors.Is(err, ErrNoOperatingPoint) {
		t.Errorf("dirt on a pump that does not lift: %v", err)
	}
	wide, _, _ := referenceSystem(t, "beyond_curve_end")
	if _, warnings, err := FitDirt(c, wide, 0.25); err != nil || !hasWarning(warnings, "runs off the end of its curve") {
		t.Errorf("dirt on a pump off its curve: %v, %v", warnings, err)
	}
}

func TestJudgeAgainstTheGoal(t *testing.T) {
	s, c, _ := referenceSystem(t, "typical")
	d, _ := Solve(c, s)
	pump := mustPump(t, PumpSpec{Name: "small", Points: referencePoints(t, "small")})
	run := mustRun(t, pump, 1, s)
	pond := mustPond(t, PondSpec{Shape: Measured, Volume: 8, Error: 0.15})
	hours := 8 / d.Flow.In(m3h) // 5.03 h
	for _, x := range []struct {
		goal      float64 // h
		met, sure bool
	}{{10, true, true}, {hours * 1.01, true, false}, {hours * 0.99, false, false}, {2, false, true}} {
		v := Judge(run, pond, units.Duration(x.goal)*units.Hour)
		if v.Met != x.met || v.Sure != x.sure {
			t.Errorf("goal %g h: %+v", x.goal, v)
		}
		wantNear(t, "judge", "turnover", v.Turnover.In(units.Hour), hours, 1e-9)
		wantNear(t, "judge", "missed by", v.Missed.In(units.Hour), max(0, hours-x.goal), 1e-9)
		if v.Fastest >= v.Turnover || v.Slowest <= v.Turnover {
			t.Errorf("span %+v", v)
		}
	}
	wide, _, _ := referenceSystem(t, "beyond_curve_end")
	if v := Judge(mustRun(t, pump, 1, wide), pond, 4*units.Hour); !v.Met || !v.AtLeast {
		t.Errorf("2000 L/h at least turns 8 m3 over in 4 h: %+v", v)
	}
	high, _, _ := referenceSystem(t, "static_above_shutoff")
	if v := Judge(mustRun(t, pump, 1, high), pond, 4*units.Hour); v.Met || v.Turnover != 0 || !v.Sure {
		t.Errorf("a pump that does not lift: %+v", v)
	}
}

func TestSmallestPumpThatMeetsTheGoal(t *testing.T) {
	s, _, _ := referenceSystem(t, "typical")
	var runs []Run
	for _, name := range []string{"big", "small", "droop"} {
		runs = append(runs, mustRun(t, mustPump(t, PumpSpec{Points: referencePoints(t, name)}), 1, s))
	}
	pond := mustPond(t, PondSpec{Shape: Measured, Volume: 8})
	if i, ok := Smallest(runs, pond, 6*units.Hour); !ok || i != 1 {
		t.Errorf("6 h: %d %v", i, ok)
	}
	if i, ok := Smallest(runs, pond, 4*units.Hour); !ok || i != 2 { // needs 2000 L/h
		t.Errorf("4 h: %d %v", i, ok)
	}
	if _, ok := Smallest(runs, pond, 1*units.Hour); ok {
		t.Error("1 h: 8000 L/h is more than any gives")
	}
}

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

// A crest of the trunk that is not open asks nothing of a full line, and its
// height of a pump that starts.
func TestCrestOfATrunk(t *testing.T) {
	feed := []Feed{{Bore: 25 * mm, Length: 5}}
	spec := NetworkSpec{Trunk: feed, Temperature: units.Celsius(15), Branches: []BranchSpec{{StaticHead: 0.5, Feeds: feed}, {StaticHead: 0.6, Feeds: feed}}}
	low, err := NewNetwork(spec)
	if err != nil {
		t.Fatal(err)
	}
	spec.Crest = 50
	high, err := NewNetwork(spec)
	if err != nil {
		t.Fatal(err)
	}
	a, b := Operate(referenceCurve(t, "small"), low), Operate(referenceCurve(t, "small"), high)
	if a.Duty != b.Duty || a.NoStart || !b.NoStart {
		t.Errorf("%+v and %+v", a, b)
	}
	spec.Crest = -1
	if _, err := NewNetwork(spec); err == nil {
		t.Error("a crest below the pond is no fault")
	}
}

func TestShareNamesItsBasis(t *testing.T) {
	b := Bed{Area: 2, Depth: 0.5, Grain: 20 * mm, Voids: 0.4}
	got := b.Share(mustPond(t, PondSpec{Shape: Measured, Volume: 10, Surface: 8}))
	if got.OfVolume != 0.1 || got.OfArea != 0.25 {
		t.Errorf("%+v", got)
	}
}

func TestCautionsOfThePump(t *testing.T) {
	if _, c := RatingCaution("pump", true); c {
		t.Error("a pump rated for it is cautioned")
	}
	if w, c := RatingCaution("pump", false); !c || w.Message == "" {
		t.Error("a pump not rated for continuous running is not cautioned")
	}
	if !hasWarning(Scope(), "suction lift") || !hasWarning(Scope(), "external pumps") {
		t.Error("what is not covered is not named")
	}
}
