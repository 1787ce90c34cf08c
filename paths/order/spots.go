package order

import (
	"math"
	"slices"

	"weftplot/paths"
)

// A target is an end and how far away it is.
type target struct {
	d   float64
	end int32
}

// A spotGrid finds the spots nearest to a point: square cells with about two
// spots each, searched in rings.
type spotGrid struct {
	spots  []spot // by cell
	start  []int32
	min    paths.Point
	cell   float64
	nx, ny int
}

func newSpotGrid(spots []spot) *spotGrid {
	box := paths.EmptyRect()
	for _, s := range spots {
		box = box.Include(s.p)
	}
	n := float64(len(spots))
	g := &spotGrid{min: box.Min}
	g.cell = max(math.Sqrt(2*box.Width()*box.Height()/n), 2*(box.Width()+box.Height())/n, 1e-9)
	g.nx, g.ny = int(box.Width()/g.cell)+1, int(box.Height()/g.cell)+1
	g.start = make([]int32, g.nx*g.ny+1)
	for _, s := range spots {
		g.start[g.cellOf(s.p)+1]++
	}
	for c := range g.nx * g.ny {
		g.start[c+1] += g.start[c]
	}
	g.spots = make([]spot, len(spots))
	fill := slices.Clone(g.start)
	for _, s := range spots {
		c := g.cellOf(s.p)
		g.spots[fill[c]] = s
		fill[c]++
	}
	return g
}

func (g *spotGrid) cellOf(p paths.Point) int {
	x, y := g.xy(p)
	return y*g.nx + x
}

func (g *spotGrid) xy(p paths.Point) (x, y int) {
	return min(g.nx-1, max(0, int((p.X-g.min.X)/g.cell))), min(g.ny-1, max(0, int((p.Y-g.min.Y)/g.cell)))
}

// near returns the k nearest ends to p of other strokes than its own, and the
// nearest perQuadrant in each quadrant that is not too empty, nearest first.
func (g *spotGrid) near(p paths.Point, own int32, k, perQuadrant int) []target {
	var quad [4][]target
	count := 0
	cx, cy := g.xy(p)
	limit := max(g.nx, g.ny)
	for r := 0; r <= limit; r++ {
		g.ring(cx, cy, r, func(s spot) {
			if s.end>>1 == own {
				return
			}
			d := s.p.Dist(p)
			q := 0
			if s.p.X < p.X {
				q = 1
			}
			if s.p.Y < p.Y {
				q += 2
			}
			quad[q], count = insert(quad[q], target{d, s.end}, k, count)
		})
		if count >= k && float64(r)*g.cell >= enough(quad, k, perQuadrant, r) {
			break
		}
	}
	return choose(quad, k, perQuadrant)
}

// farthestRing is how many cells off a search for quadrants that are empty near
// by is given up.
const farthestRing = 12

// enough returns how far the search must have gone: to the k-th nearest, and to
// the last wanted in each quadrant.
func enough(quad [4][]target, k, perQuadrant, ring int) float64 {
	var all []float64
	for _, q := range quad {
		for _, t := range q {
			all = append(all, t.d)
		}
	}
	slices.Sort(all)
	far := all[k-1]
	if ring >= farthestRing {
		return far
	}
	for _, q := range quad {
		if len(q) < perQuadrant {
			return math.Inf(1)
		}
		far = max(far, q[perQuadrant-1].d)
	}
	return far
}

// insert keeps list sorted, at most k long, with each end once.
func insert(list []target, t target, k, count int) ([]target, int) {
	for i, o := range list {
		if o.end == t.end {
			if t.d >= o.d {
				return list, count
			}
			list = slices.Delete(list, i, i+1)
			count--
			break
		}
	}
	if len(list) == k {
		if t.d >= list[k-1].d {
			return list, count
		}
		list = list[:k-1]
		count--
	}
	i := len(list)
	for i > 0 && list[i-1].d > t.d {
		i--
	}
	return slices.Insert(list, i, t), count + 1
}

// choose returns the k nearest of all quadrants and the first of each.
func choose(quad [4][]target, k, perQuadrant int) []target {
	var out []target
	var next [4]int
	for q := range quad {
		next[q] = min(perQuadrant, len(quad[q]))
		out = append(out, quad[q][:next[q]]...)
	}
	var rest []target
	for q := range quad {
		rest = append(rest, quad[q][next[q]:]...)
	}
	slices.SortFunc(rest, nearer)
	slices.SortFunc(out, nearer)
	all := out
	for _, t := range rest {
		// t is among the k nearest if fewer than k chosen ones are nearer.
		closer := 0
		for _, o := range all {
			if o.d <= t.d {
				closer++
			}
		}
		if closer >= k {
			break
		}
		all = append(all, t)
	}
	slices.SortFunc(all, nearer)
	// A loop can be met in two quadrants.
	return slices.CompactFunc(all, func(a, b target) bool { return a.end == b.end })
}

func nearer(a, b target) int {
	switch {
	case a.d < b.d:
		return -1
	case a.d > b.d:
		return 1
	}
	return int(a.end - b.end)
}

// ring calls f with the spots in the cells r cells away.
func (g *spotGrid) ring(cx, cy, r int, f func(spot)) {
	row := func(y, x0, x1 int) {
		if y < 0 || y >= g.ny {
			return
		}
		x0, x1 = max(0, x0), min(g.nx-1, x1)
		if x0 > x1 {
			return
		}
		for _, s := range g.spots[g.start[y*g.nx+x0]:g.start[y*g.nx+x1+1]] {
			f(s)
		}
	}
	if r == 0 {
		row(cy, cx, cx)
		return
	}
	row(cy-r, cx-r, cx+r)
	row(cy+r, cx-r, cx+r)
	for y := cy - r + 1; y < cy+r; y++ {
		if cx-r >= 0 {
			row(y, cx-r, cx-r)
		}
		if cx+r < g.nx {
			row(y, cx+r, cx+r)
		}
	}
}

// nearLoop returns the ends nearest to any of the points of a loop.
func (g *spotGrid) nearLoop(points []paths.Point, own int32) []target {
	const asked = 8 // points of the loop
	best := map[int32]float64{}
	var ends []int32
	step := max(1, len(points)/asked)
	for i := 0; i < len(points); i += step {
		for _, t := range g.near(points[i], own, 5, 1) {
			d, ok := best[t.end]
			if !ok {
				ends = append(ends, t.end)
			}
			if !ok || t.d < d {
				best[t.end] = t.d
			}
		}
	}
	out := make([]target, len(ends))
	for i, e := range ends {
		out[i] = target{best[e], e}
	}
	slices.SortFunc(out, nearer)
	return out[:min(len(out), 2*nearestKept)]
}
