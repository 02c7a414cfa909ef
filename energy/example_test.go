package energy_test

import (
	"context"
	"fmt"
	"log"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
)

// A caller evaluates the demo plan at the depth of water: no hour of weather is
// made for it.
func ExampleEvaluate() {
	l, err := plan.LoadPlan(plan.PlanFile, plan.LoadOptions{Open: plan.FromFS(data.Demo())})
	if err != nil {
		log.Fatal(err)
	}
	o, err := energy.Evaluate(context.Background(), energy.Inputs{Plan: &l.Plan, Curves: l.Curves}, energy.Water)
	if err != nil {
		log.Fatal(err)
	}
	if i, ok := o.Chosen(); ok {
		pump := o.Water.Pumps[i]
		fmt.Printf("%s turns the pond over in %.2f h before cleaning\n", pump.Spec.Name, pump.Dirty.Turnover.Value.In(units.Hour))
	}
	// Output: 24 V 65 W turns the pond over in 4.07 h before cleaning
}
