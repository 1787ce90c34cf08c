package cores_test

import (
	"context"
	"fmt"
	"runtime"
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
