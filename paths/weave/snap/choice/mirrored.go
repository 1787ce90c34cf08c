package choice

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"weftplot/paths/near"
)

// Box is what lies between two places across the lines of an axis, and two along them.
type Box struct{ At, To, Lo, Hi float64 }

// AreMirrored reports whether boxes are their own mirror image about a place across the lines,
// each side of a box within slack of that of another's image.
func AreMirrored(boxes []Box, middle, slack float64) bool {
	boxes = slices.Clone(boxes)
	slices.SortFunc(boxes, func(a, b Box) int {
		return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.To, b.To), cmp.Compare(a.Lo, b.Lo), cmp.Compare(a.Hi, b.Hi))
	})
	free := near.NewUnused(len(boxes))
	for _, b := range boxes {
		image := Box{2*middle - b.To, 2*middle - b.At, b.Lo, b.Hi}
		i := sort.Search(len(boxes), func(i int) bool { return boxes[i].At >= image.At-slack })
		for i = free.From(i); i < len(boxes) && boxes[i].At <= image.At+slack; i = free.From(i + 1) {
			if c := boxes[i]; math.Abs(c.To-image.To) <= slack && math.Abs(c.Lo-image.Lo) <= slack && math.Abs(c.Hi-image.Hi) <= slack {
				free.Take(i)
				break
			}
		}
		if i == len(boxes) || boxes[i].At > image.At+slack {
			return false
		}
	}
	return true
}

// Run is a line in a channel, as drawn.
type Run struct {
	Channel int
	Extent
}

// TurnOver reports whether runs are the same turned end for end about a place along them:
// those of one channel, and with their places and their ends within two slacks.
func TurnOver(runs []Run, middle, slackAt, slack float64) bool {
	runs = slices.Clone(runs)
	slices.SortStableFunc(runs, func(a, b Run) int { return cmp.Or(cmp.Compare(a.Channel, b.Channel), cmp.Compare(a.Lo, b.Lo)) })
	free := near.NewUnused(len(runs))
	for _, r := range runs {
		lo := 2*middle - r.Hi
		i := sort.Search(len(runs), func(i int) bool {
			return runs[i].Channel > r.Channel || runs[i].Channel == r.Channel && runs[i].Lo >= lo-slack
		})
		for i = free.From(i); i < len(runs) && runs[i].Channel == r.Channel && runs[i].Lo <= lo+slack; i = free.From(i + 1) {
			image := runs[i]
			if math.Abs(image.Hi-(2*middle-r.Lo)) <= slack && math.Abs(image.At-r.At) <= slackAt {
				free.Take(i)
				break
			}
		}
		if i >= len(runs) || runs[i].Channel != r.Channel || runs[i].Lo > lo+slack {
			return false
		}
	}
	return true
}
