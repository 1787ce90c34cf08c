package bound

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/order/ordertest"
)

// largeLoops returns n strokes on a sheet of 100 mm: large loops that cross, touch or
// hold each other, and others.
func largeLoops(r *rand.Rand, n int) []paths.Stroke {
	out := ordertest.RandomStrokes(r, n)
	for i := range out {
		at, size := pt(100*r.Float64(), 100*r.Float64()), 5+40*r.Float64()
		switch r.IntN(5) {
		case 0:
			out[i] = paths.Stroke{paths.Circle(at, size)}
		case 1:
			w := pt(size, 0)
			h := pt(0, 1+size*r.Float64())
			out[i] = paths.Polyline(at, at.Add(w), at.Add(w).Add(h), at.Add(h), at)
		case 2:
			p := func() paths.Point { return pt(100*r.Float64(), 100*r.Float64()) }
			out[i] = paths.Polyline(at, p(), p(), p(), at)
		}
	}
	return out
}

// entries returns the points at which a stroke may be entered, each with that at which the
// pen then leaves it: many of a loop, and so no tour over them is shorter than the best.
func entries(s paths.Stroke) (in, out []paths.Point) {
	switch {
	case s.IsDot():
		return []paths.Point{s.Start()}, []paths.Point{s.Start()}
	case !s.IsClosed():
		return []paths.Point{s.Start(), s.End()}, []paths.Point{s.End(), s.Start()}
	}
	const each = 60
	for _, c := range s {
		for k := range 1 + each/len(s) {
			in = append(in, c.At(float64(k)/float64(1+each/len(s))))
		}
	}
	return in, in
}

// shortest returns the length of the shortest tour over the entries, by trying all orders.
func shortest(strokes []paths.Stroke, home, park paths.Point) float64 {
	best := math.Inf(1)
	ins, outs := make([][]paths.Point, len(strokes)), make([][]paths.Point, len(strokes))
	for i, s := range strokes {
		ins[i], outs[i] = entries(s)
	}
	var try func(left []int, at []paths.Point, cost []float64)
	try = func(left []int, at []paths.Point, cost []float64) {
		if len(left) == 0 {
			for k, p := range at {
				best = min(best, cost[k]+p.Dist(park))
			}
			return
		}
		for i, s := range left {
			next := make([]float64, len(ins[s]))
			for e, p := range ins[s] {
				next[e] = math.Inf(1)
				for k, q := range at {
					next[e] = min(next[e], cost[k]+q.Dist(p))
				}
			}
			try(slices.Delete(slices.Clone(left), i, i+1), outs[s], next)
		}
	}
	all := make([]int, len(strokes))
	for i := range all {
		all[i] = i
	}
	try(all, []paths.Point{home}, []float64{0})
	return best
}

// TestBoundAgainstBruteForce: no bound of few strokes, large loops among them, is above the
// shortest tour that trying all orders and many entries finds; at the prices found,
// at others, and wherever the islands take loops to be visited.
func TestBoundAgainstBruteForce(t *testing.T) {
	cases := uint64(30)
	if *thorough {
		cases = 2000
	}
	var ratios []float64
	for seed := range cases {
		r := rand.New(rand.NewPCG(seed, 37))
		strokes := largeLoops(r, 1+r.IntN(4))
		home, park := pt(0, 0), pt(100*r.Float64(), 0)
		if seed%2 == 0 {
			park = home
		}
		best := shortest(strokes, home, park)
		got, err := Lower(strokes, home, park, best, early)
		if err != nil {
			t.Fatal(err)
		}
		if got > best {
			t.Errorf("seed %d: bound %.9f of %d strokes, a tour of %.9f was found", seed, got, len(strokes), best)
		}
		ratios = append(ratios, got/best)
		g := newGraph(strokes, home, park, 1+20*r.Float64(), 0.5)
		a := newAscent(g, best/4)
		size := 20 * r.Float64()
		for p := range a.price {
			a.mean[p], a.visited[p] = size*r.NormFloat64(), r.Float64()
		}
		if got := a.bound(r.ExpFloat64()); got > best {
			t.Errorf("seed %d: bound %.9f at random prices, a tour of %.9f was found", seed, got, best)
		}
	}
	slices.Sort(ratios)
	n := len(ratios)
	t.Logf("the bound is %.3f of the tour at least, %.3f in the lowest tenth, %.3f in the median", ratios[0], ratios[n/10], ratios[n/2])
	if ratios[n/2] < 0.95 {
		t.Errorf("the bound is %.3f of the tour in the median, want 0.95", ratios[n/2])
	}
}

// TestWholeAgainstAllPairs: the tree over all pairs is as cheap as that which sorting all
// pairs gives, with hops known or not, at any prices.
func TestWholeAgainstAllPairs(t *testing.T) {
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 41))
		strokes := slices.Concat(largeLoops(r, 6), ordertest.Rings(10, seed), ordertest.Clusters(20, seed))
		g := newGraph(strokes, pt(0, 0), pt(5, 0), 4, 0.5)
		prices := make([]float64, len(g.nodes))
		for p := range prices {
			prices[p] = 10 * r.NormFloat64()
		}
		if seed%3 == 0 {
			g.hops = g.hops[:len(g.hops)/20]
		}
		all := graph{nodes: g.nodes, first: g.first, loops: g.loops}
		for q := range g.nodes {
			for p := range q {
				if g.nodes[p].stroke != g.nodes[q].stroke {
					all.hops = append(all.hops, hop{length: g.nodes[p].apart(&g.nodes[q]), a: int32(p), b: int32(q)})
				}
			}
		}
		price(all.hops, prices)
		slices.SortFunc(all.hops, byCost)
		sets := all.joined()
		want, count := kruskalSum(all.hops, sets)
		for _, got := range [][]hop{g.whole(prices), all.tree(prices), g.tree(prices)} {
			var sum float64
			for _, h := range got {
				sum += h.cost
			}
			if math.Abs(sum-want) > 1e-8 || len(got) != count || !slices.IsSortedFunc(got, byCost) {
				t.Errorf("seed %d: tree of %d hops costs %.9f, want %d hops and %.9f", seed, len(got), sum, count, want)
			}
		}
	}
}

func kruskalSum(sorted []hop, sets *near.Sets) (sum float64, count int) {
	for _, h := range sorted {
		if sets.Join(int(h.a), int(h.b)) {
			sum += h.cost
			count++
		}
	}
	return sum, count
}

// TestNodesHoldLoops: every point of a loop is within a node's distances of its chord and its
// middle, also after nodes have been parted.
func TestNodesHoldLoops(t *testing.T) {
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 43))
		strokes := slices.Concat(largeLoops(r, 5), ordertest.Rings(6, seed))
		g := newGraph(strokes, pt(0, 0), pt(0, 0), 1+10*r.Float64(), 0.3)
		for range 3 {
			checkNodes(t, g, strokes)
			g.part(func(int32) bool { return r.IntN(2) == 0 }, 1)
		}
	}
}

func checkNodes(t *testing.T, g *graph, strokes []paths.Stroke) {
	t.Helper()
	for s, stroke := range strokes {
		from, to := g.of(int32(s + 1))
		for _, c := range stroke {
			for k := range 50 {
				p := c.At(float64(k) / 49)
				held := slices.ContainsFunc(g.nodes[from:to], func(x node) bool {
					return x.chord.Dist(p) <= x.off+1e-9 && x.mid.Dist(p) <= x.radius+1e-9
				})
				if g.loops[s+1] != nil && !held {
					t.Fatalf("no node of stroke %d holds %v", s, p)
				}
			}
		}
	}
}
