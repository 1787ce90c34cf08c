package choice

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Cuts one after another of one network, each beginning with what the one before sent,
// against every set of nodes: the side is a least cut, and the least of those.
func TestCutAgainstAllSets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "nodes")
		sink := n
		var arcs []ends
		for range rapid.IntRange(0, 14).Draw(t, "arcs") {
			u, v := rapid.IntRange(0, n-1).Draw(t, "u"), rapid.IntRange(0, n).Draw(t, "v")
			if u != v {
				arcs = append(arcs, ends{int32(u), int32(v)})
			}
		}
		c := newCutter(n+1, len(arcs))
		for _, a := range arcs {
			c.add(a.u, a.v)
		}
		c.lay()
		sent := make([]int64, len(arcs))
		amount := rapid.Int64Range(0, 9)
		for range 4 {
			c.begin()
			supply, onward, back := make([]int64, n+1), make([]int64, len(arcs)), make([]int64, len(arcs))
			for v := range n {
				supply[v] = amount.Draw(t, "supply")
				c.excess[v] += supply[v]
			}
			for i := range arcs {
				onward[i], back[i] = amount.Draw(t, "onward"), amount.Draw(t, "back")
				c.set(i, onward[i], back[i], sent[i])
			}
			got := slices.Clone(c.cut(int32(sink)))
			for i := range sent {
				sent[i] = c.carried(i)
			}
			if want := leastCut(arcs, supply, onward, back, n); !slices.Equal(got, want) {
				t.Fatalf("the source side is %v, the least of all sets %v", got, want)
			}
		}
	})
}

// leastCut looks at every set of nodes but the sink, which is n: its cut is the supply
// of the others and what its arcs to them can carry.
func leastCut(arcs []ends, supply, onward, back []int64, n int) []bool {
	best, cost, size := 0, int64(math.MaxInt64), 0
	for set := range 1 << n {
		in := func(v int32) bool { return int(v) < n && set>>v&1 == 1 }
		var sum int64
		count := 0
		for v := range int32(n) {
			if in(v) {
				count++
			} else {
				sum += supply[v]
			}
		}
		for i, a := range arcs {
			if in(a.u) && !in(a.v) {
				sum += onward[i]
			} else if in(a.v) && !in(a.u) {
				sum += back[i]
			}
		}
		if sum < cost || sum == cost && count < size {
			best, cost, size = set, sum, count
		}
	}
	out := make([]bool, n+1)
	for v := range n {
		out[v] = best>>v&1 == 1
	}
	return out
}
