package bound

import (
	"math"
	"slices"

	"weftplot/paths"
)

// A grower grows the cheapest tree over all pairs of nodes from home, by Prim's method.
// Hops are passed over that join nodes which known hops join already, none of them dearer.
// Strokes that are too far from a new node are passed over as a whole, so its time
// grows with nodes times strokes.
type grower struct {
	g        *graph
	prices   []float64
	best     []hop     // by node: the cheapest hop to the tree so far
	isNew    []bool    // by node: that hop was not known
	of       [][]int32 // by node: its known hops
	dearest  []float64 // by node: known hops lead from home to it, none dearer
	reach    []float64 // by stroke: the same for all its nodes
	left     [][]int32 // by stroke: its nodes outside the tree
	round    []disc    // by stroke: a disc that holds all of it
	low      []float64 // by stroke: the lowest price of its nodes
	most     []float64 // by stroke: no node of left has a higher key
	cheapest []float64 // by stroke: the lowest key of left
}

// A disc is all within a distance from a point.
type disc struct {
	paths.Point
	radius float64
}

// whole returns the hops of the cheapest tree over all pairs of nodes, the cheapest
// first. They become known.
func (g *graph) whole(prices []float64) []hop {
	t := newGrower(g, prices)
	out := make([]hop, 0, len(g.nodes))
	var found []hop
	for at := int32(0); at >= 0; at = t.next() {
		if h := t.best[at]; !math.IsInf(h.cost, 0) {
			out = append(out, h)
			if t.isNew[at] {
				found = append(found, h)
			}
		}
		t.add(at)
	}
	g.hops = append(g.hops, found...)
	slices.SortFunc(out, byCost)
	return out
}

func newGrower(g *graph, prices []float64) *grower {
	n := g.strokes()
	t := &grower{
		g: g, prices: prices, best: make([]hop, len(g.nodes)), isNew: make([]bool, len(g.nodes)),
		of: make([][]int32, len(g.nodes)), reach: make([]float64, n),
		left: make([][]int32, n), round: make([]disc, n), low: make([]float64, n), most: make([]float64, n), cheapest: make([]float64, n),
	}
	t.dearest = g.dearest(g.tree(prices))
	for p := range t.best {
		t.best[p].cost = math.Inf(1)
	}
	for s := range int32(n) {
		from, to := g.of(s)
		t.low[s], t.reach[s] = slices.Min(prices[from:to]), slices.Max(t.dearest[from:to])
		t.most[s], t.cheapest[s] = math.Inf(1), math.Inf(1)
		mid := g.nodes[(from+to)/2].mid
		var r float64
		for p := from; p < to; p++ {
			t.left[s] = append(t.left[s], p)
			r = max(r, mid.Dist(g.nodes[p].mid)+g.nodes[p].radius)
		}
		t.round[s] = disc{mid, r * (1 + 1e-9)}
	}
	for i, h := range g.hops {
		t.of[h.a], t.of[h.b] = append(t.of[h.a], int32(i)), append(t.of[h.b], int32(i))
	}
	return t
}

// next returns the node with the cheapest hop to the tree, or -1 if there is none.
func (t *grower) next() int32 {
	from := int32(-1)
	for s, left := range t.left {
		if len(left) > 0 && (from < 0 || t.cheapest[s] < t.cheapest[from]) {
			from = int32(s)
		}
	}
	if from < 0 {
		return -1
	}
	best := t.left[from][0]
	for _, p := range t.left[from] {
		if t.best[p].cost < t.best[best].cost {
			best = p
		}
	}
	return best
}

// add takes a node into the tree.
func (t *grower) add(at int32) {
	x := &t.g.nodes[at]
	if i := slices.Index(t.left[x.stroke], at); i >= 0 {
		l := t.left[x.stroke]
		l[i] = l[len(l)-1]
		t.left[x.stroke] = l[:len(l)-1]
	}
	if t.g.isOpen(x.stroke) {
		t.best[t.g.otherEnd(at)].cost = math.Inf(-1) // a stroke joins its ends
	}
	t.measure(x.stroke)
	for _, i := range t.of[at] {
		h := &t.g.hops[i]
		o := h.a + h.b - at
		if h.cost < t.best[o].cost {
			t.best[o], t.isNew[o] = *h, false
			s := t.g.nodes[o].stroke
			t.cheapest[s] = min(t.cheapest[s], h.cost)
		}
	}
	for s, left := range t.left {
		if len(left) == 0 || int32(s) == x.stroke {
			continue
		}
		r := &t.round[s]
		room := min(t.most[s], max(t.reach[s], t.dearest[at])) - t.prices[at] - t.low[s] + x.radius + r.radius
		dx, dy := r.X-x.mid.X, r.Y-x.mid.Y
		if room > 0 && dx*dx+dy*dy < room*room {
			t.scan(at, int32(s))
		}
	}
}

// scan tries the hops from a new node of the tree to all nodes of a stroke.
func (t *grower) scan(at, stroke int32) {
	x := &t.g.nodes[at]
	for _, o := range t.left[stroke] {
		y := &t.g.nodes[o]
		b := &t.best[o]
		room := min(b.cost, max(t.dearest[o], t.dearest[at])) - t.prices[at] - t.prices[o]
		if far := room + x.radius + y.radius; room <= 0 || x.mid.Dist(y.mid) >= far {
			continue
		}
		d := x.apart(y)
		if c := d + t.prices[at] + t.prices[o]; c < b.cost {
			*b, t.isNew[o] = hop{length: d, cost: c, a: min(at, o), b: max(at, o)}, true
		}
	}
	t.measure(stroke)
}

// measure finds the highest and the lowest key of a stroke's nodes outside the tree.
func (t *grower) measure(stroke int32) {
	most, cheapest := math.Inf(-1), math.Inf(1)
	for _, p := range t.left[stroke] {
		most, cheapest = max(most, t.best[p].cost), min(cheapest, t.best[p].cost)
	}
	t.most[stroke], t.cheapest[stroke] = most, cheapest
}
