package works

import (
	"strings"
	"testing"

	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/pumps"
)

// TestSiphonHolds: what the air holds up, (P - psat)/(rho g), with density and
// vapour pressure of testdata/ref/water_properties.csv (IAPWS-IF97), at 101.325
// kPa and at 84.556 kPa, the standard atmosphere at 1500 m (ISO 2533, from memory).
// The two formulas of vapour pressure differ by less than a millimetre of water.
func TestSiphonHolds(t *testing.T) {
	for _, r := range reftest.Load(t, "water_properties.csv") {
		c := r.Float("t_c")
		if c > 40 {
			continue
		}
		temp := units.Celsius(c)
		w, err := pumps.WaterAt(temp)
		if err != nil {
			t.Fatal(err)
		}
		for _, at := range []struct{ z, kpa float64 }{{0, 101.325}, {1500, 84.556}} {
			air, err := pumps.AirPressure(units.Length(at.z))
			if err != nil {
				t.Fatal(err)
			}
			want := (at.kpa - r.Float("p_sat_kpa_if97")) * 1000 / (w.Density * 9.80665)
			reftest.Near(t, "column [m]", float64(SiphonHolds(air, temp, w)), want, 0.003)
		}
	}
}

// TestSiphonInAPlan: a crest within what siphons are usually held to is listed
// as assumed, one above it is doubted, sooner on a mountain, and one that no air
// holds up is reckoned as open: then the line lifts to it.
func TestSiphonInAPlan(t *testing.T) {
	for _, c := range []struct {
		crest, altitude   string
		said              string
		assumed, openLift bool
	}{
		{"7.5 m", "", "", true, false},
		{"7.5 m", "1500 m", "may break", true, false},
		{"9 m", "", "may break", true, false},
		{"11.5 m", "", "no siphon forms", false, true},
		{"9.5 m", "1500 m", "no siphon forms", false, true},
		{"0.8 m", "", "", false, false},
	} {
		sets := []plan.Setting{plantest.Set("lift.crest", c.crest)}
		if c.altitude != "" {
			sets = append(sets, plantest.Set("site.altitude", c.altitude))
		}
		w := works(t, plantest.WaterPlan, sets...)
		listed, said := false, ""
		for _, a := range w.Assumed {
			listed = listed || a.Key == "lift.crest"
		}
		for _, warning := range w.Warnings {
			said += warning.Message
		}
		if listed != c.assumed || (w.Line.Lift() > 5) != c.openLift || c.said == "" && said != "" || !strings.Contains(said, c.said) {
			t.Errorf("crest %s at %q: assumed %v, lift %v, %q", c.crest, c.altitude, listed, w.Line.Lift(), said)
		}
	}
}

// TestGoalOnASiphon: while air stays in the siphon the dirty line runs as one that
// ends at the crest, with the same dirt; a goal that lies between what it then
// carries and what the full siphon does rests on the siphon, and no other goal.
func TestGoalOnASiphon(t *testing.T) {
	sets := []plan.Setting{plantest.Set("lift.static_head", "0.3 m"), plantest.Set("lift.crest", "2.2 m"), plantest.Set("upkeep.flow_loss_when_dirty", "10 %")}
	w := waterOf(t, plantest.WaterPlan, append(sets, plantest.Set("pond.turnover_goal", "4 h"))...)
	u := w.Pumps[0].Unfilled
	if !u.Known {
		t.Fatalf("a goal of 1000 L/h: %s; dirty %v", u.Why, w.Pumps[0].Dirty.Flow)
	}
	spec := w.Works.Line.(*pumps.System).Spec()
	spec.StaticHead, spec.Crest = 2.2, 0
	ends, err := pumps.NewSystem(spec)
	if err != nil {
		t.Fatal(err)
	}
	d, status := w.Pumps[0].Pump.Duty(1, pumps.Soil(ends, w.Works.Dirt))
	if status != pumps.Meets || d.Flow <= 0 {
		t.Fatalf("a line that ends at the crest: %v", status)
	}
	reftest.Near(t, "flow while air stays [L/h]", u.Value.Flow.In(units.LitrePerHour), d.Flow.In(units.LitrePerHour), 1e-6)
	for _, goal := range []string{"30 h", "1 h"} { // both meet it, neither does
		if u := waterOf(t, plantest.WaterPlan, append(sets, plantest.Set("pond.turnover_goal", goal))...).Pumps[0].Unfilled; u.Known {
			t.Errorf("goal %s rests on the siphon: %+v", goal, u.Value.Flow)
		}
	}
}
