package works

import (
	"testing"

	"sunrill/data/plan"
)

// The exit loss counts once, whether the keeper names it or not.
func TestNamedExitCountsOnce(t *testing.T) {
	for _, tt := range []struct {
		list []plan.Fitting
		want bool
	}{
		{nil, false},
		{[]plan.Fitting{{Name: "elbow", Count: 4}}, false},
		{[]plan.Fitting{{Name: "elbow", Count: 4}, {Name: "Exit", Count: 1}}, true},
		{[]plan.Fitting{{Name: "outlet", Count: 1}}, true},
	} {
		if got := namesExit(tt.list); got != tt.want {
			t.Errorf("namesExit(%v) = %v", tt.list, got)
		}
	}
}
