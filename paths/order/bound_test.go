package order

import (
	"cmp"
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/paths/near"
)

// lowerBound returns a length that no tour through open strokes falls below, by
// Held and Karp's ascent (Operations Research 18, 1970): a tour is a spanning
// tree of the strokes and a hop at home, in which each end has one hop; trees
// alone are cheaper, and prices on the ends make them tour-like. The trees use
// only hops to neighbours, so strictly this is an estimate.
func lowerBound(strokes []paths.Stroke, tour float64, rounds int) float64 {
	a := newAscent(strokes)
	best, step := 0., 1.5
	for range rounds {
		bound := a.tree() + a.home()
		best = max(best, bound)
		if !a.reprice(step * (tour - bound)) {
			break
		}
		step *= 0.985
	}
	return best
}

// ascent is the state of one lower bound.
type ascent struct {
	f      *instance
	hops   []pricedHop
	price  []float64 // by end
	degree []int     // by end, in the tree and the hops at home
	trend  []float64
}

type pricedHop struct {
	cost, priced float64
	a, b         int32
}

func newAscent(strokes []paths.Stroke) *ascent {
	f := newInstance(strokes, paths.Point{}, paths.Point{}, nil)
	n := newNeighbours(f)
	base := int32(2 * len(strokes))
	a := &ascent{f: f, price: make([]float64, base), degree: make([]int, base), trend: make([]float64, base)}
	for e := range base {
		for i := n.start[e]; i < n.start[e+1]; i++ {
			if b := n.ends[i]; b < base && (e < b || !slices.Contains(n.of(b), e)) {
				a.hops = append(a.hops, pricedHop{cost: n.cost[i], a: e, b: b})
			}
		}
	}
	return a
}

// tree returns the cost of the least spanning tree at the present prices, less
// the prices.
func (a *ascent) tree() float64 {
	for i, h := range a.hops {
		a.hops[i].priced = h.cost + a.price[h.a] + a.price[h.b]
	}
	slices.SortFunc(a.hops, func(p, q pricedHop) int { return cmp.Compare(p.priced, q.priced) })
	bound := 0.
	for e, p := range a.price {
		a.degree[e] = 0
		bound -= p
	}
	joined := near.NewSets(len(a.price) / 2)
	for _, h := range a.hops {
		if joined.Join(int(h.a>>1), int(h.b>>1)) {
			bound += h.priced
			a.degree[h.a]++
			a.degree[h.b]++
		}
	}
	return bound
}

// home returns the cost of the two cheapest hops from home to different ends.
func (a *ascent) home() float64 {
	first, second := -1, -1
	at := func(e int) float64 { return a.f.pos[e].Len() + a.price[e] }
	for e := range a.price {
		if first < 0 || at(e) < at(first) {
			first, second = e, first
		} else if second < 0 || at(e) < at(second) {
			second = e
		}
	}
	a.degree[first]++
	a.degree[second]++
	return at(first) + at(second)
}

// reprice raises the prices of ends with more hops than one and lowers those of
// ends with none. It returns false when each has one: the bound is a tour.
func (a *ascent) reprice(step float64) bool {
	var norm float64
	for e, d := range a.degree {
		a.trend[e] = 0.7*float64(d-1) + 0.3*a.trend[e]
		norm += a.trend[e] * a.trend[e]
	}
	for e := range a.price {
		if norm > 0 {
			a.price[e] += step / norm * a.trend[e]
		}
	}
	return norm > 0
}

// TestLowerBound compares with the bounds published with the instances, which
// are proved by branch and cut and so nearer to the best tour.
func TestLowerBound(t *testing.T) {
	got := lowerBound(readSVG(t, "seg-200.svg"), 6676.867, 150)
	if got > 6676.867 || got < 0.98*6676.766 {
		t.Errorf("bound %g; the best tour is 6676.867, the published bound 6676.766", got)
	}
}
