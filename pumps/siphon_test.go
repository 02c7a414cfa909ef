package pumps

import (
	"fmt"
	"math"
	"testing"

	"sunrill/data/units"
)

// flatPump has 1.60 m at no flow, an invented curve.
func flatPump(t *testing.T, spec PumpSpec) Pump {
	t.Helper()
	spec.Name = "flat"
	for _, p := range [][2]float64{{0, 1.6}, {1500, 1.55}, {3000, 1.45}, {4500, 1.2}, {6000, 0.7}, {7000, 0.15}} {
		spec.Points = append(spec.Points, Point{Flow: units.Flow(p[0]) * units.LitrePerHour, Head: units.Length(p[1])})
	}
	p, err := NewPump(spec)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// A pump that starts only if it is as good as its curve: 7 % under 1.60 m is
// 1.488 m (ISO 9906:2012 grade 3B, from memory), so a crest of 1.45 m is safe, one
// of 1.50 m in doubt and one of 1.65 m too high.
func TestSiphonStartByTolerance(t *testing.T) {
	p := flatPump(t, PumpSpec{Tolerance: gradeB})
	for _, c := range []struct {
		crest          units.Length
		doubt, noStart bool
	}{{1.45, false, false}, {1.487, false, false}, {1.489, true, false}, {1.58, true, false}, {1.65, false, true}} {
		r, err := p.Run(1, mustSystem(t, SystemSpec{StaticHead: 0.5, Crest: c.crest, Feeds: []Feed{{Bore: 32 * mm, Length: 8, Loss: Loss{K: 3}}}, Temperature: units.Celsius(15)}))
		if err != nil {
			t.Fatal(err)
		}
		if got := hasWarning(r.Warnings, "may not start on an empty line"); got != c.doubt || r.NoStart != c.noStart {
			t.Errorf("crest %v: in doubt %v, no start %v: %v", c.crest, got, r.NoStart, r.Warnings)
		}
	}
}

// What flows until the siphon is full is what a line of that static head takes,
// and the Froude number is v/sqrt(g D) of it, by hand: 0.5 m/s in 25 mm is
// 0.5/sqrt(9.80665 x 0.025) = 1.0098.
func TestSiphonUntilFull(t *testing.T) {
	f := Feed{Bore: 25 * mm}
	wantNear(t, "0.5 m/s in 25 mm", "Froude number", f.Froude(units.Flow(0.5*math.Pi/4*0.025*0.025)), 1.0098, 1e-4)

	p := flatPump(t, PumpSpec{Count: 2, OwnLines: true})
	spec := SystemSpec{StaticHead: 0.5, Crest: 1.45, Feeds: []Feed{{Bore: 32 * mm, Length: 8, Loss: Loss{K: 3}}}, Temperature: units.Celsius(15)}
	full, err := p.Run(1, mustSystem(t, spec))
	if err != nil {
		t.Fatal(err)
	}
	spec.StaticHead, spec.Crest = 1.45, 0
	high, err := p.Run(1, mustSystem(t, spec))
	if err != nil {
		t.Fatal(err)
	}
	v := float64(high.Duty.Velocity)
	want := fmt.Sprintf("about %.4g L/h, %.2g m/s in the last pipe, Froude number %.2g; below about 1", high.Duty.Flow.In(units.LitrePerHour), v, v/math.Sqrt(9.80665*0.032))
	if !hasWarning(full.Warnings, want) {
		t.Errorf("want %q in %v", want, full.Warnings)
	}
	spec.StaticHead = 0.5
	for _, c := range []struct {
		vented bool
		crest  units.Length
		said   bool
	}{{false, 0.9, true}, {true, 0.9, false}, {false, 0.4, false}} {
		spec.Vented, spec.Crest = c.vented, c.crest
		r, err := p.Run(1, mustSystem(t, spec))
		if err != nil {
			t.Fatal(err)
		}
		if got := hasWarning(r.Warnings, "usually carries the air out"); got != c.said {
			t.Errorf("vented %v, crest %v: %v", c.vented, c.crest, r.Warnings)
		}
	}
}
