package snap

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/choice"
)

// findMirrors keeps of the mirrors of the choice of channels those of the whole
// design, and finds which straights they turn end for end.
func (s *snapper) findMirrors() {
	for axis, m := range s.mirrors {
		if m != nil && !s.boxesMirror(weave.Axis(axis), m.before) {
			s.mirrors[axis] = nil
		}
	}
	for axis := range s.flips {
		if m := s.mirrors[1-axis]; m != nil && s.turnsOver(weave.Axis(axis), m.before) {
			s.flips[axis] = m
		}
	}
}

// boxesMirror reports whether the boxes of the motifs are their own mirror image
// about a line of an axis, mm.
func (s *snapper) boxesMirror(axis weave.Axis, middle float64) bool {
	slack := 2 * choice.MirrorSlack * s.grid.Pitch(axis)
	corner := func(b paths.Rect) [4]float64 {
		lo, from := axis.Split(b.Min)
		hi, to := axis.Split(b.Max)
		return [4]float64{lo, hi, from, to}
	}
	boxes := make([][4]float64, len(s.motifs))
	for n := range s.motifs {
		boxes[n] = corner(s.motifs[n].box)
	}
	slices.SortFunc(boxes, func(a, b [4]float64) int { return slices.Compare(a[:], b[:]) })
	free := near.NewUnused(len(boxes))
	for _, b := range boxes {
		image := [4]float64{2*middle - b[1], 2*middle - b[0], b[2], b[3]}
		i := sort.Search(len(boxes), func(i int) bool { return boxes[i][0] >= image[0]-slack })
		for i = free.From(i); i < len(boxes) && boxes[i][0] <= image[0]+slack; i = free.From(i + 1) {
			if math.Abs(boxes[i][1]-image[1]) <= slack && math.Abs(boxes[i][2]-image[2]) <= slack && math.Abs(boxes[i][3]-image[3]) <= slack {
				free.Take(i)
				break
			}
		}
		if i == len(boxes) || boxes[i][0] > image[0]+slack {
			return false
		}
	}
	return true
}

// turnsOver reports whether the straights of an axis are the same turned end for
// end about a middle, in mm, channels and all.
func (s *snapper) turnsOver(axis weave.Axis, middle float64) bool {
	rs := slices.Clone(s.straights[axis])
	slices.SortStableFunc(rs, func(a, b *straight) int {
		return cmp.Or(cmp.Compare(a.channel, b.channel), cmp.Compare(a.lo(), b.lo()))
	})
	slack := choice.MirrorSlack * s.grid.Step(axis)
	free := near.NewUnused(len(rs))
	for _, r := range rs {
		lo := 2*middle - r.hi()
		i := sort.Search(len(rs), func(i int) bool {
			return rs[i].channel > r.channel || rs[i].channel == r.channel && rs[i].lo() >= lo-slack
		})
		for i = free.From(i); i < len(rs) && rs[i].channel == r.channel && rs[i].lo() <= lo+slack; i = free.From(i + 1) {
			image := rs[i]
			if math.Abs(image.hi()-(2*middle-r.lo())) <= slack && math.Abs(image.mean-r.mean) <= choice.MirrorSlack*s.grid.Pitch(axis) {
				free.Take(i)
				break
			}
		}
		if i >= len(rs) || rs[i].channel != r.channel || rs[i].lo() > lo+slack {
			return false
		}
	}
	return true
}
