package cores

import "testing"

// TestEachCallsEachOnce: every number once, more than there are cores and none.
func TestEachCallsEachOnce(t *testing.T) {
	for _, n := range []int{0, 1, 100} {
		calls := make([]int, n)
		Each(n, func(i int) { calls[i]++ })
		for i, c := range calls {
			if c != 1 {
				t.Errorf("%d of %d is called %d times", i, n, c)
			}
		}
	}
}
