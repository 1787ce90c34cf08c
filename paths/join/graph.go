package join

import (
	"weftplot/paths"
)

// A graph is a drawing as nodes and the edges between them. Each edge has two
// ends, numbered 2e at its start and 2e+1; end^1 is the other end of the edge.
type graph struct {
	parts []part
	edges []paths.Stroke
	node  []int         // by end
	dir   []paths.Point // by end: the unit direction of leaving the node
	ends  [][]int       // by node, ascending
}

// newGraph makes a graph of the pieces. Ends that meet make one node and are
// moved there.
func newGraph(pieces []part, tol float64, w *work) (*graph, error) {
	pieces, vs, ends, err := splitAtEnds(pieces, tol, w)
	if err != nil {
		return nil, err
	}
	nodes, where := meet(vs, tol)
	g := &graph{ends: make([][]int, len(where))}
	for i, p := range pieces {
		a, b := nodes[ends[i][0]], nodes[ends[i][1]]
		if a == b && p.Length() <= 2*tol && p.Start() != p.End() {
			continue // all of it lies at the node
		}
		e := len(g.edges)
		edge := weld(p.Curve, where[a], where[b])
		if len(edge) != 1 || max(p.Start().Dist(where[a]), p.End().Dist(where[b])) > 1e-9 {
			p.whole = nil // no longer a part of its source, but for rounding
		}
		g.parts = append(g.parts, p)
		g.edges = append(g.edges, edge)
		g.node = append(g.node, a, b)
		g.dir = append(g.dir, edge[0].Tangent(0), edge[len(edge)-1].Tangent(1).Mul(-1))
		g.ends[a] = append(g.ends[a], 2*e)
		g.ends[b] = append(g.ends[b], 2*e+1)
	}
	return g, nil
}

// counts returns the number of nodes and how many of them are odd.
func (g *graph) counts() (nodes, odd int) {
	for _, ends := range g.ends {
		if len(ends) > 0 {
			nodes++
		}
		odd += len(ends) % 2
	}
	return nodes, odd
}

// trails returns the drawing as the fewest strokes.
func (g *graph) trails(w *work) ([]numbered, error) {
	next := g.pairAll()
	if err := g.splice(next, w); err != nil {
		return nil, err
	}
	var out []numbered
	done := make([]bool, len(g.edges))
	for e := range g.edges {
		if done[e] {
			continue
		}
		// Back to where the trail begins, or round once.
		start := 2 * e
		for next[start] >= 0 && next[start] != 2*e+1 {
			start = next[start] ^ 1
		}
		if next[start] >= 0 {
			start = 2 * e
		}
		out = append(out, g.walk(start, e, next, done))
	}
	return out, nil
}

// walk follows the trail that leaves its first node by end start, and turns
// it so that edge e keeps its direction.
func (g *graph) walk(start, e int, next []int, done []bool) numbered {
	var ends []int
	back := false
	for end := start; end >= 0 && !done[end/2]; end = next[end^1] {
		done[end/2] = true
		ends = append(ends, end)
		back = back || end == 2*e+1
	}
	if back {
		for i, j := 0, len(ends)-1; i <= j; i, j = i+1, j-1 {
			ends[i], ends[j] = ends[j]^1, ends[i]^1
		}
	}
	from := g.parts[e].stroke
	for _, end := range ends {
		from = min(from, g.parts[end/2].stroke)
	}
	return numbered{from, g.stroke(ends)}
}

// stroke returns the edges one after the other, with parts of one curve that
// follow each other made one again.
func (g *graph) stroke(ends []int) paths.Stroke {
	var out paths.Stroke
	var last part
	for i, end := range ends {
		p, back := g.parts[end/2], end%2 == 1
		edge := g.edges[end/2]
		if back {
			edge = edge.Reverse()
			p.t0, p.t1 = p.t1, p.t0
		}
		if i > 0 && p.whole != nil && last.whole != nil && p.source == last.source && last.t1 == p.t0 &&
			(last.t0 < last.t1) == (p.t0 < p.t1) {
			// Parting and rejoining rounds; the ends are where they were.
			whole := weld(span(p.whole, last.t0, p.t1), out[len(out)-1].Start(), edge.End())
			out = append(out[:len(out)-1], whole...)
			last.t1 = p.t1
			continue
		}
		out = append(out, edge...)
		last = p
	}
	return out
}

// span returns the part of c from parameter a to b, against its direction when
// a > b.
func span(c paths.Curve, a, b float64) paths.Curve {
	if a > b {
		return paths.Sub(c, b, a).Reverse()
	}
	return paths.Sub(c, a, b)
}
