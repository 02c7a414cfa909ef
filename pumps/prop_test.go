package pumps

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"sunrill/data/units"
)

// drawFeed draws a run of pipe as ponds have it.
func drawFeed(t *rapid.T) Feed {
	bore := rapid.Float64Range(8, 110).Draw(t, "bore mm")
	f := Feed{
		Bore:      units.Length(bore) * mm,
		Length:    units.Length(rapid.Float64Range(0, 60).Draw(t, "length m")),
		Roughness: units.Length(rapid.Float64Range(0, bore/30).Draw(t, "roughness mm")) * mm,
		Loss: Loss{
			K:    rapid.Float64Range(0, 40).Draw(t, "K"),
			K1:   rapid.Float64Range(0, 3000).Draw(t, "K1"),
			KInf: rapid.Float64Range(0, 5).Draw(t, "Kinf"),
		},
	}
	if rapid.Bool().Draw(t, "ribbed") {
		f.Pitch = units.Length(rapid.Float64Range(0.05, 0.5).Draw(t, "pitch")) * f.Bore
	}
	return f
}

func drawSystem(t *rapid.T) *System {
	feeds := rapid.SliceOfN(rapid.Custom(drawFeed), 1, 3).Draw(t, "feeds")
	s := NewSystem(SystemSpec{
		StaticHead:  units.Length(rapid.Float64Range(0, 4).Draw(t, "lift m")),
		Feeds:       feeds,
		Exit:        rapid.Bool().Draw(t, "exit"),
		Temperature: units.Celsius(rapid.Float64Range(0, 35).Draw(t, "water C")),
	})
	return s
}

// drawCurve draws a curve that falls, or that rises before it falls.
func drawCurve(t *rapid.T) Curve {
	n := rapid.IntRange(2, 9).Draw(t, "points")
	q, h := 0.0, rapid.Float64Range(0.5, 6).Draw(t, "shut-off m")
	if !rapid.Bool().Draw(t, "from zero") {
		q = rapid.Float64Range(10, 500).Draw(t, "first L/h")
	}
	points := []Point{{Flow: units.Flow(q) * units.LitrePerHour, Head: units.Length(h), Power: 20}}
	for i := 1; i < n; i++ {
		q += rapid.Float64Range(50, 1500).Draw(t, "step L/h")
		if i == 1 && n > 2 && rapid.Bool().Draw(t, "droops") {
			h *= 1.1
		} else {
			h *= rapid.Float64Range(0, 0.999).Draw(t, "fall")
		}
		points = append(points, Point{Flow: units.Flow(q) * units.LitrePerHour, Head: units.Length(h), Power: 20 + units.Power(i)})
	}
	c, err := NewCurve(points)
	if err != nil {
		t.Skip(err.Error()) // ends in equal heads of zero
	}
	return c
}

func TestMoreFlowMoreLoss(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSystem(t)
		q := rapid.Float64Range(0, 5e-3).Draw(t, "flow")
		more := q + rapid.Float64Range(1e-6, 5e-3).Draw(t, "more")
		if s.needs(more) < s.needs(q) {
			t.Fatalf("%g m3/s needs %g m, %g m3/s %g m", q, s.needs(q), more, s.needs(more))
		}
	})
}

func TestDutyLiesOnBothCurves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := drawCurve(t), drawSystem(t)
		o := Operate(c, s)
		for _, d := range o.Crossings {
			h, err := c.Head(d.Flow)
			if err != nil {
				t.Fatal(err)
			}
			if got := float64(s.HeadAt(d.Flow)); math.Abs(got-float64(h)) > 1e-6*max(1, got) {
				t.Fatalf("at %v the pump gives %g m, the system asks for %g m", d.Flow, float64(h), got)
			}
		}
		// What Solve says without words is what Operate says with them.
		d, status := Solve(c, s)
		if status != o.Status || d != o.Duty {
			t.Fatalf("Solve %v %v, Operate %v %v", d, status, o.Duty, o.Status)
		}
		if (o.Status == Meets) != (o.Why == "") {
			t.Fatalf("status %v with reason %q", o.Status, o.Why)
		}
	})
}

// The crossings found are all there are: a fine scan of the sign of the
// surplus finds no more.
func TestNoCrossingIsMissed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := drawCurve(t), drawSystem(t)
		o := Operate(c, s)
		const steps = 4000
		first, last := float64(c.First()), float64(c.Last())
		changes, before := 0, 0.0
		for i := 0; i <= steps; i++ {
			q := first + (last-first)*float64(i)/steps
			g := c.headAt(q) - s.needs(q)
			if g*before < 0 {
				changes++
			}
			if g != 0 {
				before = g
			}
		}
		if len(o.Crossings) < changes {
			t.Fatalf("found %d crossings, a scan %d", len(o.Crossings), changes)
		}
		for i := 1; i < len(o.Crossings); i++ {
			if o.Crossings[i].Flow < o.Crossings[i-1].Flow || o.Crossings[i].Stable == o.Crossings[i-1].Stable {
				t.Fatalf("crossings out of order: %+v", o.Crossings)
			}
		}
	})
}

func TestNarrowerBoreOrLowerSpeedNeverGivesMoreFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := drawCurve(t), drawSystem(t)
		flow := func(c Curve, s *System) float64 {
			o := Operate(c, s)
			return further(o)
		}
		whole := flow(c, s)
		spec := s.Spec()
		spec.Feeds = append([]Feed(nil), spec.Feeds...)
		i := rapid.IntRange(0, len(spec.Feeds)-1).Draw(t, "feed")
		f := spec.Feeds[i]
		shrink := units.Length(rapid.Float64Range(0.5, 0.99).Draw(t, "narrower"))
		spec.Feeds[i].Bore *= shrink
		spec.Feeds[i].Roughness *= shrink // the same surface scaled, within the allowed range
		spec.Feeds[i].Pitch *= shrink
		narrow := NewSystem(spec)
		if got := flow(c, narrow); got > whole*(1+1e-9) {
			t.Fatalf("bore %v of %v: %g against %g", spec.Feeds[i].Bore, f.Bore, got, whole)
		}
		// The flow to count on: slowed, a pump may run off the end of its curve
		// where at full speed it just did not, and then that end is lower. A curve
		// without its start can hide the flow at full speed and show it at a lower
		// one, so it has to begin at zero.
		if _, ok := c.ShutOff(); ok {
			slow := c.AtSpeed(rapid.Float64Range(0.1, 0.999).Draw(t, "slower"))
			a, b := Operate(c, s).LeastFlow(), Operate(slow, s).LeastFlow()
			if b > a*(1+1e-9) {
				t.Fatalf("slower: %v against %v", b, a)
			}
		}
	})
}

func TestMoreDirtNeverGivesMoreFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := drawCurve(t), drawSystem(t)
		a := Dirt{Resistance: rapid.Float64Range(0, 1e7).Draw(t, "dirt")}
		b := Dirt{Resistance: a.Resistance + rapid.Float64Range(1, 1e7).Draw(t, "more dirt")}
		if fa, fb := further(Operate(c, s.WithDirt(a))), further(Operate(c, s.WithDirt(b))); fb > fa*(1+1e-9) {
			t.Fatalf("more dirt gives %g against %g", fb, fa)
		}
		share := rapid.Float64Range(0, 0.6).Draw(t, "share")
		clean, status := Solve(c, s)
		if status != Meets {
			return
		}
		d, warnings, fits := FitDirt(c, s, share)
		if !fits {
			return // the dirty flow lies below the curve's first point
		}
		dirty, _ := Solve(c, s.WithDirt(d))
		if len(warnings) == 0 && !near(float64(dirty.Flow), (1-share)*float64(clean.Flow), 1e-6) {
			t.Fatalf("dirt loses %g of the flow, want %g", 1-float64(dirty.Flow/clean.Flow), share)
		}
	})
}
