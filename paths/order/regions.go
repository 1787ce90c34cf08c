package order

import (
	"math/rand/v2"
	"slices"
	"sync"
)

// Several cores work on one tour in regions, which are parts of the sheet. The search
// of a region moves the strokes in it that are joined to none outside, so that no two
// searches change the same hop. Each leaves one tour if the others change nothing.
// Together they may leave several, though never many, and those are joined where that
// costs least (Karp, SIAM Journal on Computing 8, 1979). Regions, unlike stretches of
// the tour, leave only the strokes at their edges without their neighbours, and the
// next round has its edges elsewhere.

//
// The number of regions depends on the strokes alone, so that the tour does not depend
// on the number of cores.

// coresFor returns for how many cores a tour of n strokes is cut into regions.
func coresFor(n int) int {
	switch {
	case n >= 16_000:
		return 8
	case n >= 4000:
		return 4
	case n >= 1000:
		return 2
	}
	return 1
}

// A region is a part of an ordering that is searched on its own.
type region struct {
	*ordering
	ends   [][2]int32 // by its strokes and segments: their ends in the whole
	moving []int32    // those that may move
}

// regions cuts the members of the ordering into regions for count cores and has each changed
// by work, side by side. work is given the number of a region and its share of all members
// that may move; it is not called for a region without any.
func (w *ordering) regions(members []int32, count int, rng *rand.Rand, work func(number int, g *region, share float64)) {
	parts := w.cut(members, count, rng)
	fixed := w.crossing(parts)
	all := make([]*region, len(parts))
	sideBySide(len(parts), func(i int) {
		inside := make([]bool, len(w.seq))
		for _, s := range parts[i] {
			inside[s] = !fixed[s]
		}
		all[i] = w.region(inside)
	})
	moving := 0
	for _, g := range all {
		moving += len(g.moving)
	}
	all = slices.DeleteFunc(all, func(g *region) bool { return len(g.moving) == 0 })
	var group sync.WaitGroup
	for i, g := range all {
		group.Go(func() { work(i, g, float64(len(g.moving))/float64(moving)) })
	}
	group.Wait()
	w.unite(all)
}

// cut divides the members into sets of strokes that lie near one another, such that
// count cores have about the same to do: in the middle half of them, and what is left
// on either side, so that an edge may come to lie anywhere.
func (w *ordering) cut(members []int32, count int, rng *rand.Rand) [][]int32 {
	if count <= 1 {
		return [][]int32{members}
	}
	places := w.across(members, rng)
	n := len(places)
	first := int(rng.Float64() * float64(n) / 2)
	divide(places, first)
	divide(places[first:], n/2)
	out := w.cut(strokesOf(places[first:first+n/2]), count/2, rng)
	out = append(out, w.cut(strokesOf(places[:first]), count/4, rng)...)
	return append(out, w.cut(strokesOf(places[first+n/2:]), count/4, rng)...)
}

// crossing returns for each stroke whether it is joined to one of another part. What is in
// no part does not move, so that its hops are changed with those of one part alone.
func (w *ordering) crossing(parts [][]int32) []bool {
	of := unset(len(w.seq))
	for i, members := range parts {
		for _, s := range members {
			of[s] = int32(i)
		}
	}
	fixed := make([]bool, len(w.seq))
	last := w.seq[len(w.seq)-1] >> 1
	for _, e := range w.seq {
		s := e >> 1
		if of[s] != of[last] && of[s] >= 0 && of[last] >= 0 {
			fixed[s], fixed[last] = true, true
		}
		last = s
	}
	return fixed
}

// region returns the strokes that are inside as a region. Loops that are not keep their
// entries, because other regions rely on them.
func (w *ordering) region(inside []bool) *region {
	// A segment that goes on where the order begins again is one, too.
	first := max(0, slices.IndexFunc(w.seq, func(e int32) bool { return inside[e>>1] }))
	turned := &ordering{seq: slices.Concat(w.seq[first:], w.seq[:first])}
	ends, moving := turned.segments(inside)
	f := w.f.sub(ends)
	for i, e := range ends {
		if !inside[e[0]>>1] {
			f.loop[i] = nil
		}
	}
	sub := &ordering{f, w.near.within(f, ends, unset(len(w.f.pos))), identity(len(ends)), w.unsettledOf(ends, moving)}
	return &region{sub, ends, moving}
}

// unite makes the changes of all the regions in w.
func (w *ordering) unite(all []*region) {
	joined := w.joined()
	for _, g := range all {
		last := g.seq[len(g.seq)-1]
		for _, e := range g.seq {
			a, b := g.ends[last>>1][last&1^1], g.ends[e>>1][e&1]
			joined[a], joined[b] = b, a
			last = e
		}
		w.enterLike(g.ends, g.ordering)
		w.settleLike(g.ends, g.moving, g.ordering)
	}
	rings := w.rings(joined)
	for len(rings) > 1 {
		rings = w.joinSmallest(rings, joined)
	}
	w.seq = rings[0]
}

// rings returns the tours that the hops make, each by the ends its strokes are entered
// by.
func (w *ordering) rings(joined []int32) [][]int32 {
	var out [][]int32
	seen := make([]bool, len(w.seq))
	for _, first := range w.seq {
		if seen[first>>1] {
			continue
		}
		ring := follow(first, joined)
		for _, e := range ring {
			seen[e>>1] = true
		}
		out = append(out, ring)
	}
	return out
}

// follow returns the tour that enters a stroke by the end first.
func follow(first int32, joined []int32) []int32 {
	ring := []int32{first}
	for e := joined[first^1]; e != first; e = joined[e^1] {
		ring = append(ring, e)
	}
	return ring
}

// joinSmallest joins the smallest of the tours to another, by the exchange of a hop of
// each that costs least among those of neighbours.
func (w *ordering) joinSmallest(rings [][]int32, joined []int32) [][]int32 {
	least := 0
	of := make([]int32, len(w.seq))
	for i, ring := range rings {
		if len(ring) < len(rings[least]) {
			least = i
		}
		for _, e := range ring {
			of[e>>1] = int32(i)
		}
	}
	small := int32(least)
	best := exchangeOfTwo{a: -1}
	for _, e := range rings[least] {
		for _, a := range [2]int32{e, e ^ 1} {
			for _, b := range w.near.of(a) {
				if of[b>>1] != small {
					best = w.cheaper(best, a, b, joined)
				}
			}
		}
	}
	if best.a < 0 { // no neighbour is elsewhere
		for _, e := range w.seq {
			if of[e>>1] != small {
				best = w.cheaper(best, rings[least][0], e, joined)
			}
		}
	}
	a, b := best.a, best.b
	p, q := joined[a], joined[b]
	joined[a], joined[b], joined[p], joined[q] = b, a, q, p
	into := of[b>>1]
	rings[into] = follow(a, joined)
	return slices.Delete(rings, least, least+1)
}

// An exchangeOfTwo puts a hop from a to b, and one between what they are joined to, in
// place of their hops.
type exchangeOfTwo struct {
	a, b int32
	cost float64
}

// cheaper returns the cheaper of best and the exchange at a and b; best.a is -1 where
// there is none yet.
func (w *ordering) cheaper(best exchangeOfTwo, a, b int32, joined []int32) exchangeOfTwo {
	p, q := joined[a], joined[b]
	c := w.f.d(a, b) + w.f.d(p, q) - w.f.d(a, p) - w.f.d(b, q)
	if best.a < 0 || c < best.cost {
		return exchangeOfTwo{a, b, c}
	}
	return best
}
