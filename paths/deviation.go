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
	pts := a.Flatten(res / 4)
	ix := newSegments(b.Flatten(res / 4))
	d0, s0 := ix.nearest(pts[0])
	worst := d0
	for i := 1; i < len(pts); i++ {
		d1, s1 := ix.nearest(pts[i])
		worst = max(worst, d1, ix.between(pts[i-1], pts[i], d0, d1, s0, s1, worst, res/2))
		d0, s0 = d1, s1
	}
	return worst
}

// between returns the greatest distance between two points whose distances and
// nearest segments are known, to within slack; or a lesser value, if the
// greatest is at most slack above what was found before.
func (ix *segments) between(p, q Point, d0, d1 float64, s0, s1 int, before, slack float64) float64 {
	worst := max(d0, d1)
	if s0 == s1 || (d0+d1+p.Dist(q))/2 <= max(before, worst)+slack {
		return worst
	}
	m := p.Lerp(q, 0.5)
	dm, sm := ix.nearest(m)
	worst = max(worst, dm, ix.between(p, m, d0, dm, s0, sm, max(before, worst), slack))
	return max(worst, ix.between(m, q, dm, d1, sm, s1, max(before, worst), slack))
}

// segments finds the nearest piece of a polyline through a grid of cells.
type segments struct {
	pts  []Point
	cell float64
	min  Point
	grid map[[2]int][]int
}

func newSegments(pts []Point) *segments {
	if len(pts) == 1 {
		pts = []Point{pts[0], pts[0]}
	}
	ix := &segments{pts: pts}
	if len(pts) <= 8 {
		return ix // so few that checking each is cheaper
	}
	box := EmptyRect()
	length := 0.0
	for i, p := range pts {
		box = box.Include(p)
		if i > 0 {
			length += p.Dist(pts[i-1])
		}
	}
	size := max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y)
	ix.cell = max(2*length/float64(len(pts)), size/1024, 1e-6)
	ix.min = box.Min
	ix.grid = map[[2]int][]int{}
	for i := 1; i < len(pts); i++ {
		ix.put(i)
	}
	return ix
}

func (ix *segments) key(p Point) [2]int {
	return [2]int{int(math.Floor((p.X - ix.min.X) / ix.cell)), int(math.Floor((p.Y - ix.min.Y) / ix.cell))}
}

// put enters segment i in every cell that it passes, and at its corners in some
// that it does not.
func (ix *segments) put(i int) {
	a, b := ix.pts[i-1], ix.pts[i]
	n := int(a.Dist(b)/ix.cell*2) + 1
	before := [2]int{math.MinInt, 0}
	for k := 0; k <= n; k++ {
		c := ix.key(a.Lerp(b, float64(k)/float64(n)))
		if c == before {
			continue
		}
		for dx := -1; dx <= 1; dx++ {
			for dy := -1; dy <= 1; dy++ {
				at := [2]int{c[0] + dx, c[1] + dy}
				if l := ix.grid[at]; len(l) == 0 || l[len(l)-1] != i {
					ix.grid[at] = append(l, i)
				}
			}
		}
		before = c
	}
}

// nearest returns the distance to the nearest segment, and which it is.
func (ix *segments) nearest(p Point) (float64, int) {
	if ix.grid == nil {
		return ix.nearestOfAll(p)
	}
	// Every segment is entered in the cells around those that it passes, so
	// one nearer than half a cell is found in the point's own.
	best, at := math.Inf(1), 0
	for _, i := range ix.grid[ix.key(p)] {
		if d := (Line{ix.pts[i-1], ix.pts[i]}).Dist(p); d < best {
			best, at = d, i
		}
	}
	if best <= ix.cell/2 {
		return best, at
	}
	return ix.nearestOfAll(p)
}

func (ix *segments) nearestOfAll(p Point) (float64, int) {
	best, at := math.Inf(1), 0
	for i := 1; i < len(ix.pts); i++ {
		if d := (Line{ix.pts[i-1], ix.pts[i]}).Dist(p); d < best {
			best, at = d, i
		}
	}
	return best, at
}
