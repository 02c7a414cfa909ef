package energy

import (
	"math"
	"testing"

	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/reftest"
)

// TestSlowedRange: with a tenth of full power that does not fall, a pump at speed
// s draws 0.1 + 0.9 s³ of full power against s³, by hand: 1.037 times at 90 %,
// 1.363 times at 60 %. The affinity laws with a constant loss; the tenth is common
// practice, no source.
func TestSlowedRange(t *testing.T) {
	years := plan.Setting{Key: "reliability.years", Text: "1"}
	r, err := everything(demoInputs(t, years))
	if err != nil {
		t.Fatal(err)
	}
	ratio := map[float64]float64{0.9: 0.7561 / 0.729, 0.8: 0.5608 / 0.512, 0.7: 0.4087 / 0.343, 0.6: 0.2944 / 0.216}
	seen, least, name, marked := 0, math.Inf(1), "", ""
	for _, s := range r.Tradeoff {
		if want, is := ratio[s.Speed]; is && s.Kind == Slower {
			seen++
			v := s.Slowed.Value
			reftest.Near(t, s.Name+": power", float64(v.Power/s.Power.Value), want, 1e-9)
			reftest.Near(t, s.Name+": energy", float64(v.Energy/s.Energy.Value), want, 1e-9)
			reftest.Near(t, s.Name+": per volume", v.WhPerM3.Value/s.WhPerM3.Value, want, 1e-9)
		}
		if s.Kind == FullSpeed && s.Slowed.Known {
			t.Error("at full speed there is nothing to guess")
		}
		if s.Kind == NightSetback && (!s.Slowed.Known || s.Slowed.Value.Energy <= s.Energy.Value) {
			t.Errorf("%s: %+v", s.Name, s.Slowed)
		}
		if wh := s.WhPerM3.Value; (s.Kind == FullSpeed || s.Kind == Slower) && s.WhPerM3.Known {
			if s.Slowed.Known {
				wh = s.Slowed.Value.WhPerM3.Value
			}
			if wh < least {
				least, name = wh, s.Name
			}
		}
		if s.LeastSlowed {
			marked += s.Name
		}
	}
	if seen < 3 || marked != name {
		t.Errorf("%d rows held, %q marked, %q is least", seen, marked, name)
	}
	if !assumes(r.Assumed, "pump.fixed_watts") {
		t.Error("the pure cube is not listed as assumed")
	}

	given, err := everything(demoInputs(t, years, plan.Setting{Key: "pump.2.fixed_watts", Text: "3 W"}))
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range given.Tradeoff {
		if s.Slowed.Known || s.LeastSlowed {
			t.Errorf("%s has a range although fixed_watts is given", s.Name)
		}
	}
	if assumes(given.Assumed, "pump.fixed_watts") {
		t.Error("given fixed watts are listed as assumed")
	}
}

func assumes(list []figure.Assumed, key string) bool {
	for _, a := range list {
		if a.Key == key {
			return true
		}
	}
	return false
}
