package bound

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
)

// A node is where a tour may enter or leave a stroke: an end of an open stroke, a dot, or
// a part of a loop.
type node struct {
	stroke   int32
	chord    paths.Line // all of it is within off mm of the chord,
	off      float64
	mid      paths.Point // and within radius mm of mid
	radius   float64
	from, to int32 // the pieces of the loop
}

func pointNode(stroke int32, p paths.Point) node {
	return node{stroke: stroke, chord: paths.Line{A: p, B: p}, mid: p, to: 1}
}

// apart returns a distance in mm that no hop between two nodes falls below.
func (x *node) apart(y *node) float64 {
	if crossing(x.chord, y.chord) {
		return 0
	}
	d := min(x.chord.Dist(y.chord.A), x.chord.Dist(y.chord.B), y.chord.Dist(x.chord.A), y.chord.Dist(x.chord.B))
	return max(0, d-x.off-y.off)
}

func crossing(a, b paths.Line) bool {
	side := func(l paths.Line, p paths.Point) float64 { return l.B.Sub(l.A).Cross(p.Sub(l.A)) }
	return side(a, b.A)*side(a, b.B) < 0 && side(b, a.A)*side(b, a.B) < 0
}

// A hop is a way with the pen up between two nodes, a before b.
type hop struct {
	length float64 // no such hop is shorter, mm
	cost   float64 // with the prices of both nodes
	a, b   int32
}

func byCost(x, y hop) int {
	switch {
	case x.cost < y.cost:
		return -1
	case x.cost > y.cost:
		return 1
	}
	return 0
}

// A graph is the nodes of all strokes, and hops between them. Stroke 0 is the way
// from the park position to home, which closes the tour.
type graph struct {
	nodes []node
	first []int32 // by stroke: its first node; and at last the number of nodes
	loops []*loop // by stroke; nil for all else
	hops  []hop   // those known: to near nodes, and those that trees over all pairs took
}

// newGraph returns a graph whose parts of loops are not much longer than most mm; they can
// be parted down to least mm.
func newGraph(strokes []paths.Stroke, home, park paths.Point, most, least float64) *graph {
	g := &graph{loops: make([]*loop, len(strokes)+1), first: []int32{0}}
	g.nodes = append(g.nodes, pointNode(0, home), pointNode(0, park))
	for i, s := range strokes {
		n := int32(i + 1)
		g.first = append(g.first, int32(len(g.nodes)))
		switch {
		case s.IsDot():
			g.nodes = append(g.nodes, pointNode(n, s.Start()))
		case s.IsClosed():
			l := newLoop(s, least)
			g.loops[n] = l
			g.nodes = l.appendNodes(g.nodes, l.node(n, 0, int32(len(l.corners))), most)
		default:
			g.nodes = append(g.nodes, pointNode(n, s.Start()), pointNode(n, s.End()))
		}
	}
	g.first = append(g.first, int32(len(g.nodes)))
	g.addNear(most / 2)
	return g
}

// strokes returns how many strokes there are, stroke 0 with them.
func (g *graph) strokes() int { return len(g.loops) }

// of returns the nodes of a stroke, from the first to before the last.
func (g *graph) of(stroke int32) (from, to int32) { return g.first[stroke], g.first[stroke+1] }

// isOpen says whether a stroke has two ends, with one hop at each.
func (g *graph) isOpen(stroke int32) bool {
	return g.loops[stroke] == nil && g.first[stroke+1]-g.first[stroke] == 2
}

// otherEnd returns the other end of the open stroke that node p is of.
func (g *graph) otherEnd(p int32) int32 { return 2*g.first[g.nodes[p].stroke] + 1 - p }

// At first each node has hops to this many strokes nearest to it, unless they have more nodes
// near it than that.
const (
	nearStrokes = 8
	nearNodes   = 300
)

// addNear makes hops to near nodes known: of each near stroke those that are hardly
// farther than its nearest, by slack mm.
func (g *graph) addNear(slack float64) {
	at := make([]paths.Point, len(g.nodes))
	for i, x := range g.nodes {
		at[i] = x.mid
	}
	index := near.NewPoints(at)
	var found []hop
	for i := range g.nodes {
		x := &g.nodes[i]
		least := map[int32]float64{} // by stroke
		found = found[:0]
		for r := 0; r <= index.Rings() && len(least) < nearStrokes && len(found) < nearNodes; r++ {
			for k := range index.Ring(x.mid, r) {
				y := &g.nodes[k]
				if y.stroke == x.stroke {
					continue
				}
				d := x.apart(y)
				found = append(found, hop{length: d, a: int32(min(i, k)), b: int32(max(i, k))})
				if l, ok := least[y.stroke]; !ok || d < l {
					least[y.stroke] = d
				}
			}
		}
		for _, h := range found {
			y := g.nodes[h.a+h.b-int32(i)].stroke
			if g.isOpen(y) || h.length <= least[y]+slack {
				g.hops = append(g.hops, h)
			}
		}
	}
	slices.SortFunc(g.hops, func(x, y hop) int { return cmp.Or(cmp.Compare(x.a, y.a), cmp.Compare(x.b, y.b)) })
	g.hops = slices.Compact(g.hops)
}

// price sets the costs of hops.
func price(hops []hop, prices []float64) {
	for i := range hops {
		h := &hops[i]
		h.cost = h.length + prices[h.a] + prices[h.b]
	}
}

// joined returns sets of nodes that are one for each open stroke and each other node.
func (g *graph) joined() *near.Sets {
	sets := near.NewSets(len(g.nodes))
	for s := range int32(g.strokes()) {
		if g.isOpen(s) {
			sets.Join(int(g.first[s]), int(g.first[s])+1)
		}
	}
	return sets
}

// tree returns the hops of the cheapest tree of known hops that joins all nodes, the
// cheapest first. An open stroke joins its ends; nothing else of a loop joins its parts.
func (g *graph) tree(prices []float64) []hop {
	price(g.hops, prices)
	k := kruskal{sets: g.joined(), tree: make([]hop, 0, len(g.nodes))}
	k.take(g.hops)
	return k.tree
}

// A kruskal is a tree of the cheapest hops in the making.
type kruskal struct {
	sets *near.Sets
	tree []hop
}

// take takes into the tree those hops that join what is not joined yet. It sorts
// as few as it can: the cheaper half first, then what that has not joined of the rest
// (Osipov, Sanders and Singler, The filter-Kruskal minimum spanning tree algorithm, 2009).
func (k *kruskal) take(hops []hop) {
	const few = 1000
	if len(hops) > few {
		low := cheaper(hops)
		if 0 < low && low < len(hops) {
			k.take(hops[:low])
			rest := hops[low:]
			open := 0
			for i, h := range rest {
				if !k.sets.Same(int(h.a), int(h.b)) {
					rest[open], rest[i] = rest[i], rest[open]
					open++
				}
			}
			k.take(rest[:open])
			return
		}
	}
	slices.SortFunc(hops, byCost)
	for _, h := range hops {
		if k.sets.Join(int(h.a), int(h.b)) {
			k.tree = append(k.tree, h)
		}
	}
}

// cheaper brings the cheaper hops to the front, and returns how many: about half.
func cheaper(hops []hop) int {
	sample := [9]float64{}
	for i := range sample {
		sample[i] = hops[i*(len(hops)-1)/(len(sample)-1)].cost
	}
	slices.Sort(sample[:])
	middle, low := sample[len(sample)/2], 0
	for i, h := range hops {
		if h.cost < middle {
			hops[low], hops[i] = h, hops[low]
			low++
		}
	}
	return low
}

// dearest returns by node the cost of the dearest hop of a tree on the way there from home:
// infinite where there is no way. The tree has the cheapest hop first.
func (g *graph) dearest(tree []hop) []float64 {
	out := make([]float64, len(g.nodes))
	for p, i := range g.fromHome(tree) {
		switch {
		case i < 0:
			out[p] = math.Inf(-1)
		case i == len(tree):
			out[p] = math.Inf(1)
		default:
			out[p] = tree[i].cost
		}
	}
	return out
}

// forget drops known hops whose nodes are joined by others that are all cheaper by margin
// mm: no tree will take them until prices have changed by so much.
func (g *graph) forget(prices []float64, margin float64) {
	price(g.hops, prices)
	slices.SortFunc(g.hops, byCost)
	sets := g.joined()
	kept := make([]hop, 0, len(g.hops))
	next := 0
	for _, h := range g.hops {
		for ; g.hops[next].cost < h.cost-margin; next++ {
			sets.Join(int(g.hops[next].a), int(g.hops[next].b))
		}
		if !sets.Same(int(h.a), int(h.b)) {
			kept = append(kept, h)
		}
	}
	g.hops = kept
}

// part parts nodes of loops in two where wanted says so, and returns by new node the one
// that it is a part of. Hops of parts are known where they are not longer than that of the
// whole by more than margin mm.
func (g *graph) part(wanted func(p int32) bool, margin float64) (whole []int32) {
	old := g.nodes
	parts := make([][2]int32, len(old)) // from, to
	g.nodes = nil
	for p, x := range old {
		if p > 0 && old[p-1].stroke != x.stroke {
			g.first[x.stroke] = int32(len(g.nodes))
		}
		parts[p][0] = int32(len(g.nodes))
		if l := g.loops[x.stroke]; l != nil && x.to-x.from > 1 && wanted(int32(p)) {
			two := l.parted(x)
			g.nodes, whole = append(g.nodes, two[:]...), append(whole, int32(p), int32(p))
		} else {
			g.nodes, whole = append(g.nodes, x), append(whole, int32(p))
		}
		parts[p][1] = int32(len(g.nodes))
	}
	g.first[len(g.first)-1] = int32(len(g.nodes))
	hops := g.hops
	g.hops = make([]hop, 0, len(hops))
	for _, h := range hops {
		a, b := parts[h.a], parts[h.b]
		one := a[1]-a[0] == 1 && b[1]-b[0] == 1
		for p := a[0]; p < a[1]; p++ {
			for q := b[0]; q < b[1]; q++ {
				d := h.length
				if !one {
					d = max(d, g.nodes[p].apart(&g.nodes[q]))
				}
				if d <= h.length+margin {
					g.hops = append(g.hops, hop{length: d, a: p, b: q})
				}
			}
		}
	}
	return whole
}

// extent returns how far from the origin nodes are at most, mm.
func (g *graph) extent() (d float64) {
	for _, x := range g.nodes {
		d = max(d, math.Hypot(x.mid.X, x.mid.Y)+x.radius)
	}
	return d
}
