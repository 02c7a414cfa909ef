package energy

import (
	"context"
	"errors"
	"math"
	"reflect"
	"slices"
	"sync/atomic"
	"testing"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/energy/battery"
	"sunrill/energy/still"
	"sunrill/pumps/works"
)

// demoInputs returns the built-in demo with sets applied.
func demoInputs(t testing.TB, sets ...plan.Setting) Inputs {
	t.Helper()
	l, err := plan.LoadPlan(plan.PlanFile, plan.LoadOptions{Open: plan.FromFS(data.Demo()), ReadOptions: plan.ReadOptions{Sets: sets}})
	if err != nil {
		t.Fatal(err)
	}
	return Inputs{Plan: &l.Plan, Curves: l.Curves}
}

// everything evaluates a plan as far as it goes.
func everything(in Inputs) (*Outcome, error) { return Evaluate(context.Background(), in, All) }

// TestMainsOfThePlanIsTheHeadlineOfDesign holds the budget to what its words
// mean: kWh is the larger of clean and dirty, cost the mean of both.
func TestMainsOfThePlanIsTheHeadlineOfDesign(t *testing.T) {
	r, err := everything(demoInputs(t))
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

// TestDepthsAgree: what a shallow answer holds, a deep one holds too.
func TestDepthsAgree(t *testing.T) {
	in := demoInputs(t, plan.Setting{Key: "reliability.years", Text: "1"})
	var at [All + 1]*Outcome
	for d := range at {
		var err error
		if at[d], err = Evaluate(context.Background(), in, Depth(d)); err != nil {
			t.Fatal(err)
		}
	}
	if at[Flows].Water.Choice.Index != at[All].Water.Choice.Index {
		t.Error("what flows chooses another pump")
	}
	hoses := func(o *Outcome) []works.HoseStep {
		list := slices.Clone(o.Water.Hoses)
		for i := range list {
			list[i].Laid = nil
		}
		return list
	}
	for d, o := range at[Water:All] {
		if !reflect.DeepEqual(o.Costs, at[All].Costs) || !reflect.DeepEqual(o.Mains, at[All].Mains) || !reflect.DeepEqual(told(o.Rest), told(at[All].Rest)) ||
			!reflect.DeepEqual(hoses(o), hoses(at[All])) || o.Water.Choice != at[All].Water.Choice {
			t.Errorf("depth %d has another water than the whole", Water+Depth(d))
		}
	}
	pair := func(o *Outcome) battery.Choice { return o.Solar.Value.DayAndNight.Value.Front.Chosen }
	sun, all := pair(at[Sun]), pair(at[All])
	if !at[Sun].Solar.Known || sun.PanelW != all.PanelW || sun.BoughtWh != all.BoughtWh || !reflect.DeepEqual(sun.Connected, all.Connected) {
		t.Errorf("with the sun %+v, in the whole %+v", sun, all)
	}
	if at[Water].Solar.Known || at[Water].Solar.Why == "" {
		t.Error("more was worked out than asked for")
	}
}

// told returns the figures of a pond that stands still, those that a page asks for too.
func told(r figure.Maybe[still.StandingTimes]) []any {
	all := []any{r.Known, r.Why, r.Value.PoreWater, r.Value.BedLow, r.Value.BedHigh, r.Value.Warnings}
	for _, m := range r.Value.Months {
		noon := m.Noon().Value
		all = append(all, m.Limit, m.Kept, m.Dawn(), m.Dusk.Five, m.Dusk.FiveHalf, m.Dusk.Distress(), noon.Five, noon.FiveHalf, noon.Distress())
	}
	return all
}

// stopsAfter is a context that ends once it was asked left times.
type stopsAfter struct {
	context.Context
	left atomic.Int64
}

var errStopped = errors.New("stopped")

func (c *stopsAfter) Err() error {
	if c.left.Add(-1) < 0 {
		return errStopped
	}
	return nil
}

// TestEvaluateStops: wherever it is stopped, it says so and gives half of nothing.
func TestEvaluateStops(t *testing.T) {
	in := demoInputs(t, plan.Setting{Key: "reliability.years", Text: "1"})
	const most = 100_000
	for left := int64(0); left < most; left = left*3/2 + 1 {
		c := &stopsAfter{Context: context.Background()}
		c.left.Store(left)
		o, err := Evaluate(c, in, All)
		switch {
		case errors.Is(err, errStopped) && o == nil:
		case err != nil || o == nil:
			t.Fatalf("stopped after %d looks: %v, %v", left, o, err)
		case left < 20:
			t.Fatalf("it looks only %d times whether anybody still waits", left)
		default:
			return
		}
	}
	t.Error("it never ends")
}
