package web

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
)

// Lines that crowd under one key are found as by grouping all lines by their keys, and each
// line is in its group or among the others.
func TestCrowdsAgainstGroups(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := rapid.Map(rapid.IntRange(0, 3), func(k int) float64 { return float64(k) })
		var lines []paths.Line
		for range rapid.IntRange(0, 60).Draw(t, "lines") {
			lines = append(lines, paths.Line{A: pt(place.Draw(t, "x"), place.Draw(t, "y")), B: pt(place.Draw(t, "u"), place.Draw(t, "v"))})
		}
		least := rapid.IntRange(1, 300).Draw(t, "least")
		if rapid.Bool().Draw(t, "few are many") {
			least = 1 + least%6
		}
		keyOf := func(l paths.Line, u paths.Point) lineKey {
			return lineKey{int64(u.Angle() * 10), int64(u.Cross(l.A) * 10)}
		}
		want := map[lineKey][]int{}
		for i, l := range lines {
			if l.A != l.B {
				k := keyOf(l, upward(l))
				want[k] = append(want[k], i)
			}
		}
		keys, sets, others := crowds(lines, least, keyOf)
		first := -1
		for _, k := range keys {
			if !slices.Equal(sets[k], want[k]) {
				t.Fatalf("%v are the lines of %v, want %v", sets[k], k, want[k])
			}
			if sets[k][0] <= first {
				t.Fatalf("the keys do not stand in the order of their first lines: %v", keys)
			}
			first = sets[k][0]
			others = append(others, sets[k]...)
		}
		if len(keys) != len(sets) {
			t.Fatalf("%d keys of %d sets", len(keys), len(sets))
		}
		for k, of := range want {
			if sets[k] == nil && len(of) >= least {
				t.Fatalf("%d lines of %v are no crowd of at least %d", len(of), k, least)
			}
		}
		if slices.Sort(others); len(others) != len(lines) || len(slices.Compact(others)) != len(lines) {
			t.Fatalf("%d lines came out of %d", len(others), len(lines))
		}
	})
}
