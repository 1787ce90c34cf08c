package bound

import (
	"slices"

	"weftplot/paths/near"
)

// An island is the nodes that are joined by hops cheaper than the level. It is allotted
// to one stroke, whose visit there shows that the tour comes to the island.
type island struct {
	visited float64 // how much of that stroke's visit is on the island, of 1; 0 for home's island
	stroke  int32
	whole   bool // all nodes of the stroke are on it; or it is home's island, and the stroke is 0
	since   float64
	shares  []share         // of the loops on an island that is not whole
	at      map[int32]int32 // by stroke: its share, where there are many
}

// A share is what an island has of a loop.
type share struct {
	visited             float64
	stroke, count       int32
	firstNode, lastNode int32 // of a list of nodes
}

// A tide is one rise of the level from the cheapest hop to the dearest that a tree needs.
type tide struct {
	g       *graph
	visited []float64 // by node: how much of its stroke's visit is there, of 1
	sets    *near.Sets
	islands []island  // by the least of their nodes
	next    []int32   // by node: the next one of a share
	gain    []float64 // by node: over how many mm of levels the visit of its stroke counts, if it is there
	whole   []float64 // by stroke: what all its nodes gain besides
	degree  []float64 // by node: how far the bound rises with its price, besides what visits pay
}

// rise lets the level rise over a tree, the cheapest hop first. visited chooses the strokes
// that islands are allotted to: those with the most of their visit there. The bound holds
// whatever it is.
func (g *graph) rise(tree []hop, visited []float64) *tide {
	n := len(g.nodes)
	t := &tide{
		g: g, visited: visited, sets: g.joined(), islands: make([]island, n), next: make([]int32, n),
		gain: make([]float64, n), whole: make([]float64, g.strokes()), degree: make([]float64, n),
	}
	level := tree[0].cost
	shares := make([]share, n)
	for p, x := range g.nodes {
		t.next[p] = -1
		i := island{visited: 1, stroke: x.stroke, whole: true, since: level}
		if from, to := g.of(x.stroke); to-from > 1 && g.loops[x.stroke] != nil {
			i.visited, i.whole = visited[p], false
			shares[p] = share{visited[p], x.stroke, 1, int32(p), int32(p)}
			i.shares = shares[p : p+1 : p+1]
		}
		if x.stroke == 0 {
			i.visited = 0
		}
		t.islands[p] = i
	}
	for _, h := range tree {
		lost := t.join(h)
		t.degree[h.a] += lost
		t.degree[h.b] += lost
	}
	for p, x := range g.nodes {
		t.gain[p] += t.whole[x.stroke]
	}
	return t
}

// join joins the islands of a hop and returns how many visits fewer are sure from then on.
func (t *tide) join(h hop) (lost float64) {
	x, y := t.sets.Find(int(h.a)), t.sets.Find(int(h.b))
	a, b := &t.islands[x], &t.islands[y]
	lost = a.visited + b.visited
	if b.isHome() || b.whole && !a.whole {
		a, b = b, a
	}
	t.settle(b, h.cost)
	if !a.whole {
		t.settle(a, h.cost)
		if len(a.shares) < len(b.shares) {
			a, b = b, a
		}
		t.merge(a, b)
	}
	joined := *a
	t.sets.Join(x, y)
	t.islands[t.sets.Find(x)] = joined
	return lost - joined.visited
}

func (i *island) isHome() bool { return i.whole && i.stroke == 0 }

// settle pays an island's stroke for the levels since it was allotted to it.
func (t *tide) settle(i *island, level float64) {
	rise := level - i.since
	i.since = level
	if i.whole {
		t.whole[i.stroke] += rise
		return
	}
	for p := i.shares[i.find(i.stroke)].firstNode; p >= 0; p = t.next[p] {
		t.gain[p] += rise
	}
}

// merge adds the shares of b to those of a, neither of which is whole.
func (t *tide) merge(a, b *island) {
	if b.visited > a.visited {
		a.visited, a.stroke = b.visited, b.stroke
	}
	for _, s := range b.shares {
		k := a.find(s.stroke)
		if k < 0 {
			a.put(s)
			continue
		}
		both := &a.shares[k]
		t.next[both.lastNode] = s.firstNode
		both.lastNode = s.lastNode
		both.visited += s.visited
		both.count += s.count
		if both.visited > a.visited {
			a.visited, a.stroke = both.visited, s.stroke
		}
		if from, to := t.g.of(s.stroke); both.count == to-from {
			*a = island{visited: 1, stroke: s.stroke, whole: true, since: a.since}
			return
		}
	}
}

// fewShares is up to how many shares an island is searched one by one.
const fewShares = 8

// find returns the place of a stroke among the shares, or -1.
func (i *island) find(stroke int32) int {
	if i.at == nil {
		return slices.IndexFunc(i.shares, func(s share) bool { return s.stroke == stroke })
	}
	if k, ok := i.at[stroke]; ok {
		return int(k)
	}
	return -1
}

func (i *island) put(s share) {
	i.shares = append(i.shares, s)
	if i.at == nil && len(i.shares) > fewShares {
		i.at = map[int32]int32{}
		for k, s := range i.shares {
			i.at[s.stroke] = int32(k)
		}
	} else if i.at != nil {
		i.at[s.stroke] = int32(len(i.shares) - 1)
	}
}

// fromHome returns by node the place in a tree of the dearest hop on the way there
// from home, or -1 where there is none on it, and the number of hops where there is no way. The
// tree has the cheapest hop first.
func (g *graph) fromHome(tree []hop) []int {
	of := make([][]int32, len(g.nodes)) // hops of the tree, by node
	for i, h := range tree {
		of[h.a], of[h.b] = append(of[h.a], int32(i)), append(of[h.b], int32(i))
	}
	dearest := make([]int, len(g.nodes))
	for p := range dearest {
		dearest[p] = len(tree)
	}
	dearest[0] = -1
	for todo := []int32{0}; len(todo) > 0; {
		p := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		reach := func(o int32, place int) {
			if dearest[o] == len(tree) {
				dearest[o] = place
				todo = append(todo, o)
			}
		}
		if g.isOpen(g.nodes[p].stroke) {
			reach(g.otherEnd(p), dearest[p])
		}
		for _, i := range of[p] {
			reach(tree[i].a+tree[i].b-p, max(int(i), dearest[p]))
		}
	}
	return dearest
}

// landfall returns the hop of a tree, the cheapest first, by which the last stroke comes
// to have a node on home's island.
func (g *graph) landfall(tree []hop) hop {
	dearest, last := g.fromHome(tree), 0
	for s := int32(1); s < int32(g.strokes()); s++ {
		from, to := g.of(s)
		last = max(last, slices.Min(dearest[from:to]))
	}
	return tree[last]
}
