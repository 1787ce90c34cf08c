package bound

import (
	"math"
	"slices"
)

// An ascent is the state of one lower bound: prices of the nodes, which are raised where
// the bound counts more hops than a tour has and lowered where it counts fewer.
type ascent struct {
	g       *graph
	hop     float64   // the mean hop of the tour known, mm
	price   []float64 // by node
	mean    []float64 // by node: of the prices of late
	toll    []float64 // by node: what a visit there adds to the bound, of late
	visited []float64 // by node: how much of its stroke's visit is there, of 1
	moved   []moved
}

func newAscent(g *graph, meanHop float64) *ascent {
	n := len(g.nodes)
	a := &ascent{
		g: g, hop: meanHop, price: make([]float64, n), mean: make([]float64, n), toll: make([]float64, n),
		visited: make([]float64, n), moved: make([]moved, n),
	}
	for p, x := range g.nodes {
		a.visited[p] = 1
		if from, to := g.of(x.stroke); g.loops[x.stroke] != nil {
			a.visited[p] = 1 / float64(to-from)
		}
	}
	return a
}

// tolls returns by node what the visit of its stroke adds to the bound if it is there: what
// it gains less the prices of its two hops.
func (a *ascent) tolls(t *tide) []float64 {
	out := t.gain
	for p, x := range a.g.nodes {
		if a.g.isOpen(x.stroke) {
			out[p] -= a.price[p] + a.price[a.g.otherEnd(int32(p))]
		} else {
			out[p] -= 2 * a.price[p]
		}
	}
	return out
}

// least returns the sum of the least tolls of all strokes, wherever they are visited.
func (a *ascent) least(tolls []float64) (sum float64) {
	for s := int32(1); s < int32(a.g.strokes()); s++ {
		from, to := a.g.of(s)
		sum += slices.Min(tolls[from:to])
	}
	return sum
}

// base returns what the bound is without tolls: the levels under the cheapest hop, at which
// every hop counts; one hop more, on which the tour comes home, as long as there is a stroke off
// home's island; and the prices of home and park.
func (a *ascent) base(tree []hop, landfall hop) float64 {
	return float64(a.g.strokes())*tree[0].cost + landfall.cost - tree[0].cost - a.price[0] - a.price[1]
}

// visit says by the tolls where loops are visited: most where that is cheapest, and
// less elsewhere the dearer it is, in terms of give mm.
func (a *ascent) visit(give float64) {
	for s, l := range a.g.loops {
		if l == nil {
			continue
		}
		from, to := a.g.of(int32(s))
		tolls, visited := a.toll[from:to], a.visited[from:to]
		least, sum := slices.Min(tolls), 0.
		for p, t := range tolls {
			visited[p] = math.Exp((least - t) / give)
			sum += visited[p]
		}
		for p := range visited {
			visited[p] /= sum
		}
	}
}

// round raises and lowers the prices once. memory is the share of this round in the
// means, step how far prices are moved about, and give is as in visit, in mm. It
// returns false when the bound counts one hop at each end and two at each other stroke:
// no prices are better.
func (a *ascent) round(memory, step, give float64) bool {
	tree := a.g.tree(a.price)
	t := a.g.rise(tree, a.visited)
	last := a.g.landfall(tree)
	t.degree[last.a]++
	t.degree[last.b]++
	for p, toll := range a.tolls(t) {
		a.toll[p] += memory * (toll - a.toll[p])
		a.mean[p] += memory * (a.price[p] - a.mean[p])
	}
	a.visit(give)
	wrong := false
	for p, x := range a.g.nodes {
		d := t.degree[p] - 1
		if !a.g.isOpen(x.stroke) {
			d = t.degree[p] - 2*a.visited[p]
		}
		a.price[p] += step * a.moved[p].by(d)
		wrong = wrong || d != 0
	}
	return wrong
}

// Moved is how a price has been moved so far.
type moved struct{ mean, square float64 }

// by returns how far to move a price that is wrong by d: by the mean of what it was
// wrong by of late, divided by how much that varies (Kingma and Ba, Adam, 2015). With one
// length of step for all, the many prices swing too far long before they
// get where they should.
func (m *moved) by(d float64) float64 {
	m.mean = 0.9*m.mean + 0.1*d
	m.square = 0.99*m.square + 0.01*d*d
	return m.mean / (math.Sqrt(m.square) + 0.05)
}

// refine divides the parts of loops that are visited, and forgets hops that are too dear by
// margin mm.
func (a *ascent) refine(margin float64) {
	a.g.forget(a.price, margin)
	whole := a.g.part(func(p int32) bool { return a.visited[p] > leastVisited }, margin)
	old := *a
	a.price, a.mean, a.toll, a.moved = pick(old.price, whole), pick(old.mean, whole), pick(old.toll, whole), pick(old.moved, whole)
	a.visited = make([]float64, len(whole))
	for p := range a.visited {
		a.visited[p] = 1
	}
	a.visit(margin)
}

// leastVisited is how much of a visit a part must have to be divided.
const leastVisited = 0.03

func pick[T any](of []T, which []int32) []T {
	out := make([]T, len(which))
	for k, i := range which {
		out[k] = of[i]
	}
	return out
}

// bound returns the bound over all pairs of nodes at the mean of the prices of late. Islands are
// allotted several times, and the tolls are the mean: each time gives a bound whatever
// the visits of a tour are, so their mean is one too.
func (a *ascent) bound(give float64) float64 {
	copy(a.price, a.mean)
	tree := a.g.whole(a.price)
	base := a.base(tree, a.g.landfall(tree))
	var best float64
	for k := range allotments {
		for p, toll := range a.tolls(a.g.rise(tree, a.visited)) {
			a.toll[p] += (toll - a.toll[p]) / float64(k+1)
		}
		best = max(best, base+a.least(a.toll))
		a.visit(give)
	}
	return best - a.rounding()
}

// allotments is how many times the islands are allotted for the bound.
const allotments = 10

// rounding returns how much the sums of a bound may be off because they are rounded: each
// term to 2^-53 of what there is by then.
func (a *ascent) rounding() float64 {
	var size float64
	for _, p := range a.price {
		size += math.Abs(p)
	}
	n := float64(a.g.strokes())
	return 1e-15 * float64(len(a.price)) * (size + n*a.hop + a.g.extent())
}
