package web

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Lists are what appending to one slice a key gives.
func TestListsAgainstSlices(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "keys")
		keys := rapid.SliceOfN(rapid.IntRange(0, n-1), 0, 40).Draw(t, "keys of")
		want := make([][]int32, n)
		for item, key := range keys {
			want[key] = append(want[key], int32(item))
		}
		got := NewLists(n, func(put func(key, item int)) {
			for item, key := range keys {
				put(key, item)
			}
		})
		for key, list := range want {
			if !slices.Equal(got.Of(key), list) || got.Len(key) != len(list) {
				t.Fatalf("key %d has %v, want %v", key, got.Of(key), list)
			}
		}
	})
}
