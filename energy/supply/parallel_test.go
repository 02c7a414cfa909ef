package supply

import "testing"

// TestInParallelCallsEachOnce: every number once, more than there are cores and none.
func TestInParallelCallsEachOnce(t *testing.T) {
	for _, n := range []int{0, 1, 100} {
		calls := make([]int, n)
		InParallel(n, func(i int) { calls[i]++ })
		for i, c := range calls {
			if c != 1 {
				t.Errorf("%d of %d is called %d times", i, n, c)
			}
		}
	}
}
