package plan_test

import (
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"sunrill/data/plan"
	"sunrill/data/plantest"
)

// TestDrawnPlans reads random plans over every key of the table. What they
// hold is read back from Origins, and the same text gives the same plan.
func TestDrawnPlans(t *testing.T) {
	drawn := map[string]int{}
	for seed := range uint64(400) {
		c := plantest.Draw(rand.New(rand.NewPCG(seed, 1)))
		l, err := plan.LoadPlan(plan.PlanFile, plan.LoadOptions{ReadOptions: plan.ReadOptions{Need: plan.NeedPond | plan.NeedSite}, Open: c.Open})
		if err != nil {
			t.Fatalf("seed %d: %v\n%s", seed, err, c.Text)
		}
		for key := range c.Keys {
			drawn[plan.Pattern(key)]++
			if !l.Plan.Given(key) {
				t.Fatalf("seed %d: %s is in the file but not given\n%s", seed, key, c.Text)
			}
		}
	}
	for _, k := range plan.KeyTable() {
		if drawn[k.Path] == 0 {
			t.Errorf("%s is never drawn", k.Path)
		}
	}
}

// TestDrawnSettings gives a plan by --set alone and by file alone: both are
// the same plan.
func TestDrawnSettings(t *testing.T) {
	for seed := range uint64(60) {
		c := plantest.Draw(rand.New(rand.NewPCG(seed, 2)))
		l, err := plan.LoadPlan(plan.PlanFile, plan.LoadOptions{Open: c.Open})
		if err != nil {
			t.Fatal(err)
		}
		again, err := plan.LoadPlan("", plan.LoadOptions{ReadOptions: plan.ReadOptions{Sets: c.Settings()}, Open: c.Open})
		if err != nil {
			t.Fatalf("seed %d: %v\n%s", seed, err, c.Text)
		}
		if diff := cmp.Diff(l.Plan, again.Plan, cmpopts.IgnoreFields(plan.Plan{}, "File", "Origins"), cmpopts.IgnoreUnexported(plan.Plan{})); diff != "" {
			t.Fatalf("seed %d: file and settings differ: %s", seed, diff)
		}
	}
}
