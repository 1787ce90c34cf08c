package order

import (
	"cmp"
	"slices"

	"weftplot/paths/near"
)

// greedy returns a tour to start from: it takes the shortest possible hop again
// and again, then joins the resulting segments in the same way, each as one
// stroke, until one is left (Bentley 1992).
func greedy(f *instance, adjacent *neighbours) []int32 {
	ends := make([][2]int32, len(f.loop))
	for i := range ends {
		ends[i] = [2]int32{int32(2 * i), int32(2*i + 1)}
	}
	partner := make([]int32, len(f.pos))
	for i := range partner {
		partner[i] = -1
	}
	for g := f; len(ends) > 1; {
		before := len(ends)
		link(g, adjacent, ends, partner)
		ends = loose(ends, partner)
		if len(ends) == before { // too few neighbours to go on
			for i := 1; i < len(ends); i++ {
				partner[ends[i-1][1]], partner[ends[i][0]] = ends[i][0], ends[i-1][1]
			}
			ends = [][2]int32{{ends[0][0], ends[len(ends)-1][1]}}
		}
		if len(ends) > 1 {
			g = f.sub(ends)
			adjacent = newNeighbours(g)
		}
	}
	seq := make([]int32, 0, len(f.loop))
	for e := ends[0][0]; e >= 0; e = partner[e^1] {
		seq = append(seq, e)
	}
	return seq
}

// link joins segments, given by their ends, by the shortest hops between
// neighbours.
func link(g *instance, adjacent *neighbours, ends [][2]int32, partner []int32) {
	type link struct {
		d    float64
		a, b int32
	}
	var hops []link
	for a := range int32(len(g.pos)) {
		for _, b := range adjacent.of(a) {
			if a < b || !slices.Contains(adjacent.of(b), a) {
				hops = append(hops, link{g.gap(a, b), a, b})
			}
		}
	}
	slices.SortFunc(hops, func(p, q link) int {
		return cmp.Or(cmp.Compare(p.d, q.d), cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b))
	})
	joined := near.NewSets(len(ends))
	for _, h := range hops {
		a, b := ends[h.a>>1][h.a&1], ends[h.b>>1][h.b&1]
		if partner[a] < 0 && partner[b] < 0 && joined.Join(int(h.a>>1), int(h.b>>1)) {
			partner[a], partner[b] = b, a
		}
	}
}

// gap returns the cost of the hop between two ends, loops entered where it is
// least.
func (f *instance) gap(a, b int32) float64 {
	p := f.pos[b]
	if l := f.loop[a>>1]; l != nil {
		best := l[0]
		for _, q := range l {
			if f.between(p, q) < f.between(p, best) {
				best = q
			}
		}
		return f.between(p, best)
	}
	if f.loop[b>>1] != nil {
		return f.gap(b, a)
	}
	return f.d(a, b)
}

// loose returns the segments that hops have joined, by their ends.
func loose(ends [][2]int32, partner []int32) [][2]int32 {
	// Where a segment begins, and where it ends: followed from each loose end.
	other := make(map[int32]int32, 2*len(ends))
	for _, e := range ends {
		other[e[0]], other[e[1]] = e[1], e[0]
	}
	var out [][2]int32
	done := make(map[int32]bool)
	for _, e := range ends {
		for _, a := range e {
			if partner[a] >= 0 || done[a] {
				continue
			}
			b := other[a]
			for partner[b] >= 0 {
				b = other[partner[b]]
			}
			done[a], done[b] = true, true
			out = append(out, [2]int32{a, b})
		}
	}
	return out
}
