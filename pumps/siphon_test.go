package pumps

import (
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
		s := mustSystem(t, SystemSpec{StaticHead: 0.5, Crest: c.crest, Feeds: []Feed{{Bore: 32 * mm, Length: 8, Loss: Loss{K: 3}}}, Temperature: units.Celsius(15)})
		r := p.Run(1, s)
		doubts := p.Doubts(r, 1, s)
		if got := hasWarning(doubts, "may not start on an empty line"); got != c.doubt || r.NoStart != c.noStart {
			t.Errorf("crest %v: in doubt %v, no start %v: %v", c.crest, got, r.NoStart, doubts)
		}
	}
}
