package plan

import (
	"testing"

	"sunrill/data"
	"sunrill/data/units"
)

// TestDemo holds the example to its story: a 9.2 m³ pond, a gravel tank 1.05 m
// up and 14 m away, three pumps of which the mains one runs today.
func TestDemo(t *testing.T) {
	l, err := LoadPlan(PlanFile, LoadOptions{ReadOptions: ReadOptions{Need: NeedPond | NeedSite}, Open: FromFS(data.Demo())})
	if err != nil {
		t.Fatal(err)
	}
	if len(l.Warnings) > 0 {
		t.Errorf("warnings: %v", l.Warnings)
	}
	p := l.Plan
	if *p.Pond.Volume != 9.2 || *p.Lift.StaticHead != 1.05 {
		t.Errorf("volume %v, static head %v", p.Pond.Volume, p.Lift.StaticHead)
	}
	var run units.Length
	for _, f := range p.Feeds {
		run += *f.Length
	}
	if run < 13.999 || run > 14.001 {
		t.Errorf("the line is %v long", run)
	}
	if len(p.Pumps) != 3 || len(l.Curves) != 3 || !p.Pumps[2].Present {
		t.Fatalf("%d pumps, %d curves", len(p.Pumps), len(l.Curves))
	}
	for i, c := range l.Curves {
		if c.Pump != p.Pumps[i].Name || len(c.Rows) < 8 || !c.HasPower {
			t.Errorf("%s: %d rows of %s, power %t", p.Pumps[i].Name, len(c.Rows), c.Pump, c.HasPower)
		}
		// Wire to water, small submersibles: 10 to 25 % at best (common
		// practice, no source).
		best := 0.0
		for _, r := range c.Rows {
			best = max(best, 1000*units.StandardGravity*float64(r.Flow)*float64(r.Head)/float64(r.Power))
		}
		if best < 0.10 || best > 0.25 {
			t.Errorf("%s: %.0f %% at best", c.Pump, 100*best)
		}
	}
}
