package works

import (
	"testing"

	"sunrill/data"
	"sunrill/data/plan"
)

// BenchmarkNewWater works out the demo's water: three pumps on three hoses.
func BenchmarkNewWater(b *testing.B) {
	in, err := plan.LoadPlan(plan.PlanFile, plan.LoadOptions{Open: plan.FromFS(data.Demo())})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := NewWater(&in.Plan, in.Curves, Surroundings{}); err != nil {
			b.Fatal(err)
		}
	}
}
