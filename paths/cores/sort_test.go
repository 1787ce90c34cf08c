package cores_test

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths/cores"
)

// A list sorted on many cores is what the library's sort makes of it.
func TestSort(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, n := range []int{0, 1, 2, 5000, 8191, 8192, 8193, 16_400, 40_001, 100_000} {
		list := make([][2]int, n)
		for i := range list {
			list[i] = [2]int{r.IntN(1 + n/10), i}
		}
		compare := func(a, b [2]int) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) }
		want := slices.Clone(list)
		slices.SortFunc(want, compare)
		if cores.Sort(list, compare); !slices.Equal(list, want) {
			t.Fatalf("%d items are not in their order", n)
		}
	}
}
