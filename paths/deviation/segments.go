package deviation

import (
	"math"

	"weftplot/paths"
)

// segments finds the nearest piece of a polyline through a grid of cells, which
// each list the segments that come into them, or nearly.
type segments struct {
	pts    []paths.Point
	cell   float64 // side in mm; 0 for no grid
	box    paths.Rect
	nx, ny int
	start  []int32 // by cell, where its list starts in list
	list   []int32
}

// fewSegments is the most points of a polyline that is searched without a grid.
const fewSegments = 8

func newSegments(pts []paths.Point) *segments {
	if len(pts) == 1 {
		pts = []paths.Point{pts[0], pts[0]}
	}
	return &segments{pts: pts}
}

// lay makes the grid. It is made when it is asked for first, since strokes that lie close
// together are mostly compared without it.
func (ix *segments) lay() {
	pts := ix.pts
	ix.box = paths.RectOf(pts...)
	length := 0.0
	for i := 1; i < len(pts); i++ {
		length += pts[i].Dist(pts[i-1])
	}
	// No more than about eight cells to a segment, and eight entries in cells.
	w, h, n := ix.box.Width(), ix.box.Height(), float64(len(pts))
	ix.cell = max(length/n, math.Sqrt(w*h/(8*n)), (w+h)/(8*n), 1e-6)
	ix.nx, ix.ny = int(w/ix.cell)+1, int(h/ix.cell)+1
	ix.start = make([]int32, ix.nx*ix.ny+1)
	ix.each(func(cell, _ int) { ix.start[cell+1]++ })
	for k := range ix.nx * ix.ny {
		ix.start[k+1] += ix.start[k]
	}
	ix.list = make([]int32, ix.start[ix.nx*ix.ny])
	fill := append([]int32(nil), ix.start...)
	ix.each(func(cell, i int) {
		ix.list[fill[cell]] = int32(i)
		fill[cell]++
	})
}

// key returns the column and row of the cell that holds p, or of the one nearest to it.
func (ix *segments) key(p paths.Point) (x, y int) {
	return min(ix.nx-1, max(0, int((p.X-ix.box.Min.X)/ix.cell))), min(ix.ny-1, max(0, int((p.Y-ix.box.Min.Y)/ix.cell)))
}

// each calls enter for every segment, named by its second point, with the cells
// that the boxes of its parts touch: parts no longer than a cell.
func (ix *segments) each(enter func(cell, i int)) {
	for i := 1; i < len(ix.pts); i++ {
		a, b := ix.pts[i-1], ix.pts[i]
		n := int(a.Dist(b)/ix.cell) + 1
		from := a
		for k := 1; k <= n; k++ {
			to := b
			if k < n {
				to = a.Lerp(b, float64(k)/float64(n))
			}
			part := paths.RectOf(from, to)
			x0, y0 := ix.key(part.Min)
			x1, y1 := ix.key(part.Max)
			for y := y0; y <= y1; y++ {
				for x := x0; x <= x1; x++ {
					enter(y*ix.nx+x, i)
				}
			}
			from = to
		}
	}
}

// near returns the distance to a segment a little on from the one numbered about, or just
// before it, and its number, if that distance is at most enough, and else what nearest
// returns. The segment that was near the point before usually will do, and the others need
// not be looked at.
func (ix *segments) near(p paths.Point, about int, enough float64) (float64, int) {
	if enough > 0 {
		for i := about; i < min(len(ix.pts), about+ahead); i++ {
			if d := math.Sqrt(ix.distSq(i, p)); d <= enough {
				return d, i
			}
		}
		if about > 1 {
			if d := math.Sqrt(ix.distSq(about-1, p)); d <= enough {
				return d, about - 1
			}
		}
	}
	return ix.nearest(p)
}

// ahead is how many segments are looked at before the grid is.
const ahead = 8

// distSq returns the square of the distance from a point to a segment.
func (ix *segments) distSq(i int, p paths.Point) float64 {
	return paths.Line{A: ix.pts[i-1], B: ix.pts[i]}.DistSq(p)
}

// nearest returns the distance to the nearest segment, and which it is: the
// first of those that are equally near.
func (ix *segments) nearest(p paths.Point) (float64, int) {
	best, at := math.Inf(1), 0
	look := func(i int) {
		if d := ix.distSq(i, p); d < best || d == best && i < at {
			best, at = d, i
		}
	}
	if ix.cell == 0 && len(ix.pts) > fewSegments {
		ix.lay()
	}
	if ix.cell == 0 { // so few that checking each is cheaper
		for i := 1; i < len(ix.pts); i++ {
			look(i)
		}
	} else {
		// Ring by ring round the cell of the point of the box nearest to p, which is
		// no farther than p from any other point of the box.
		x, y := ix.key(p)
		fx, fy := p.X-ix.box.Min.X-float64(x)*ix.cell, p.Y-ix.box.Min.Y-float64(y)*ix.cell
		inside := max(0, min(fx, ix.cell-fx, fy, ix.cell-fy)) // how far p is from the edge of its cell
		for r := range max(ix.nx, ix.ny) {
			if beyond := float64(r-1)*ix.cell + inside; r > 0 && best <= beyond*beyond {
				break
			}
			ix.ring(x, y, r, look)
		}
	}
	if at == 0 { // distances too large to be squared
		return (paths.Line{A: ix.pts[0], B: ix.pts[1]}).Dist(p), 1
	}
	return math.Sqrt(best), at
}

// ring calls look with the segments in the cells r away from one.
func (ix *segments) ring(cx, cy, r int, look func(i int)) {
	row := func(y, x0, x1 int) {
		if x0, x1 = max(0, x0), min(ix.nx-1, x1); y < 0 || y >= ix.ny || x0 > x1 {
			return
		}
		for _, i := range ix.list[ix.start[y*ix.nx+x0]:ix.start[y*ix.nx+x1+1]] {
			look(int(i))
		}
	}
	row(cy-r, cx-r, cx+r)
	if r == 0 {
		return
	}
	row(cy+r, cx-r, cx+r)
	for y := cy - r + 1; y < cy+r; y++ {
		if cx-r >= 0 {
			row(y, cx-r, cx-r)
		}
		if cx+r < ix.nx {
			row(y, cx+r, cx+r)
		}
	}
}
