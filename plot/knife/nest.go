package knife

import (
	"slices"

	"weftplot/paths"
)

// Nest groups strokes by how deep they lie inside closed ones, the deepest
// first, so that holes in a piece are cut before the piece comes loose. A group
// holds indices into strokes, in their order. A stroke lies inside another if
// its start does and its bounds do. The cost is the number of strokes times the
// vertices of the closed ones whose bounds hold them.
func Nest(strokes []paths.Stroke) [][]int {
	const res = 0.05 // error of the flattened outlines, mm
	type outline struct {
		bounds paths.Rect
		pts    []paths.Point
	}
	outlines := make([]outline, len(strokes))
	for i, s := range strokes {
		outlines[i].bounds = s.Bounds()
		if s.IsClosed() {
			outlines[i].pts = s.Flatten(res)
		}
	}
	var groups [][]int
	for i, s := range strokes {
		depth := 0
		for j, o := range outlines {
			if i == j || o.pts == nil || len(s) == 0 {
				continue
			}
			if by, _ := o.bounds.Excess(outlines[i].bounds); by == 0 && o.bounds != outlines[i].bounds && within(s.Start(), o.pts) {
				depth++
			}
		}
		for len(groups) <= depth {
			groups = append(groups, nil)
		}
		groups[depth] = append(groups[depth], i)
	}
	groups = slices.DeleteFunc(groups, func(g []int) bool { return len(g) == 0 })
	slices.Reverse(groups)
	return groups
}

// within reports whether p lies inside the closed polygon: a ray to the right
// crosses its sides an odd number of times.
func within(p paths.Point, pts []paths.Point) bool {
	in := false
	for i := 1; i < len(pts); i++ {
		a, b := pts[i-1], pts[i]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}
