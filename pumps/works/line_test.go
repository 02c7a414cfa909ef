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
		w := pumps.WaterAt(temp)
		for _, at := range []struct{ z, kpa float64 }{{0, 101.325}, {1500, 84.556}} {
			air := pumps.AirPressure(units.Length(at.z))
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
			said += warning.Message.String()
		}
		if listed != c.assumed || (w.Line.Lift() > 5) != c.openLift || c.said == "" && said != "" || !strings.Contains(said, c.said) {
			t.Errorf("crest %s at %q: assumed %v, lift %v, %q", c.crest, c.altitude, listed, w.Line.Lift(), said)
		}
	}
}

// The exit loss counts once, whether the keeper names it or not.
func TestNamedExitCountsOnce(t *testing.T) {
	for _, tt := range []struct {
		list []plan.Fitting
		want bool
	}{
		{nil, false},
		{[]plan.Fitting{{Name: "elbow", Count: 4}}, false},
		{[]plan.Fitting{{Name: "elbow", Count: 4}, {Name: "Exit", Count: 1}}, true},
		{[]plan.Fitting{{Name: "outlet", Count: 1}}, true},
	} {
		if got := namesExit(tt.list); got != tt.want {
			t.Errorf("namesExit(%v) = %v", tt.list, got)
		}
	}
}

// TestWallsSuitTheirBore: a wall rougher than a tenth of the bore and ribs further apart
// than it are refused where the plan gives them, and so is water that is too warm.
func TestWallsSuitTheirBore(t *testing.T) {
	air := [12]units.Temperature{}
	for m := range air {
		air[m] = units.Celsius(46)
	}
	for _, c := range []struct {
		key, value string
		place      Surroundings
		fault      string
	}{
		{"feed.1.roughness", "5 mm", Surroundings{}, "--set feed.1.roughness"},
		{"feed.1.rib_pitch", "60 mm", Surroundings{}, "--set feed.1.rib_pitch"},
		{"run.speed", "1", Surroundings{Air: &air}, "water.temperature"},
	} {
		if _, err := tryWater(t, plantest.WaterPlan, c.place, plantest.Set(c.key, c.value)); plantest.FaultKeys(err) != c.fault {
			t.Errorf("%s: %v", c.key, err)
		}
	}
}
