package order

import (
	"slices"
	"testing"

	"weftplot/paths"
)

// lowerBound returns a length that no tour through open strokes falls below, by
// Held and Karp's ascent (Operations Research 18, 1970): a tour is a spanning
// tree of the strokes and a hop at home, in which each end has one hop; trees
// alone are cheaper, and prices on the ends make them tour-like. The trees are
// taken from hops to neighbours only, so that strictly it is an estimate.
func lowerBound(strokes []paths.Stroke, tour float64, rounds int) float64 {
	f := newField(strokes, paths.Point{}, paths.Point{}, nil)
	near := newNeighbours(f)
	base := int32(2 * len(strokes))
	type edge struct {
		cost, priced float64
		a, b         int32
	}
	var edges []edge
	for a := range base {
		for i := near.start[a]; i < near.start[a+1]; i++ {
			if b := near.ends[i]; b < base && (a < b || !slices.Contains(near.of(b), a)) {
				edges = append(edges, edge{cost: near.cost[i], a: a, b: b})
			}
		}
	}
	price := make([]float64, base)
	degree := make([]int, base)
	tree := make([]int32, len(strokes))
	trend := make([]float64, base)
	best, step := 0., 1.5
	for range rounds {
		for i := range edges {
			edges[i].priced = edges[i].cost + price[edges[i].a] + price[edges[i].b]
		}
		slices.SortFunc(edges, func(p, q edge) int {
			switch {
			case p.priced < q.priced:
				return -1
			case p.priced > q.priced:
				return 1
			}
			return 0
		})
		bound := 0.
		for e := range base {
			degree[e] = 0
			bound -= price[e]
		}
		for i := range tree {
			tree[i] = int32(i)
		}
		root := func(i int32) int32 {
			for tree[i] != i {
				tree[i] = tree[tree[i]]
				i = tree[i]
			}
			return i
		}
		for _, e := range edges {
			if p, q := root(e.a>>1), root(e.b>>1); p != q {
				tree[p] = q
				bound += e.priced
				degree[e.a]++
				degree[e.b]++
			}
		}
		// Home and park: the two cheapest hops to different ends.
		first, second := int32(-1), int32(-1)
		at := func(e int32) float64 { return f.pos[e].Len() + price[e] }
		for e := range base {
			if first < 0 || at(e) < at(first) {
				first, second = e, first
			} else if second < 0 || at(e) < at(second) {
				second = e
			}
		}
		bound += at(first) + at(second)
		degree[first]++
		degree[second]++
		best = max(best, bound)
		var norm float64
		for e, d := range degree {
			trend[e] = 0.7*float64(d-1) + 0.3*trend[e]
			norm += trend[e] * trend[e]
		}
		if norm == 0 {
			break
		}
		for e := range price {
			price[e] += step * (tour - bound) / norm * trend[e]
		}
		step *= 0.985
	}
	return best
}

// TestLowerBound compares with the bounds published with the instances, which
// are proved by branch and cut and so nearer to the best tour.
func TestLowerBound(t *testing.T) {
	got := lowerBound(readSVG(t, "seg-200.svg"), 6676.867, 150)
	if got > 6676.867 || got < 0.98*6676.766 {
		t.Errorf("bound %g; the best tour is 6676.867, the published bound 6676.766", got)
	}
}
