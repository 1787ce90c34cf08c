package finding

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
	pathsnear "weftplot/paths/near"
	"weftplot/paths/weave"
)

// leastTurn is the sine of the least angle of a corner that a person can find.
const leastTurn = 0.35

// A Corner is where ink turns or ends, also beside the channels.
type Corner struct {
	Place weave.Place
	End   bool // of a line, such as one that the load goes on from
}

// Corners lists corners and ends of ink within the load, the nearest to where it meets the
// ink first, no two so near that one is taken for the other, nor near places that are found
// already. Where the load goes on from a line, the end of that line lies at the joint itself.
func (l Load) Corners(ink []paths.Stroke, found []weave.Place) []Corner {
	const (
		edge  = 2.  // mm within the load
		apart = 4.  // mm
		most  = 120 // corners
	)
	var all []paths.Point
	far, end := map[paths.Point]float64{}, map[paths.Point]bool{}
	add := func(p paths.Point, isEnd bool) {
		all, far[p], end[p] = append(all, p), math.Inf(1), isEnd
		for _, m := range l.Meets {
			far[p] = min(far[p], l.Grid.At(m.Place).Dist(p))
		}
	}
	covers := newCover(ink, l.Box)
	for k, s := range ink {
		for i := 1; i < len(s); i++ {
			if p := s[i].Start(); isTurn(s[i-1], s[i]) && l.Box.Grow(-edge).Contains(p) {
				add(p, false)
			}
		}
		if s.IsClosed() || s.IsDot() {
			continue
		}
		for _, p := range []paths.Point{s.Start(), s.End()} {
			if l.Box.Contains(p) && !covers.at(p, k) {
				add(p, true)
			}
		}
	}
	slices.SortFunc(all, func(a, b paths.Point) int {
		return cmp.Or(cmp.Compare(far[a], far[b]), cmp.Compare(a.Y, b.Y), cmp.Compare(a.X, b.X))
	})
	_, kept := pathsnear.Leaders(all, apart, nil)
	var out []Corner
	for _, i := range kept[:min(most, len(kept))] {
		p := l.Grid.PlaceOf(all[i])
		if !near(p, found, apart/l.Grid.Across, apart/l.Grid.Along) {
			out = append(out, Corner{p, end[all[i]]})
		}
	}
	return out
}

// A cover knows where ink is, to find the ends of lines that other ink passes over.
type cover struct {
	curves []paths.Curve
	stroke []int // that each curve is of
	index  *pathsnear.Curves
}

// hides is how near ink passes to the end of a line that nobody sees for it, in mm.
const hides = 0.5

// newCover knows the ink that comes into a box.
func newCover(ink []paths.Stroke, box paths.Rect) *cover {
	c := &cover{}
	for i, s := range ink {
		if !s.Bounds().Grow(hides).Overlaps(box) {
			continue
		}
		for _, curve := range s {
			c.curves, c.stroke = append(c.curves, curve), append(c.stroke, i)
		}
	}
	c.index = pathsnear.NewCurves(len(c.curves), func(i int) paths.Curve { return c.curves[i] }, hides)
	return c
}

// at reports whether other ink passes the end of a stroke, so that nobody sees it: two
// earlier loads meet there.
func (c *cover) at(end paths.Point, stroke int) (hidden bool) {
	c.index.Near(end, func(i int) bool {
		if c.stroke[i] != stroke {
			_, d := pathsnear.On(c.curves[i], end)
			hidden = d < hides
		}
		return !hidden
	})
	return hidden
}

// isTurn reports whether a line that goes on from a into b turns so that a person sees it.
func isTurn(a, b paths.Curve) bool {
	p, q := a.Tangent(1), b.Tangent(0)
	return math.Abs(p.Cross(q)) > leastTurn || p.Dot(q) < 0
}
