package cores_test

import (
	"context"
	"fmt"
	"runtime"
	"sync/atomic"
	"testing"

	"weftplot/paths/cores"
)

// Of several errors the one of the lowest number comes out, for any number of
// cores, and everything below it was done.
func TestEachTellsTheFirstError(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, n := range []int{1, 2, 7} {
		runtime.GOMAXPROCS(n)
		for range 50 {
			done := make([]bool, 200)
			err := cores.Each(context.Background(), len(done), func(i int) error {
				done[i] = true
				if i >= 100 && i%3 == 1 {
					return fmt.Errorf("number %d", i)
				}
				return nil
			})
			if err == nil || err.Error() != "number 100" {
				t.Fatalf("%d cores: %v", n, err)
			}
			for i := range 100 {
				if !done[i] {
					t.Fatalf("%d cores: number %d was left out", n, i)
				}
			}
		}
	}
}

// Every number is in one range, for any number of them and of cores.
func TestRangesHoldEachNumberOnce(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, n := range []int{1, 2, 7} {
		runtime.GOMAXPROCS(n)
		for _, items := range []int{0, 1, 1000, 1024, 100_003} {
			seen := make([]int, items)
			cores.Ranges(items, func(lo, hi int) {
				for i := lo; i < hi; i++ {
					seen[i]++
				}
			})
			for i, times := range seen {
				if times != 1 {
					t.Fatalf("%d cores: number %d of %d came %d times", n, i, items, times)
				}
			}
		}
	}
}

// Every number is done once, and after a stop no more than one for each core.
func TestEachUntil(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, n := range []int{1, 2, 7} {
		runtime.GOMAXPROCS(n)
		times := make([]int, 1000)
		cores.EachUntil(len(times), func() bool { return false }, func(i int) { times[i]++ })
		for i, k := range times {
			if k != 1 {
				t.Fatalf("%d cores: number %d was done %d times", n, i, k)
			}
		}
		var done atomic.Int64
		cores.EachUntil(0, func() bool { return true }, func(int) { done.Add(1) })
		if runtime.GOMAXPROCS(1); done.Load() > 0 {
			t.Fatal("something was done of nothing")
		}
		cores.EachUntil(1000, func() bool { return done.Load() >= 10 }, func(int) { done.Add(1) })
		if done.Load() != 10 {
			t.Fatalf("%d were done until 10 were", done.Load())
		}
	}
}

// All is done once, within work of its own kind too, and only one question is asked at a
// time, the answer of which comes back to who asked.
func TestEachAsking(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, n := range []int{1, 2, 7} {
		runtime.GOMAXPROCS(n)
		var times [30][20]atomic.Int64
		asked := 0 // of one goroutine only, or the race detector tells
		stop := func() bool { asked++; return asked > 500 }
		cores.EachAsking(len(times), stop, func(i int, stop func() bool) {
			cores.EachAsking(len(times[i]), stop, func(j int, stop func() bool) {
				times[i][j].Add(1)
				stop()
			})
		})
		for i := range times {
			for j := range times[i] {
				if k := times[i][j].Load(); k != 1 {
					t.Fatalf("%d cores: number %d of %d was done %d times", n, j, i, k)
				}
			}
		}
		if asked != len(times)*len(times[0]) {
			t.Fatalf("%d cores: %d questions reached their end", n, asked)
		}
		cores.EachAsking(3, nil, func(_ int, stop func() bool) {
			if stop != nil {
				t.Error("there is a question that nobody answers")
			}
		})
	}
}
