package scan

import (
	"slices"

	"weftplot/paths"
)

// knot is a place where lines meet: nodes that lie closer than lines can be told
// apart.
type knot struct {
	nodes []int
	arms  []arm
}

// arm is a line that leaves a knot.
type arm struct {
	end
	// keep is how many pixels of it, from the knot, run into other lines.
	keep float64
	// apart is how near to others it then still comes.
	apart float64
	ray
}

// link says how a line goes on at one of its ends.
type link struct {
	// to is the end it goes on from, where goes is true.
	to   end
	goes bool
	// at is the corner in which it does, or else the place on another line where
	// it ends, where fixed is true.
	at    paths.Point
	fixed bool
}

// weaver rebuilds what lies under the thinned lines near junctions, where
// thinning bends and splits them.
type weaver struct {
	g     *graph
	k     ink
	knots []knot
	// lines are the points of each edge that can be trusted, on the middle of the
	// ink; empty for those that are part of a knot.
	lines [][]paths.Point
	links map[end]link
	gone  []bool // edges that are part of a knot
	// knotOf is the knot that each node is in.
	knotOf map[int]int
}

// weave finds the knots of a graph and how lines go through them.
func weave(g *graph, k ink) *weaver {
	w := &weaver{g: g, k: k, links: map[end]link{}, gone: make([]bool, len(g.edges)), lines: make([][]paths.Point, len(g.edges))}
	for i, e := range g.edges {
		w.gone[i] = e.gone
	}
	w.tie(func(i int) bool { return g.edges[i].length() < 1.1*k.width })
	w.measure()
	w.tie(w.crossesFlat)
	for i := range w.knots {
		w.pair(&w.knots[i])
	}
	return w
}

// tie joins the nodes of edges that short tells of into knots, and what were
// knots before.
func (w *weaver) tie(short func(int) bool) {
	parent := make([]int, len(w.g.nodes))
	for i := range parent {
		parent[i] = i
	}
	find := func(i int) int {
		for parent[i] != i {
			i = parent[i]
		}
		return i
	}
	join := func(a, b int) {
		if a, b = find(a), find(b); a != b {
			parent[max(a, b)] = min(a, b)
		}
	}
	for _, k := range w.knots {
		for _, n := range k.nodes {
			join(k.nodes[0], n)
		}
	}
	for i, e := range w.g.edges {
		if !w.gone[i] && !e.isRing() && len(w.g.nodes[e.a].ends) > 1 && len(w.g.nodes[e.b].ends) > 1 && short(i) {
			w.gone[i] = true
			join(e.a, e.b)
		}
	}
	old := w.rays()
	id := map[int]int{}
	w.knots, w.knotOf = nil, map[int]int{}
	for i, n := range w.g.nodes {
		if len(n.ends) < 2 {
			continue
		}
		root := find(i)
		at, ok := id[root]
		if !ok {
			at = len(w.knots)
			id[root] = at
			w.knots = append(w.knots, knot{})
		}
		w.knotOf[i] = at
		k := &w.knots[at]
		k.nodes = append(k.nodes, i)
		for _, e := range n.ends {
			if !w.gone[e.edge] {
				a := old[e]
				a.end = e
				k.arms = append(k.arms, a)
			}
		}
	}
}

// rays returns the arms of all knots by their end.
func (w *weaver) rays() map[end]arm {
	out := map[end]arm{}
	for _, k := range w.knots {
		for _, a := range k.arms {
			out[a.end] = a
		}
	}
	return out
}

// trimTip makes a corner of a knot that is an acute tip: two lines that ran into
// each other and then on, as one, to where they meet.
func (w *weaver) trimTip(k *knot) {
	if len(k.arms) != 3 {
		return
	}
	for i, tip := range k.arms {
		far := w.g.nodes[w.g.node(tip.other())]
		if len(far.ends) != 1 || w.g.edges[tip.edge].length() > 6*w.k.width {
			continue
		}
		a, b := k.arms[(i+1)%3], k.arms[(i+2)%3]
		at, ok := a.meet(b.ray)
		if !ok || turn(a.dir, b.dir.Mul(-1)) < 100*degree || at.Dist(far.at) > 0.8*w.k.width {
			continue
		}
		w.gone[tip.edge], w.lines[tip.edge] = true, nil
		w.join(a, b, link{at: at, fixed: true})
		k.arms = nil
		return
	}
}

// crossesFlat reports whether an edge is where two lines that cross at a flat
// angle, or touch, run into one: of the two at each of its ends one is in line
// with each at the other.
func (w *weaver) crossesFlat(id int) bool {
	e := w.g.edges[id]
	if e.length() > 10*w.k.width || e.a == e.b {
		return false
	}
	a, b := w.armsBut(e.a, id), w.armsBut(e.b, id)
	if len(a) != 2 || len(b) != 2 {
		return false
	}
	fits := func(r, s ray) bool {
		gap := s.at.Sub(r.at)
		in, out := turn(r.dir, gap), turn(gap, s.dir.Mul(-1))
		return in < 16*degree && out < 16*degree
	}
	return fits(a[0].ray, b[0].ray) && fits(a[1].ray, b[1].ray) || fits(a[0].ray, b[1].ray) && fits(a[1].ray, b[0].ray)
}

// armsBut returns the arms of the knot that node n is in, without those of edge e.
func (w *weaver) armsBut(n, e int) []arm {
	var out []arm
	for _, a := range w.knots[w.knotOf[n]].arms {
		if a.edge != e {
			out = append(out, a)
		}
	}
	return out
}

// breadth returns the width of most of the lines between half and half of their
// darkness, in pixels.
func (w *weaver) breadth() float64 {
	var list []float64
	for _, pts := range w.lines {
		for i := 5; i < len(pts)-5; i += 10 {
			if b, ok := w.k.breadth(pts[i], direction(pts, i, 5, false).Left()); ok {
				list = append(list, b)
			}
		}
	}
	if len(list) == 0 {
		return w.k.width
	}
	slices.Sort(list)
	return list[len(list)/2]
}
