package works

import (
	"testing"

	"sunrill/data"
)

// The exit loss counts once, whether the keeper names it or not.
func TestNamedExitCountsOnce(t *testing.T) {
	for _, tt := range []struct {
		list []data.Fitting
		want bool
	}{
		{nil, false},
		{[]data.Fitting{{Name: "elbow", Count: 4}}, false},
		{[]data.Fitting{{Name: "elbow", Count: 4}, {Name: "Exit", Count: 1}}, true},
		{[]data.Fitting{{Name: "outlet", Count: 1}}, true},
	} {
		if got := namesExit(tt.list); got != tt.want {
			t.Errorf("namesExit(%v) = %v", tt.list, got)
		}
	}
}
