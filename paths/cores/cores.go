// Package cores shares work out among the cores of the computer so that what comes of
// it is the same for any number of them.
package cores

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// Each calls do with the numbers from 0 to n-1, on all cores at once. What
// do writes must be its own: results go by their number, so that they are the
// same for any count of cores. It returns the error of ctx, or else that of the
// lowest number that has one; when there is an error not all need be done.
func Each(ctx context.Context, n int, do func(i int) error) error {
	errs := make([]error, n)
	var next atomic.Int64
	var failed atomic.Bool
	var all sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		all.Go(func() {
			// Numbers are taken in order, and one that is taken is done: so all below
			// one that fails are.
			for !failed.Load() && ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				if errs[i] = do(i); errs[i] != nil {
					failed.Store(true)
				}
			}
		})
	}
	all.Wait()
	if err := ctx.Err(); err != nil {
		return err
	}
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// EachUntil is [Each] for work without errors that a question may end: stop is asked
// before a number is done, by the caller's own goroutine only. When it says so, not
// all need be done.
func EachUntil(n int, stop func() bool, do func(i int)) {
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
	work(stop)
	others.Wait()
}

// EachAsking is [EachUntil] for long work that asks itself, now and then, whether to
// end: do is given a function for that, which it may call on any goroutine. The answer
// comes from stop, which is called by the caller's own goroutine only, or not at all where
// it is nil; then do gets nil too. All numbers are done, whatever is answered.
func EachAsking(n int, stop func() bool, do func(i int, stop func() bool)) {
	workers := min(n, runtime.GOMAXPROCS(0))
	if workers < 2 {
		for i := range n {
			do(i, stop)
		}
		return
	}
	questions, done := make(chan chan<- bool), make(chan struct{})
	var ask func() bool
	if stop != nil {
		ask = func() bool {
			answer := make(chan bool)
			questions <- answer
			return <-answer
		}
	}
	go func() {
		defer close(done)
		var next atomic.Int64
		var all sync.WaitGroup
		for range workers {
			all.Go(func() {
				for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
					do(i, ask)
				}
			})
		}
		all.Wait()
	}()
	for {
		select {
		case answer := <-questions:
			answer <- stop()
		case <-done:
			return
		}
	}
}

// fewest is how many items a goroutine is worth starting for.
const fewest = 512

// Ranges calls do with ranges of the numbers from 0 to n-1, on all cores at once where
// there are many: the numbers from lo to hi-1. What do writes must be its own.
func Ranges(n int, do func(lo, hi int)) {
	parts := min(8*runtime.GOMAXPROCS(0), n/fewest)
	if parts < 2 {
		do(0, n)
		return
	}
	_ = Each(context.Background(), parts, func(k int) error { // which has no error
		do(n*k/parts, n*(k+1)/parts)
		return nil
	})
}
