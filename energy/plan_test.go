package energy

import (
	"math"
	"testing"

	"sunrill/data"
)

// demoInputs returns the built-in demo with sets applied.
func demoInputs(t testing.TB, sets ...data.Setting) Inputs {
	t.Helper()
	l, err := data.LoadPlan(data.PlanFile, data.LoadOptions{Open: data.FromFS(data.Demo()), ReadOptions: data.ReadOptions{Sets: sets}})
	if err != nil {
		t.Fatal(err)
	}
	return Inputs{Plan: &l.Plan, Curves: l.Curves}
}

// TestMainsOfThePlanIsTheHeadlineOfDesign holds the budget to what its words
// mean: kWh is the larger of clean and dirty, cost the mean of both.
func TestMainsOfThePlanIsTheHeadlineOfDesign(t *testing.T) {
	r, err := Plan(demoInputs(t))
	if err != nil {
		t.Fatal(err)
	}
	i, ok := r.Chosen()
	if !ok || !r.Mains.Known {
		t.Fatal("the demo chooses no pump")
	}
	p, m := r.Water.Pumps[i], r.Mains.Value
	if want := max(p.Clean.EnergyYear.Value, p.Dirty.EnergyYear.Value); m.PerYear != want {
		t.Errorf("%g J a year, want %g", float64(m.PerYear), float64(want))
	}
	c := r.Costs[i]
	if want := (c.Clean.Value + c.Dirty.Value) / 2; math.Abs(float64(m.Cost.Value-want)) > 1e-9*float64(want) {
		t.Errorf("cost %g, want %g", float64(m.Cost.Value), float64(want))
	}
}
