package order

import (
	"cmp"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestDivide: the first places, which are those of a sort, come before the others, even where
// many lie at the same spot.
func TestDivide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.SliceOf(rapid.IntRange(0, 20)).Draw(t, "at")
		var places []spotAlong
		for i, x := range at {
			places = append(places, spotAlong{float64(x), int32(i)})
		}
		k := rapid.IntRange(0, len(at)).Draw(t, "k")
		sorted := slices.Clone(places)
		order := func(p, q spotAlong) int { return cmp.Or(cmp.Compare(p.at, q.at), cmp.Compare(p.stroke, q.stroke)) }
		slices.SortFunc(sorted, order)
		divide(places, k)
		slices.SortFunc(places[:k], order)
		slices.SortFunc(places[k:], order)
		if !slices.Equal(places, sorted) {
			t.Fatalf("of %v the first %d are %v and the others %v", at, k, places[:k], places[k:])
		}
	})
}
