package inspect

import (
	"cmp"
	"slices"

	"weftplot/paths"
)

// touching finds the places where two strokes, or two parts of one, come together: within
// the distance of doubles. It looks only at strokes that are asked for.
type touching struct {
	*drawing
	trees []tree // by stroke; made when they are first asked for
	// around are the surroundings of the touches of the first stroke with the
	// second, as ascending intervals along the first that do not overlap.
	around map[[2]int32][][2]float64
	steps  int // looks that may still be taken
}

// maxTouchSteps bounds the looks at boxes for touches.
const maxTouchSteps = 15_000_000

func newTouching(f *drawing) touching {
	return touching{f, make([]tree, len(f.closed)), map[[2]int32][][2]float64{}, maxTouchSteps}
}

// A tree holds the boxes of the segments of a stroke and of their unions: the branches of
// box i are 2i and 2i+1, and its first is 1. Segments that follow one another stand
// together, as they lie together.
type tree []paths.Rect

func (t *touching) tree(stroke int32) tree {
	if t.trees[stroke] == nil {
		segs := t.segs[t.first[stroke]:t.first[stroke+1]]
		leaves := 1
		for leaves < len(segs) {
			leaves *= 2
		}
		out := make(tree, 2*leaves)
		for i := range out {
			out[i] = paths.EmptyRect()
		}
		for i, s := range segs {
			out[leaves+i] = paths.RectOf(s.a, s.b)
		}
		for i := leaves - 1; i > 0; i-- {
			out[i] = out[2*i].Union(out[2*i+1])
		}
		t.trees[stroke] = out
	}
	return t.trees[stroke]
}

// segment returns the segment that is box i of a stroke's tree, and whether it is one.
func (t *touching) segment(of tree, stroke int32, i int) (segment, bool) {
	k := i - len(of)/2
	if k < 0 {
		return segment{}, false
	}
	return t.segs[int(t.first[stroke])+k], true
}

// find calls put with the places of all touches of two strokes, which may be one, along
// each of them.
func (t *touching) find(stroke, other int32, put func(on, other float64)) {
	a, b := t.tree(stroke), t.tree(other)
	var visit func(i, j int)
	visit = func(i, j int) {
		t.work++
		if t.steps--; t.steps < 0 || !a[i].Grow(t.Double).Overlaps(b[j]) {
			return
		}
		s, isLeaf := t.segment(a, stroke, i)
		o, isOtherLeaf := t.segment(b, other, j)
		switch {
		case isLeaf && isOtherLeaf:
			if d, on, at := distance(s, o); d <= t.Double {
				if on, at = s.from+on, o.from+at; stroke != other || t.apart(stroke, on, at) >= t.reach() {
					put(on, at)
				}
			}
		case stroke == other && i == j: // each pair of one stroke once, the later segment first
			visit(2*i, 2*i)
			visit(2*i+1, 2*i)
			visit(2*i+1, 2*i+1)
		case isOtherLeaf || !isLeaf && i < j:
			visit(2*i, j)
			visit(2*i+1, j)
		default:
			visit(i, 2*j)
			visit(i, 2*j+1)
		}
	}
	visit(1, 1)
}

// surroundings returns the parts of a stroke that are near a touch with another.
func (t *touching) surroundings(stroke, other int32) [][2]float64 {
	key := [2]int32{stroke, other}
	if out, ok := t.around[key]; ok {
		return out
	}
	var all [][2]float64
	width := nearby * max(t.Across, t.Along)
	put := func(at float64) {
		all = append(all, [2]float64{at - width, at + width})
		if l := t.length[stroke]; t.closed[stroke] {
			all = append(all, [2]float64{at - l - width, at - l + width}, [2]float64{at + l - width, at + l + width})
		}
	}
	t.find(stroke, other, func(on, at float64) {
		put(on)
		if stroke == other {
			put(at)
		}
	})
	slices.SortFunc(all, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	var out [][2]float64
	for _, iv := range all {
		if n := len(out) - 1; n >= 0 && iv[0] <= out[n][1] {
			out[n][1] = max(out[n][1], iv[1])
		} else {
			out = append(out, iv)
		}
	}
	t.around[key] = out
	return out
}

// without appends to a list what is left of an overlap when the surroundings of all places
// where its strokes meet are taken away. Where not all of those could be looked for,
// nothing is left.
func (t *touching) without(s overlap, out []overlap) []overlap {
	list := t.surroundings(s.stroke, s.other)
	if t.steps < 0 {
		return out
	}
	i, _ := slices.BinarySearchFunc(list, s.from, func(iv [2]float64, at float64) int { return cmp.Compare(iv[1], at) })
	at := s.from
	for ; i < len(list) && list[i][0] < s.to; i++ {
		if list[i][0] > at {
			out = append(out, s.part(at, list[i][0]))
		}
		at = max(at, list[i][1])
	}
	if at < s.to {
		out = append(out, s.part(at, s.to))
	}
	return out
}
