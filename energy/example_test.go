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
		fmt.Printf("%s: is it enough? %s, %.2f h a turnover before cleaning\n", pump.Name, pump.Surely.Value.Word, pump.Dirty.Turnover.Value.In(units.Hour))
	}
	// Output: 230 V 90 W: is it enough? yes, 3.60 h a turnover before cleaning
}
