package snap

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// onAllCores calls do with the numbers from 0 to n-1, on all cores at once. What do
// writes must be its own; then the outcome is the same for any count of cores. When the
// pause says stop, not all need be done. Only the caller's own goroutine asks it.
func (p *pause) onAllCores(n int, do func(i int)) {
	var next atomic.Int64
	var ended atomic.Bool
	work := func(stop func() bool) {
		for !ended.Load() {
			i := int(next.Add(1)) - 1
			if i >= n {
				return
			}
			if stop() {
				ended.Store(true)
				return
			}
			do(i)
		}
	}
	var others sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) - 1 {
		others.Go(func() { work(func() bool { return false }) })
	}
	work(p.step)
	others.Wait()
}
