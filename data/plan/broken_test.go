package plan_test

import (
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/plantest"
)

// TestBrokenPlans checks that each slip is refused at its line in words that
// say what to do.
func TestBrokenPlans(t *testing.T) {
	broken := plantest.BrokenPlans()
	if len(broken) < 100 {
		t.Errorf("%d broken plans, want 100", len(broken))
	}
	for _, b := range broken {
		t.Run(b.Name, func(t *testing.T) {
			_, _, err := plan.ReadPlan("pond.toml", strings.NewReader(b.Text), plan.ReadOptions{Need: plan.NeedPond})
			var told []string
			for _, f := range data.Faults(err) {
				text := f.Error() + " | " + f.Hint
				if f.Line == b.Line && f.File == "pond.toml" && f.Column > 0 && strings.Contains(text, b.Want) {
					return
				}
				told = append(told, text)
			}
			t.Errorf("want %q in line %d, got:\n%s\n%s", b.Want, b.Line, strings.Join(told, "\n"), b.Text)
		})
	}
}
