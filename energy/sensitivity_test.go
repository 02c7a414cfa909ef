package energy

import (
	"math"
	"slices"
	"strings"
	"testing"

	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/pumps"
)

// influencesOf returns what moves the answer of the demo with sets, by key.
func influencesOf(t *testing.T, sets ...plan.Setting) (*Outcome, map[string]Influence) {
	t.Helper()
	r, err := everything(demoInputs(t, append(sets, plantest.Set("reliability.years", "1"))...))
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]Influence{}
	for _, f := range r.Influences {
		all[f.Key] = f
	}
	return r, all
}

// dirtyFlow returns the flow of the demo's pump with sets, planned anew.
func dirtyFlow(t *testing.T, sets ...plan.Setting) float64 {
	t.Helper()
	r, _ := influencesOf(t, sets...)
	return float64(r.Water.Pumps[r.Base].Dirty.Flow)
}

// TestInfluencesArePlansAnew: an input moved to an end of its range gives what a
// plan with that value does. Dirt is moved by its square, which is true to the
// hundredth asked here, as it is fitted once and not solved anew.
func TestInfluencesArePlansAnew(t *testing.T) {
	pump := plantest.Set("choice.pump", "24 V 65 W")
	clean := []plan.Setting{pump, plantest.Set("upkeep.flow_loss_when_dirty", "0 %")}
	_, all := influencesOf(t, clean...)
	for k, lift := range []string{"1 m", "1.1 m"} { // the demo's 1.05 m ± 5 cm
		want := dirtyFlow(t, append(clean, plantest.Set("lift.static_head", lift))...)
		reftest.Near(t, "flow with a lift of "+lift, float64(all["lift.static_head"].Flow[k].Value)/want, 1, 1e-6)
	}
	_, all = influencesOf(t, pump)
	for k, loss := range []string{"12.5 %", "37.5 %"} { // half of 25 %, and half as much again
		want := dirtyFlow(t, pump, plantest.Set("upkeep.flow_loss_when_dirty", loss))
		reftest.Near(t, "flow with a loss of "+loss, float64(all["upkeep.flow_loss_when_dirty"].Flow[k].Value)/want, 1, 0.01)
	}
}

// TestInfluencesByHand: turnover goes with the volume, panel and battery with the
// watts, the panel against the sun; the weightiest stands first.
func TestInfluencesByHand(t *testing.T) {
	r, all := influencesOf(t, plantest.Set("pond.volume_error", "10 %"))
	if !r.Solar.Known || !r.Solar.Value.DayAndNight.Known {
		t.Fatal("the demo has no size")
	}
	now := r.Water.Pumps[r.Base].Dirty
	pair := r.Solar.Value.DayAndNight.Value.Front.Chosen.Pair
	for k, by := range []float64{0.9, 1.1} {
		reftest.Near(t, "turnover", float64(all["pond.volume_error"].Turnover[k].Value/now.Turnover.Value), by, 1e-12)
	}
	for k, by := range []float64{0.91, 1.09} { // ISO 9906:2012 grade 3B, from memory
		reftest.Near(t, "panel by watts", all["pump.metered_power"].PanelW[k].Value/pair.PanelW, by, 1e-12)
		reftest.Near(t, "battery by watts", all["pump.metered_power"].BatteryWh[k].Value/pair.BatteryWh, by, 1e-12)
	}
	e := r.Solar.Value.Sky.Climate.YearError
	reftest.Near(t, "panel by sun", all["site.climate"].PanelW[1].Value/pair.PanelW, 1/(1+e), 1e-12)
	if !slices.IsSortedFunc(r.Influences, func(a, b Influence) int { return int(math.Copysign(1, b.Weight-a.Weight)) }) {
		t.Error("the weightiest does not stand first")
	}
}

// TestInfluencesSayWhyTheyKnowNoPanel: the reason is the plan's own.
func TestInfluencesSayWhyTheyKnowNoPanel(t *testing.T) {
	r, all := influencesOf(t, plantest.Set("site.latitude", "0"), plantest.Set("site.longitude", "-30"))
	if r.Solar.Known || !strings.Contains(r.Solar.Why.String(), "no data here") {
		t.Fatalf("the open sea: %q", r.Solar.Why)
	}
	if f := all["lift.static_head"]; f.PanelW[0].Known || f.PanelW[0].Why != r.Solar.Why {
		t.Errorf("the panel is unknown, as %q; want %q", f.PanelW[0].Why, r.Solar.Why)
	}
}

// TestInfluencesOffTheCurve: two pumps with a line each that run off their curve
// when the lift is a little lower still count twice.
func TestInfluencesOffTheCurve(t *testing.T) {
	r, all := influencesOf(t, plantest.Set("choice.pump", "24 V 65 W"), plantest.Set("pump.2.count", "2"), plantest.Set("pump.2.own_lines", "true"), plantest.Set("lift.static_head", "0"),
		plantest.Set("lift.crest", "0 m"), plantest.Set("feed.1.bore", "150 mm"), plantest.Set("feed.2.bore", "150 mm"), plantest.Set("upkeep.flow_loss_when_dirty", "0 %"))
	p := r.Water.Pumps[r.Base]
	if p.Dirty.Run.Status != pumps.BeyondCurve {
		t.Fatalf("status %v", p.Dirty.Run.Status)
	}
	reftest.Near(t, "flow", float64(all["lift.static_head"].Flow[0].Value), 2*float64(p.Pump.Curve(1).Last()), 1e-12)
}
