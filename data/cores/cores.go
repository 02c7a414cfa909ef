// Package cores spreads work over the cores of the machine.
package cores

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// Number returns how many there are to run on.
func Number() int { return runtime.GOMAXPROCS(0) }

// Each calls do for 0 to n-1 on as many goroutines as there are cores to run them.
// Each call must write only what is its own, so that the result does not depend on
// their order.
func Each(n int, do func(i int)) {
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(Number(), n) {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for i := next.Add(1) - 1; i < int64(n); i = next.Add(1) - 1 {
				do(int(i))
			}
		}()
	}
	wait.Wait()
}
