package bound

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
)

// An ascent is the state of one lower bound: prices on the ends, which are raised
// where a least tree has more than one hop and lowered where it has none.
type ascent struct {
	hops       []pricedHop        // to near neighbours, and those that trees over all pairs took
	known      map[[2]int32]int32 // where they are
	home, park paths.Point
	pos        []paths.Point
	loops      []*loop  // by stroke; nil for all else
	discs      [][]disc // by stroke: discs that cover a loop
	round      []disc   // by stroke: a disc that holds its ends, or all of a loop
	price      []float64
	degree     []float64
	moved      []moved
	sides      []side
	at         [][]int32 // by stroke: the sides of a loop
}

type pricedHop struct {
	cost, priced float64
	a, b         int32
	sides        [2]int32 // at a and at b, or -1 where that is no loop
}

func newAscent(strokes []paths.Stroke, home, park paths.Point) *ascent {
	n := len(strokes)
	a := &ascent{
		home: home, park: park,
		pos: make([]paths.Point, 2*n), loops: make([]*loop, n), discs: make([][]disc, n), round: make([]disc, n),
		known: map[[2]int32]int32{}, at: make([][]int32, n),
		price: make([]float64, 2*n), degree: make([]float64, 2*n), moved: make([]moved, 2*n),
	}
	for i, s := range strokes {
		points := a.pos[2*i : 2*i+2]
		points[0], points[1] = s.Start(), s.End()
		if s.IsClosed() {
			a.loops[i] = newLoop(s)
			a.discs[i] = a.loops[i].discs()
		}
		mid := paths.BoundsOf(strokes[i : i+1]).Centre()
		r := max(mid.Dist(points[0]), mid.Dist(points[1]))
		for _, d := range a.discs[i] {
			r = max(r, mid.Dist(d.Point)+d.radius)
		}
		a.round[i] = disc{mid, r}
	}
	a.addNear()
	return a
}

// nearestKept is how many ends nearest to each end the ascent begins with.
const nearestKept = 8

// addNear makes the hops to near ends known.
func (a *ascent) addNear() {
	var at []paths.Point
	var end []int32
	for s, discs := range a.discs {
		e := int32(2 * s)
		for _, d := range discs {
			at, end = append(at, d.Point), append(end, e)
		}
		if discs == nil {
			at, end = append(at, a.pos[e], a.pos[e+1]), append(end, e, e+1)
		}
	}
	index := near.NewPoints(at)
	for i, p := range at {
		found := map[int32]bool{}
		for r := 0; r <= index.Rings() && len(found) < nearestKept; r++ {
			for k := range index.Ring(p, r) {
				if b := end[k]; b>>1 != end[i]>>1 {
					found[b] = true
					a.add(end[i], b)
				}
			}
		}
	}
}

// add makes the hop between two ends known.
func (a *ascent) add(e, b int32) {
	if e > b {
		e, b = b, e
	}
	if _, ok := a.known[[2]int32{e, b}]; !ok {
		a.known[[2]int32{e, b}] = int32(len(a.hops))
		a.hops = append(a.hops, a.hopBetween(e, b))
	}
}

// least returns a distance that no hop between the ends falls below.
func (a *ascent) least(e, b int32) float64 {
	p, q := a.discs[e>>1], a.discs[b>>1]
	switch {
	case p == nil && q == nil:
		return a.pos[e].Dist(a.pos[b])
	case p == nil:
		return apart(a.pos[e], q)
	case q == nil:
		return apart(a.pos[b], p)
	}
	d := math.Inf(1)
	for _, x := range p {
		d = min(d, apart(x.Point, q)-x.radius)
	}
	return max(0, d)
}

// apart returns a distance that no point of the discs is nearer to p than.
func apart(p paths.Point, discs []disc) float64 {
	d := math.Inf(1)
	for _, x := range discs {
		d = min(d, p.Dist(x.Point)-x.radius)
	}
	return max(0, d)
}

// clear starts a tree and returns the sum of the prices, less what the visits cost.
func (a *ascent) clear() (sum float64) {
	for e, p := range a.price {
		a.degree[e] = 0
		sum += p
	}
	for i := range a.sides {
		a.sides[i].degree = 0
	}
	return sum - a.visits()
}

// near finds the degrees in a tree of known hops, most of them to near neighbours.
func (a *ascent) near() {
	a.clear()
	for i, h := range a.hops {
		a.hops[i].priced = a.pricedHop(&h)
	}
	slices.SortFunc(a.hops, func(p, q pricedHop) int { return cmp.Compare(p.priced, q.priced) })
	joined := near.NewSets(len(a.round))
	for _, h := range a.hops {
		if joined.Join(int(h.a>>1), int(h.b>>1)) {
			a.degree[h.a]++
			a.degree[h.b]++
			for _, s := range h.sides {
				if s >= 0 {
					a.sides[s].degree++
				}
			}
		}
	}
	a.outer()
}

// pricedHop returns what a known hop costs in a tree at the present prices and tolls.
func (a *ascent) pricedHop(h *pricedHop) float64 {
	c := h.cost + a.price[h.a] + a.price[h.b]
	for _, s := range h.sides {
		if s >= 0 {
			c += a.sides[s].toll
		}
	}
	return c
}

// A target is an end and what a hop to it costs.
type target struct {
	d   float64
	end int32
}

// outer returns the cost of the cheapest hop from home and the cheapest to the park
// position, at different ends.
func (a *ascent) outer() float64 {
	from, to := a.cheapest(a.home), a.cheapest(a.park)
	best, e, b := math.Inf(1), int32(0), int32(0)
	for _, x := range from {
		for _, y := range to {
			if x.end != y.end && x.d+y.d < best {
				best, e, b = x.d+y.d, x.end, y.end
			}
		}
	}
	a.degree[e]++
	a.degree[b]++
	return best
}

// cheapest returns the two ends with the cheapest hops from p.
func (a *ascent) cheapest(p paths.Point) [2]target {
	out := [2]target{{math.Inf(1), 0}, {math.Inf(1), 0}}
	for e := range int32(len(a.price)) {
		var d float64
		if l := a.discs[e>>1]; l != nil {
			d = apart(p, l)
		} else {
			d = p.Dist(a.pos[e])
		}
		d += a.price[e]
		if d < out[0].d {
			out[0], out[1] = target{d, e}, out[0]
		} else if d < out[1].d {
			out[1] = target{d, e}
		}
	}
	return out
}

// reprice raises the prices of ends with more hops than one and lowers those of
// ends with none, by about step mm, and the tolls likewise. Both ends of a dot or loop
// have one price, since either hop may be at either. It returns false when each has its
// own: the tree is a tour.
func (a *ascent) reprice(step float64) bool {
	wrong := false
	for e := range a.price {
		d := a.degree[e] - 1
		if a.single(int32(e)) {
			d = (a.degree[e]+a.degree[e^1])/2 - 1
		}
		a.price[e] += step * a.moved[e].by(d)
		wrong = wrong || d != 0
	}
	for i := range a.sides {
		s := &a.sides[i]
		s.toll += step * s.moved.by(s.degree)
		wrong = wrong || s.degree != 0
	}
	return wrong
}

// Moved is how a price has been moved so far.
type moved struct{ mean, square float64 }

// by returns how far to move a price that is wrong by d: by the mean of what it was
// wrong by of late, divided by how much that varies (Kingma and Ba, Adam, 2015). With one
// length of step for all, the many tolls swing too far long before the prices
// get where they should.
func (m *moved) by(d float64) float64 {
	m.mean = 0.9*m.mean + 0.1*d
	m.square = 0.99*m.square + 0.01*d*d
	return m.mean / (math.Sqrt(m.square) + 0.05)
}

func (a *ascent) single(e int32) bool {
	return a.discs[e>>1] != nil || a.pos[e] == a.pos[e^1]
}

// whole returns the bound at the present prices over all pairs of strokes: the least
// spanning tree by Prim's method, in time that grows with the square of their number
// and memory that grows with the number. The hops of the tree become known.
func (a *ascent) whole() float64 {
	bound := -a.clear()
	n := len(a.round)
	lowest := make([]float64, n) // price of a stroke's ends
	key := make([]float64, n)    // cheapest hop to the tree so far
	hop := make([][2]int32, n)   // its ends
	for s := range n {
		lowest[s], key[s] = min(a.price[2*s], a.price[2*s+1]), math.Inf(1)
	}
	left := make([]int32, n-1) // strokes outside the tree
	for i := range left {
		left[i] = int32(i + 1)
	}
	known := a.byStroke()
	try := func(s int32, d float64, ends [2]int32) {
		if d < key[s] {
			key[s], hop[s] = d, ends
		}
	}
	for at := int32(0); len(left) > 0; {
		for _, i := range known[at] {
			h := &a.hops[i]
			try(h.a>>1+h.b>>1-at, a.pricedHop(h), [2]int32{h.a, h.b})
		}
		next := 0
		for i, s := range left {
			p, q := &a.round[at], &a.round[s]
			room := key[s] - lowest[at] - lowest[s] + p.radius + q.radius
			// Nothing of s is as near as that.
			if room > 0 && p.Dist(q.Point) < room {
				d, ends := a.unknown(at, s)
				try(s, d, ends)
			}
			if key[s] < key[left[next]] {
				next = i
			}
		}
		at = left[next]
		bound += key[at]
		a.add(hop[at][0], hop[at][1])
		left[next] = left[len(left)-1]
		left = left[:len(left)-1]
	}
	return bound + a.outer()
}

// byStroke returns the known hops of every stroke.
func (a *ascent) byStroke() [][]int32 {
	out := make([][]int32, len(a.round))
	for i, h := range a.hops {
		out[h.a>>1], out[h.b>>1] = append(out[h.a>>1], int32(i)), append(out[h.b>>1], int32(i))
	}
	return out
}

// unknown returns the cheapest hop between two strokes of those that are not known, at
// the present prices.
func (a *ascent) unknown(s, t int32) (float64, [2]int32) {
	best, ends := math.Inf(1), [2]int32{}
	for e := 2 * s; e <= a.lastEnd(s); e++ {
		for b := 2 * t; b <= a.lastEnd(t); b++ {
			if _, ok := a.known[[2]int32{min(e, b), max(e, b)}]; ok {
				continue
			}
			if d := a.least(e, b) + a.price[e] + a.price[b]; d < best {
				best, ends = d, [2]int32{e, b}
			}
		}
	}
	return best, ends
}

// lastEnd returns the second end of a stroke, or the first of a loop, whose hops are all
// there.
func (a *ascent) lastEnd(s int32) int32 {
	if a.loops[s] != nil {
		return 2 * s
	}
	return 2*s + 1
}
