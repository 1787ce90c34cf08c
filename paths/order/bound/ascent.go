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
	hops       []pricedHop // to near neighbours, and those that trees over all pairs took
	known      map[[2]int32]bool
	home, park paths.Point
	pos        []paths.Point
	discs      [][]disc // by stroke: discs that cover a loop; nil for all else
	round      []disc   // by stroke: a disc that holds its ends, or all of a loop
	price      []float64
	degree     []float64
	trend      []float64
}

type pricedHop struct {
	cost, priced float64
	a, b         int32
}

// A disc is all within a distance from a point.
type disc struct {
	paths.Point
	radius float64
}

// loopDiscs is about how many discs cover a loop.
const loopDiscs = 48

func newAscent(strokes []paths.Stroke, home, park paths.Point) *ascent {
	base := int32(2 * len(strokes))
	a := &ascent{
		home: home, park: park,
		pos: make([]paths.Point, base), discs: make([][]disc, len(strokes)), round: make([]disc, len(strokes)),
		known: map[[2]int32]bool{},
		price: make([]float64, base), degree: make([]float64, base), trend: make([]float64, base),
	}
	for i, s := range strokes {
		points := a.pos[2*i : 2*i+2]
		points[0], points[1] = s.Start(), s.End()
		if s.IsClosed() {
			a.discs[i] = cover(s)
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

// add makes the hop between two ends known, and reports whether it was not.
func (a *ascent) add(e, b int32) bool {
	if e > b {
		e, b = b, e
	}
	if a.known[[2]int32{e, b}] {
		return false
	}
	a.known[[2]int32{e, b}] = true
	a.hops = append(a.hops, pricedHop{cost: a.least(e, b), a: e, b: b})
	return true
}

// cover returns discs that together hold every point of a closed stroke.
func cover(s paths.Stroke) []disc {
	length := s.Length()
	var out []disc
	for _, c := range s {
		n := 1.
		if length > 0 {
			n = max(1, math.Ceil(loopDiscs*c.Length()/length))
		}
		for k := range int(n) {
			box := paths.Sub(c, float64(k)/n, float64(k+1)/n).Bounds()
			out = append(out, disc{box.Centre(), box.Min.Dist(box.Max) / 2 * (1 + 1e-9)})
		}
	}
	return out
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

// clear starts a tree and returns the sum of the prices.
func (a *ascent) clear() (sum float64) {
	for e, p := range a.price {
		a.degree[e] = 0
		sum += p
	}
	return sum
}

// near returns what the bound would be were all hops to near neighbours.
func (a *ascent) near() float64 {
	bound := -a.clear()
	for i, h := range a.hops {
		a.hops[i].priced = h.cost + a.price[h.a] + a.price[h.b]
	}
	slices.SortFunc(a.hops, func(p, q pricedHop) int { return cmp.Compare(p.priced, q.priced) })
	joined := near.NewSets(len(a.round))
	for _, h := range a.hops {
		if joined.Join(int(h.a>>1), int(h.b>>1)) {
			bound += h.priced
			a.degree[h.a]++
			a.degree[h.b]++
		}
	}
	return bound + a.outer()
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
// ends with none. Both ends of a dot or loop have one price, since either hop may be
// at either. It returns false when each has its own: the tree is a tour.
func (a *ascent) reprice(step float64) bool {
	var norm float64
	for e := range a.degree {
		d := a.degree[e] - 1
		if a.single(int32(e)) {
			d = (a.degree[e]+a.degree[e^1])/2 - 1
		}
		a.trend[e] = 0.7*d + 0.3*a.trend[e]
		norm += a.trend[e] * a.trend[e]
	}
	for e := range a.price {
		if norm > 0 {
			a.price[e] += step / norm * a.trend[e]
		}
	}
	return norm > 0
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
	left := make([]int, n-1) // strokes outside the tree
	for i := range left {
		left[i] = i + 1
	}
	for at := 0; len(left) > 0; {
		next := 0
		for i, s := range left {
			p, q := &a.round[at], &a.round[s]
			room := key[s] - lowest[at] - lowest[s] + p.radius + q.radius
			// Nothing of s is as near as that.
			if room > 0 && p.Dist(q.Point) < room {
				if d, ends := a.priced(int32(at), int32(s)); d < key[s] {
					key[s], hop[s] = d, ends
				}
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

// priced returns the cheapest hop between two strokes at the present prices.
func (a *ascent) priced(s, t int32) (float64, [2]int32) {
	if a.discs[s] != nil && a.discs[t] != nil {
		return a.least(2*s, 2*t) + a.price[2*s] + a.price[2*t], [2]int32{2 * s, 2 * t}
	}
	best, ends := math.Inf(1), [2]int32{2 * s, 2 * t}
	for e := 2 * s; e <= 2*s+1; e++ {
		for b := 2 * t; b <= 2*t+1; b++ {
			if d := a.least(e, b) + a.price[e] + a.price[b]; d < best {
				best, ends = d, [2]int32{e, b}
			}
		}
	}
	return best, ends
}
