package order

import (
	"math"
	"math/rand/v2"
)

// The segments that a kick moves are up to longestSegment strokes long, and
// every third time up to four times that. Short segments are soon put back as
// they were; long ones make the search try something else. Of pickOf places to
// cut, the one with the longest hop is taken, which is the likeliest to be
// wrong.
const (
	longestSegment = 50
	pickOf         = 3
)

// kick sets three neighbouring segments of strokes in reverse order, each the same
// way round as before, which changes four hops so that no sequence of flips
// leads straight back: the double bridge of Martin, Otto and Felten (Complex
// Systems 5, 1991), kept to one place. It returns by how much that lengthens
// the tour. The tour has at least five strokes.
func (s *search) kick() float64 {
	n := len(s.seq)
	most := longestSegment
	if s.rng.IntN(3) == 0 {
		most *= 4
	}
	most = min(most, (n-1)/3)
	at := [4]int{s.cut(0, n)}
	for i := range 3 {
		at[i+1] = s.cut(at[i]+1, most)
	}
	place := func(k int) int32 { return s.seq[k%n] }
	b, d, f, h := place(at[0]), place(at[1]), place(at[2]), place(at[3])
	a, c, e, g := s.partner(b), s.partner(d), s.partner(f), s.partner(h)
	// a [b..c][d..e][f..g] h
	worse := s.d(a, f) + s.d(g, d) + s.d(e, b) + s.d(c, h) - s.d(a, b) - s.d(c, d) - s.d(e, f) - s.d(g, h)
	s.flip(a, b, h, g) // a [g..f][e..d][c..b] h
	s.flip(a, g, e, f) // a [f..g][e..d][c..b] h
	s.flip(g, e, c, d) // a [f..g][d..e][c..b] h
	s.flip(e, c, h, b) // a [f..g][d..e][b..c] h
	return worse
}

// cut returns one of span places after from, more likely one that a long hop
// leads to.
func (s *search) cut(from, span int) int {
	best, most := 0, -1.
	for range pickOf {
		k := from + s.rng.IntN(span)
		if c := s.hops[s.seq[k%len(s.seq)]].cost; c > most {
			best, most = k, c
		}
	}
	return best
}

// A cooling is how the heat falls during a search.
type cooling struct{ from, to float64 }

// at returns the heat after the given share of the search.
func (c cooling) at(done float64) float64 { return c.from + (c.to-c.from)*done }

// part returns the cooling of part i of n.
func (c cooling) part(i, n int) cooling {
	return cooling{c.at(float64(i) / float64(n)), c.at(float64(i+1) / float64(n))}
}

// perturb kicks the tour and repairs it until it has done the given work. It
// keeps a tour that is no longer than before, and a slightly longer one with a
// probability that falls along with the heat, a cost (Martin and Otto, Annals of
// Operations Research 63, 1996). It returns by how much the tour is shorter. Where
// the heat ends at zero, that is the shortest tour that it met; otherwise it is the last
// one, for a search to go on from, and may be longer than the first. It calls tick every
// so often with the work done since the last call, and ends when that returns false.
func (s *search) perturb(work int, heat cooling, tick func(done int) bool) float64 {
	if len(s.seq) < 5 {
		return 0
	}
	var now, best float64 // gained
	keep := s.save()
	start, reported := s.work, s.work
	for s.work-start < work {
		if s.work-reported > 1<<16 {
			if !tick(s.work - reported) {
				break
			}
			reported = s.work
		}
		s.log = s.log[:0]
		g := -s.kick()
		s.pushChanged(0)
		g += s.settle()
		cool := heat.at(float64(s.work-start) / float64(work))
		if g < 0 && (cool <= 0 || s.rng.Float64() >= math.Exp(g/cool)) {
			s.undo(0)
			continue
		}
		now += g
		if now > best+tiny && heat.from > 0 && heat.to == 0 {
			keep.store(s)
		}
		best = max(best, now)
	}
	tick(s.work - reported)
	if heat.to > 0 {
		return now
	}
	if now < best-tiny {
		keep.restore(s)
	}
	return best
}

// perturb spends the given work on the members of a settled ordering, patch by patch.
func (r *solver) perturb(w *ordering, members []int32, rng *rand.Rand, work int, warm cooling) {
	w.patches(members, rng, func(s *search, size int) float64 {
		if !r.tick(0) {
			return 0
		}
		g := s.descendWhole() + s.perturb(work*size/len(members), warm, r.tick)
		r.gain(g)
		return g
	})
}

// perturbRegions spends the given work on the members in regions side by side, or on all at
// once where they are one patch.
func (r *solver) perturbRegions(w *ordering, members []int32, rng *rand.Rand, seed uint64, work int, warm cooling) {
	if len(members) <= patchSize {
		r.perturb(w, members, rng, work, warm)
		return
	}
	w.regions(members, coresFor(len(w.seq)), rng, func(number int, g *region, share float64) {
		r.perturb(g.ordering, g.moving, rand.New(rand.NewPCG(seed, uint64(number))), int(share*float64(work)), warm)
	})
}
