package works

import (
	"testing"

	"sunrill/data"
)

// BenchmarkNewWater works out the demo's water: three pumps on three hoses.
func BenchmarkNewWater(b *testing.B) {
	in, err := data.LoadPlan(data.PlanFile, data.LoadOptions{Open: data.FromFS(data.Demo())})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := NewWater(&in.Plan, in.Curves, Surroundings{}); err != nil {
			b.Fatal(err)
		}
	}
}
