package join

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The next number of a set is the one that looking at each finds.
func TestBitsAgainstLookingAtEach(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 20_000).Draw(t, "n")
		in := rapid.SliceOfN(rapid.IntRange(0, n-1), 0, 20).Draw(t, "numbers")
		b := newBits(n)
		for _, i := range in {
			b.add(i)
		}
		slices.Sort(in)
		for range 20 {
			from, to := rapid.IntRange(0, n).Draw(t, "from"), rapid.IntRange(0, n).Draw(t, "to")
			want := to
			if k, _ := slices.BinarySearch(in, from); from < to && k < len(in) {
				want = min(to, in[k])
			}
			if got := b.next(from, to); got != want {
				t.Fatalf("the next from %d on below %d is %d, want %d", from, to, got, want)
			}
		}
	})
}
