package data

import "testing"

// The goals are rules of thumb without a measurement behind them, so only their
// order can be checked: more fish, quicker turnover, inside the rule's span.
func TestTurnoverGoals(t *testing.T) {
	before := TurnoverGoal{Goal: 1e9}
	for _, g := range turnovers() {
		if g.Goal >= before.Goal {
			t.Errorf("%s is not turned over quicker than %s", g.Stocking, before.Stocking)
		}
		if g.Goal < g.Quickest || g.Goal > g.Slowest {
			t.Errorf("%s: the goal of %g s is outside its own rule", g.Stocking, float64(g.Goal))
		}
		before = g
	}
	for _, s := range []string{"none", "light", "medium", "heavy"} {
		if _, err := TurnoverGoalOf(s); err != nil {
			t.Error(err)
		}
		shares := FilterSharesOf(s)
		if len(shares) == 0 {
			t.Errorf("%s: no filter share", s)
		}
		for _, r := range shares {
			if r.Basis != "volume" && r.Basis != "area" || r.Low <= 0 || r.High < r.Low || r.High > 1 {
				t.Errorf("%s: %+v", s, r)
			}
		}
	}
	if _, err := TurnoverGoalOf("huge"); err == nil {
		t.Error("a stocking that is not in the table is no error")
	}
}
