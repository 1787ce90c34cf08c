package shape

import "weftplot/paths"

// Area is the inside of some closed polygons, under a fill rule. The edges are
// sorted into slabs of equal height, so that a point or a curve is compared
// only with edges near it.
type Area struct {
	// Edge bounds it, as curves; the polygons are within a tolerance of it.
	Edge    []paths.Stroke
	EvenOdd bool

	edges []edge
	box   paths.Rect
	near  float64 // a point this close to an edge counts as inside
	step  float64 // height of a slab
	slabs [][]int32
	work  *int // edges examined
}

type edge struct{ a, b paths.Point }

// NewArea returns the area within edges. polygons are the same edges flattened,
// each given by its corners in turn. A point as close to an edge as near, in mm,
// counts as inside. work counts the edges that are examined.
func NewArea(edges []paths.Stroke, polygons [][]paths.Point, evenOdd bool, near float64, work *int) *Area {
	a := &Area{Edge: edges, EvenOdd: evenOdd, box: paths.EmptyRect(), near: near, work: work}
	for _, pts := range polygons {
		for i, p := range pts {
			a.box = a.box.Include(p)
			if q := pts[(i+1)%len(pts)]; q != p {
				a.edges = append(a.edges, edge{p, q})
			}
		}
	}
	a.sort()
	return a
}

// sort puts the edges into slabs: as many as help, but few enough that tall
// edges do not fill the memory.
func (a *Area) sort() {
	n := min(max(1, len(a.edges)/2), 4096)
	for ; n > 1; n /= 2 {
		a.step = a.box.Height() / float64(n)
		total := 0
		for _, e := range a.edges {
			lo, hi := a.span(e.a.Y, e.b.Y, n)
			total += hi - lo + 1
		}
		if total <= 8*len(a.edges) {
			break
		}
	}
	a.step = a.box.Height() / float64(n)
	a.slabs = make([][]int32, n)
	for i, e := range a.edges {
		lo, hi := a.span(e.a.Y, e.b.Y, n)
		for k := lo; k <= hi; k++ {
			a.slabs[k] = append(a.slabs[k], int32(i))
		}
	}
}

// span returns the first and last of n slabs that the heights between y0 and
// y1 touch.
func (a *Area) span(y0, y1 float64, n int) (lo, hi int) {
	slab := func(y float64) int {
		if a.step == 0 {
			return 0
		}
		return int(min(max((y-a.box.Min.Y)/a.step, 0), float64(n-1)))
	}
	return slab(min(y0, y1)), slab(max(y0, y1))
}

// eachNear calls f once with each edge whose slabs the heights touch.
func (a *Area) eachNear(y0, y1 float64, f func(edge)) {
	if len(a.edges) == 0 {
		return
	}
	n := len(a.slabs)
	lo, hi := a.span(y0, y1, n)
	for k := lo; k <= hi; k++ {
		*a.work += 1 + len(a.slabs[k])
		for _, i := range a.slabs[k] {
			e := a.edges[i]
			if first, _ := a.span(e.a.Y, e.b.Y, n); k == max(first, lo) {
				f(e)
			}
		}
	}
}

// contains reports whether p lies in the area. rim says whether a point so near the edge
// that it is on a line along it counts as inside.
func (a *Area) contains(p paths.Point, rim bool) bool {
	if !a.box.Grow(a.near).Contains(p) {
		return false
	}
	winding, close := 0, false
	a.eachNear(p.Y-a.near, p.Y+a.near, func(e edge) {
		if !close {
			_, d := paths.Line{A: e.a, B: e.b}.Nearest(p)
			close = d <= a.near
		}
		if (e.a.Y <= p.Y) != (e.b.Y <= p.Y) {
			side := e.b.Sub(e.a).Cross(p.Sub(e.a))
			if e.b.Y > e.a.Y && side > 0 {
				winding++
			} else if e.b.Y < e.a.Y && side < 0 {
				winding--
			}
		}
	})
	if close {
		return rim
	}
	if a.EvenOdd {
		return winding%2 != 0
	}
	return winding != 0
}
