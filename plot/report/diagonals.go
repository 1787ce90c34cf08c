package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"weftplot/paths/weave/snap"
)

// diagonalWords says how many slanting lines go through holes at which ratio, "" where
// there are none.
func diagonalWords(list []snap.Diagonal) string {
	var ratios [][2]int
	count := map[[2]int]int{}
	moved := 0.
	for _, d := range list {
		if count[d.Ratio]++; count[d.Ratio] == 1 {
			ratios = append(ratios, d.Ratio)
		}
		moved = max(moved, d.Moved)
	}
	slices.SortStableFunc(ratios, func(a, b [2]int) int { return cmp.Compare(count[b], count[a]) })
	var words []string
	for _, r := range ratios {
		words = append(words, fmt.Sprintf("%d at %d across and %d along", count[r], r[0], r[1]))
	}
	switch len(list) {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("A slanting line goes from hole to hole, its ends where channels cross: %s. An end moved by up to %.2f mm to get there.", strings.TrimPrefix(words[0], "1 "), moved)
	}
	return fmt.Sprintf("%d slanting lines go from hole to hole, their ends where channels cross: %s. The farthest end moved %.2f mm to get there.",
		len(list), strings.Join(words, ", "), moved)
}
