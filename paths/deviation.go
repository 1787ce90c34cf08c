package paths

import "math"

// Deviation returns how far a strays from b: the greatest distance of a point
// of a from the nearest point of b, in mm, to within res. It is directed; ask
// both ways for the Hausdorff distance. An empty a strays by 0, any a from an
// empty b by +Inf. The cost is about linear in the vertices of two strokes that
// lie close together.
//
// Along a straight piece the distance to one segment is convex, and the
// distance to the nearest segment changes by no more than the point moves. So a
// piece whose two ends are nearest to the same segment is not searched between
// them, and other pieces are halved only while they could still hold a greater
// distance.
func Deviation(a, b Stroke, res float64) float64 {
	if len(a) == 0 {
		return 0
	}
	if len(b) == 0 {
		return math.Inf(1)
	}
	return newSegments(b.Flatten(res/4)).strayed(a.Flatten(res/4), 0, res)
}

// Apart returns how far two strokes stray from each other, in mm, to within res: the
// greater of both deviations, which is their Hausdorff distance. Two empty ones are 0
// apart, one and another +Inf.
func Apart(a, b Stroke, res float64) float64 {
	if len(a) == 0 || len(b) == 0 {
		return max(Deviation(a, b, res), Deviation(b, a, res))
	}
	p, q := a.Flatten(res/4), b.Flatten(res/4)
	return max(newSegments(q).strayed(p, 0, res), newSegments(p).strayed(q, 0, res))
}

// AreWithin reports whether two strokes stray no farther than tol mm from each other. What
// is farther by less than res may still count. It costs less than [Apart], because it need
// not know how far they do stray.
func AreWithin(a, b Stroke, tol, res float64) bool {
	if len(a) == 0 || len(b) == 0 {
		return len(a) == len(b)
	}
	if alongside(a, b, tol) {
		return true
	}
	p, q := a.Flatten(res/4), b.Flatten(res/4)
	return newSegments(q).strayed(p, tol, res) <= tol && newSegments(p).strayed(q, tol, res) <= tol
}

// strayed returns how far the polyline through pts strays from the segments, to within
// half of res; where that is no more than enough, it may return another value that is
// no more either.
func (ix *segments) strayed(pts []Point, enough, res float64) float64 {
	d0, s0 := ix.near(pts[0], 1, enough)
	worst := d0
	for i := 1; i < len(pts); i++ {
		d1, s1 := ix.near(pts[i], s0, enough)
		worst = max(worst, d1, ix.between(pts[i-1], pts[i], d0, d1, s0, s1, max(worst, enough), res/2, enough))
		d0, s0 = d1, s1
	}
	return worst
}

// between returns the greatest distance between two points of which a distance to a
// segment is known, and which segment that is, to within slack; or a lesser value, if
// the greatest is at most slack above what was found before.
func (ix *segments) between(p, q Point, d0, d1 float64, s0, s1 int, before, slack, enough float64) float64 {
	worst := max(d0, d1)
	if s0 == s1 || (d0+d1+math.Sqrt(q.Sub(p).Dot(q.Sub(p))))/2 <= max(before, worst)+slack {
		return worst
	}
	m := p.Lerp(q, 0.5)
	dm, sm := ix.near(m, s0, enough)
	worst = max(worst, dm, ix.between(p, m, d0, dm, s0, sm, max(before, worst), slack, enough))
	return max(worst, ix.between(m, q, dm, d1, sm, s1, max(before, worst), slack, enough))
}

// near is nearest, unless a segment about the one that was near the point before is no
// more than enough away: in a path that goes past itself a thousand times, the others
// need not be looked at to know that it follows its image.
func (ix *segments) near(p Point, about int, enough float64) (float64, int) {
	if enough > 0 {
		best, at := math.Inf(1), about
		for i := max(1, about-1); i <= min(len(ix.pts)-1, about+2); i++ {
			if d := (Line{ix.pts[i-1], ix.pts[i]}).distSq(p); d < best {
				best, at = d, i
			}
		}
		if d := math.Sqrt(best); d <= enough {
			return d, at
		}
	}
	return ix.nearest(p)
}

// segments finds the nearest piece of a polyline through a grid of cells, which
// each list the segments that come into them, or nearly.
type segments struct {
	pts    []Point
	cell   float64 // side in mm; 0 for no grid
	box    Rect
	nx, ny int
	start  []int32 // by cell, where its list starts in list
	list   []int32
}

// fewSegments is how many points are looked at one by one.
const fewSegments = 8

func newSegments(pts []Point) *segments {
	if len(pts) == 1 {
		pts = []Point{pts[0], pts[0]}
	}
	ix := &segments{pts: pts}
	if len(pts) <= fewSegments {
		return ix // so few that checking each is cheaper
	}
	ix.box = RectOf(pts...)
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
	return ix
}

// column and row of the cell that holds p, or of the one nearest to it.
func (ix *segments) key(p Point) (x, y int) {
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
			part := RectOf(from, to)
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

// nearest returns the distance to the nearest segment, and which it is: the
// first of those that are equally near.
func (ix *segments) nearest(p Point) (float64, int) {
	best, at := math.Inf(1), 0
	look := func(i int) {
		if d := (Line{ix.pts[i-1], ix.pts[i]}).distSq(p); d < best || d == best && i < at {
			best, at = d, i
		}
	}
	if ix.cell == 0 {
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
		return (Line{ix.pts[0], ix.pts[1]}).Dist(p), 1
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

// distSq returns the square of the distance of p from the line.
func (l Line) distSq(p Point) float64 {
	ux, uy, vx, vy := l.B.X-l.A.X, l.B.Y-l.A.Y, p.X-l.A.X, p.Y-l.A.Y
	if along, length := ux*vx+uy*vy, ux*ux+uy*uy; along >= length {
		vx, vy = p.X-l.B.X, p.Y-l.B.Y
	} else if along > 0 {
		t := along / length
		vx, vy = vx-t*ux, vy-t*uy
	}
	return vx*vx + vy*vy
}
