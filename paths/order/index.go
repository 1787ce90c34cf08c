package order

import (
	"math"

	"weftplot/paths"
)

// A curveIndex finds the curves near a point. The plane is divided into square
// cells, and each cell lists the curves whose boxes, taken in parts no longer
// than a cell, reach into it.
type curveIndex struct {
	cell   float64
	min    paths.Point
	nx, ny int
	start  []int32 // where a cell's list starts in items
	items  []int32
	seen   []int32 // by curve: the last query that met it
	query  int32
}

// newCurveIndex returns an index of n curves for queries up to reach mm away.
func newCurveIndex(n int, curve func(int) paths.Curve, reach float64) *curveIndex {
	box, length := paths.EmptyRect(), 0.
	lengths := make([]float64, n)
	for i := range n {
		box = box.Union(curve(i).Bounds())
		lengths[i] = curve(i).Length()
		length += lengths[i]
	}
	box = box.Grow(reach)
	x := &curveIndex{min: box.Min, seen: make([]int32, n)}
	if n == 0 {
		return x
	}
	// Cells short enough that few curves share one, and few enough in number.
	x.cell = max(length/float64(16*n), 4*reach, math.Sqrt(box.Width()*box.Height()/float64(8*n)),
		(box.Width()+box.Height())/float64(8*n), 1e-9)
	x.nx, x.ny = int(box.Width()/x.cell)+1, int(box.Height()/x.cell)+1

	type entry struct{ cell, item int32 }
	var entries []entry
	for i := range n {
		parts := max(1, int(math.Ceil(lengths[i]/x.cell)))
		for k := range parts {
			part := paths.Sub(curve(i), float64(k)/float64(parts), float64(k+1)/float64(parts))
			b := part.Bounds().Grow(reach)
			x0, y0 := x.at(b.Min)
			x1, y1 := x.at(b.Max)
			for cy := y0; cy <= y1; cy++ {
				for cx := x0; cx <= x1; cx++ {
					entries = append(entries, entry{int32(cy*x.nx + cx), int32(i)})
				}
			}
		}
	}
	x.start = make([]int32, x.nx*x.ny+1)
	for _, e := range entries {
		x.start[e.cell+1]++
	}
	for c := range x.nx * x.ny {
		x.start[c+1] += x.start[c]
	}
	x.items = make([]int32, len(entries))
	fill := append([]int32(nil), x.start...)
	for _, e := range entries {
		x.items[fill[e.cell]] = e.item
		fill[e.cell]++
	}
	return x
}

func (x *curveIndex) at(p paths.Point) (cx, cy int) {
	return min(x.nx-1, max(0, int((p.X-x.min.X)/x.cell))),
		min(x.ny-1, max(0, int((p.Y-x.min.Y)/x.cell)))
}

// near calls f with every curve that may be within reach of p, once each, in
// ascending order within a cell, until f returns false.
func (x *curveIndex) near(p paths.Point, f func(i int) bool) {
	if len(x.start) == 0 {
		return
	}
	x.query++
	cx, cy := x.at(p)
	c := cy*x.nx + cx
	for _, i := range x.items[x.start[c]:x.start[c+1]] {
		if x.seen[i] == x.query {
			continue
		}
		x.seen[i] = x.query
		if !f(int(i)) {
			return
		}
	}
}
