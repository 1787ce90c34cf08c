package near

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestUnused compares with stepping over the taken places one by one.
func TestUnused(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 30).Draw(t, "n")
		free, taken := NewUnused(n), make([]bool, n)
		for from := range n + 1 {
			if n > 0 {
				i := rapid.IntRange(0, n-1).Draw(t, "take")
				free.Take(i)
				taken[i] = true
			}
			want := n
			if i := slices.Index(taken[from:], false); i >= 0 {
				want = from + i
			}
			if got := free.From(from); got != want {
				t.Fatalf("taken %v: the first free place from %d is %d, want %d", taken, from, got, want)
			}
		}
	})
}
