package near

import (
	"cmp"
	"iter"
	"math"
	"slices"

	"weftplot/paths"
)

// Points finds points by where they are, through a grid of square cells with
// about two points each. Building takes O(n) time. A query takes time in
// proportion to the cells it looks at and the points in them: about constant,
// plus the size of the answer, where the points are spread evenly, and at worst
// O(n) where they pile up in one place.
type Points struct {
	at    []paths.Point
	cells *Cells
}

// NewPoints returns the index of the points, which it keeps and which must not
// change. They are known by their numbers in the list.
func NewPoints(at []paths.Point) *Points {
	box, n := paths.RectOf(at...), float64(len(at))
	side := max(math.Sqrt(2*box.Width()*box.Height()/n), 2*(box.Width()+box.Height())/n, 1e-9)
	return &Points{at, NewCells(box, side, len(at), func(i int, put func(paths.Rect)) { put(paths.Rect{Min: at[i], Max: at[i]}) })}
}

// At returns point i.
func (g *Points) At(i int) paths.Point { return g.at[i] }

// In yields the points that lie in r or on its edge, each once, cell by cell.
func (g *Points) In(r paths.Rect) iter.Seq[int] {
	return func(yield func(int) bool) {
		c := g.cells
		if len(g.at) == 0 || r.IsEmpty() {
			return
		}
		x0, y0 := c.xy(r.Min)
		x1, y1 := c.xy(r.Max)
		for y := y0; y <= y1; y++ {
			for _, i := range c.row(y, x0, x1) {
				if r.Contains(g.at[i]) && !yield(int(i)) {
					return
				}
			}
		}
	}
}

// Within yields the points no farther than d mm from p, each once, cell by cell.
func (g *Points) Within(p paths.Point, d float64) iter.Seq[int] {
	return func(yield func(int) bool) {
		rounding := 1e-15 * (math.Abs(p.X) + math.Abs(p.Y) + d)
		for i := range g.In(paths.Rect{Min: p, Max: p}.Grow(d + rounding)) {
			if g.at[i].Dist(p) <= d && !yield(i) {
				return
			}
		}
	}
}

// Nearest returns the k points nearest to p, nearest first, and of points
// equally far the one with the lower number first; all points when there are
// fewer than k.
func (g *Points) Nearest(p paths.Point, k int) []int {
	type found struct {
		d float64
		i int
	}
	var list []found
	for r := 0; r <= g.Rings() && k > 0; r++ {
		for i := range g.Ring(p, r) {
			list = append(list, found{g.at[i].Dist(p), i})
		}
		slices.SortFunc(list, func(a, b found) int { return cmp.Or(cmp.Compare(a.d, b.d), cmp.Compare(a.i, b.i)) })
		list = list[:min(k, len(list))]
		if len(list) == k && list[k-1].d < g.Beyond(r) {
			break
		}
	}
	out := make([]int, len(list))
	for n, f := range list {
		out[n] = f.i
	}
	return out
}

// Rings returns the number of the last ring round any point that can hold
// points.
func (g *Points) Rings() int { return max(g.cells.nx, g.cells.ny) }

// Beyond returns a lower bound, in mm, on the distance from p of every point
// outside rings 0 to r around p.
func (g *Points) Beyond(r int) float64 { return float64(r) * g.cells.side }

// Ring yields the points in the cells that are r cells away from the cell of p.
// The rings from 0 to [Points.Rings] together yield each point once.
func (g *Points) Ring(p paths.Point, r int) iter.Seq[int] {
	return func(yield func(int) bool) {
		for run := range g.RingRuns(p, r) {
			for _, i := range run {
				if !yield(int(i)) {
					return
				}
			}
		}
	}
}

// RingRuns yields the points of [Points.Ring] in the same order, many at a time, which is
// faster. The caller must not change them.
func (g *Points) RingRuns(p paths.Point, r int) iter.Seq[[]int32] {
	return func(yield func([]int32) bool) {
		c := g.cells
		if len(g.at) == 0 {
			return
		}
		cx, cy := c.xy(p)
		row := func(y, x0, x1 int) bool {
			x0, x1 = max(0, x0), min(c.nx-1, x1)
			if y < 0 || y >= c.ny || x0 > x1 {
				return true
			}
			return yield(c.row(y, x0, x1))
		}
		if r == 0 {
			row(cy, cx, cx)
			return
		}
		if !row(cy-r, cx-r, cx+r) || !row(cy+r, cx-r, cx+r) {
			return
		}
		for y := cy - r + 1; y < cy+r; y++ {
			if cx-r >= 0 && !row(y, cx-r, cx-r) || cx+r < c.nx && !row(y, cx+r, cx+r) {
				return
			}
		}
	}
}
