package order

import (
	"cmp"
	"math/rand/v2"
	"slices"

	"weftplot/paths/cores"
	"weftplot/paths/near"
)

// greedy returns a tour to start from: it takes the shortest possible hop again and
// again (Bentley 1992). What segments result are strokes of a tour of their own, which is
// found in the same way and improved. So it does not end on a few hops from one side of
// the sheet to the other, which no search of neighbours would find a way round. With
// rng, hops are taken to be longer by chance, so that each tour is another.
func greedy(f *instance, adjacent *neighbours, rng *rand.Rand) []int32 {
	ends := make([][2]int32, len(f.loop))
	for i := range ends {
		ends[i] = [2]int32{int32(2 * i), int32(2*i + 1)}
	}
	partner := unset(len(f.pos))
	join(f, adjacent, ends, partner, rng)
	segments := loose(ends, partner)
	w := &ordering{f: f.sub(segments), seq: identity(len(segments))}
	if n := len(segments); n > 2 && n < len(ends) { // otherwise there are too few neighbours to go on
		w.near = newNeighbours(w.f)
		w.seq = greedy(w.f, w.near, rng)
		w.patches(w.all(), rand.New(rand.NewPCG(1, 5)), func(s *search, size int) float64 {
			return s.descend() + s.perturb(segmentWork*size, cooling{}, func(int) bool { return true })
		})
	}
	last := w.seq[len(w.seq)-1]
	for _, e := range w.seq {
		a, b := segments[last>>1][last&1^1], segments[e>>1][e&1]
		partner[a], partner[b] = b, a
		last = e
	}
	(&ordering{f: f}).enterLike(segments, w)
	return follow(0, partner)
}

// segmentWork is the work spent on each segment that is to be joined to others.
const segmentWork = 300

// vague is by what share a hop is taken to be longer at most, where tours are to differ.
const vague = 0.5

// A link is a hop that may join two segments.
type link struct {
	d    float64
	a, b int32
}

// links returns the hops between neighbours. A hop to a dot or loop stands for those to
// both of its ends, but with rng, which makes each of them another length.
func links(g *instance, adjacent *neighbours, rng *rand.Rand) []link {
	var hops []link
	counts := func(e int32) bool { return rng != nil || g.sole(e) == e }
	for a := range int32(len(g.pos)) {
		if !counts(a) {
			continue
		}
		for _, b := range adjacent.of(a) {
			if !counts(b) || a > b && slices.Contains(adjacent.of(b), a) {
				continue
			}
			d := g.gap(a, b)
			if rng != nil {
				d *= 1 + vague*rng.Float64()
			}
			hops = append(hops, link{d, a, b})
		}
	}
	return hops
}

// join joins segments, given by their ends, by the shortest hops between
// neighbours.
func join(g *instance, adjacent *neighbours, ends [][2]int32, partner []int32, rng *rand.Rand) {
	hops := links(g, adjacent, rng)
	cores.Sort(hops, func(p, q link) int {
		return cmp.Or(cmp.Compare(p.d, q.d), cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b))
	})
	joined := near.NewSets(len(ends))
	free := func(e int32) int32 {
		at := ends[e>>1][e&1]
		if rng == nil && partner[at] >= 0 && g.single(e>>1) {
			at = ends[e>>1][e&1^1]
		}
		return at
	}
	for _, h := range hops {
		a, b := free(h.a), free(h.b)
		if partner[a] < 0 && partner[b] < 0 && joined.Join(int(h.a>>1), int(h.b>>1)) {
			partner[a], partner[b] = b, a
		}
	}
}

// gap returns the cost of the hop between two ends, loops entered where it is
// least. Of many short loops it is that between their middles: where they are entered is
// not known yet, and a tour of the middles leads round them in a better order. From there
// the search is .2 % to .4 % shorter.
func (f *instance) gap(a, b int32) float64 {
	if f.many && f.short(a>>1) && f.short(b>>1) {
		return f.between(f.hull[a>>1].Point, f.hull[b>>1].Point)
	}
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

// short reports whether the stroke is a loop of which every part is near every other.
func (f *instance) short(stroke int32) bool {
	n := len(f.loop[stroke])
	return n > 0 && n < mostEntries
}

// loose returns the segments that hops have joined, by their ends.
func loose(ends [][2]int32, partner []int32) [][2]int32 {
	// Where a segment begins, and where it ends: followed from each loose end.
	other := unset(len(partner))
	for _, e := range ends {
		other[e[0]], other[e[1]] = e[1], e[0]
	}
	var out [][2]int32
	done := make([]bool, len(partner))
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
