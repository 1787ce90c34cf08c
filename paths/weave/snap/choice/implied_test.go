package choice

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	_ "weftplot/paths/samecases"
)

// The bounds that are needed are kept by the same numbers as all: by every choice of a
// few small ones.
func TestNeededImplyAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const n, values = 4, 5
		s := newBoundSet(make([]int, n), slices.Repeat([]int{values - 1}, n))
		place := rapid.Permutation([]int{0, 1, 2, 3}).Draw(t, "place")
		for range rapid.IntRange(0, 12).Draw(t, "bounds") {
			u, v := rapid.IntRange(0, n-1).Draw(t, "u"), rapid.IntRange(0, n-1).Draw(t, "v")
			s.add(bound{u, v, rapid.IntRange(-2, 2).Draw(t, "least")})
		}
		all := &programme{bounds: s.all, least: make([]int, n), most: s.most}
		few := *all
		few.bounds = needed(s.strongest(), place)
		for x := range values * values * values * values {
			k := []int{x % values, x / values % values, x / values / values % values, x / values / values / values}
			if got, want := few.holds(k), all.holds(k); got != want {
				t.Fatalf("%v keeps the needed of %v: %v, all: %v\nneeded %v, places %v", k, s.all, got, want, few.bounds, place)
			}
		}
	})
}
