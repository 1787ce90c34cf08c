package near

import (
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"weftplot/paths"
)

// TestKnownIsAskedByMany: goroutines that ask at the same time what is known are told the same as
// one after the other, of crowded cells that were divided and that were not.
func TestKnownIsAskedByMany(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 61))
	lines := make([]paths.Line, 3000)
	for i := range lines {
		a := pt(100*r.Float64(), 100*r.Float64())
		lines[i] = paths.Line{A: a, B: a.Add(pt(60*r.Float64()-30, 60*r.Float64()-30))}
	}
	x := NewCurves(len(lines), func(i int) paths.Curve { return lines[i] }, 0.1)
	at := make([]paths.Point, 2000)
	want := make([][]int32, len(at))
	for k := range at {
		at[k] = pt(100*r.Float64(), 100*r.Float64())
		if k < len(at)/20 {
			x.Near(at[k], func(int) bool { return true })
		}
	}
	for k, p := range at {
		want[k] = x.AppendKnown(nil, p)
	}
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			var got []int32
			for k, p := range at {
				if got = x.AppendKnown(got[:0], p); !slices.Equal(got, want[k]) {
					t.Errorf("at %v curves %v are known, want %v", p, got, want[k])
					return
				}
			}
		})
	}
	all.Wait()
}
