package order

import (
	"math"
	"math/rand/v2"
	"slices"

	"weftplot/paths"
)

// A search shortens a tour.
type search struct {
	*tour
	rng    *rand.Rand
	queue  []int32 // ends whose hops may be improved, oldest first
	head   int
	queued []bool
}

func newSearch(t *tour, seed uint64) *search {
	return &search{tour: t, rng: rand.New(rand.NewPCG(seed, 0x5745465450)), queued: make([]bool, len(t.pos))}
}

// push queues an end, once.
func (s *search) push(e int32) {
	if !s.queued[e] {
		s.queued[e] = true
		s.queue = append(s.queue, e)
	}
}

// pushChanged queues the ends that the changes since mark met.
func (s *search) pushChanged(mark int) {
	for _, c := range s.log[mark:] {
		if c.b < 0 {
			s.push(2 * c.a)
			s.push(2*c.a + 1)
			s.push(s.partner(2 * c.a))
			s.push(s.partner(2*c.a + 1))
			continue
		}
		s.push(c.a)
		s.push(c.b)
		s.push(c.c)
		s.push(c.d)
	}
}

// settle works the queue off and returns how much shorter the tour is for it.
func (s *search) settle() float64 {
	var gained float64
	for s.head < len(s.queue) {
		e := s.queue[s.head]
		s.head++
		s.queued[e] = false
		for {
			mark := len(s.log)
			g := s.once(e)
			if g <= 0 {
				break
			}
			gained += g
			s.pushChanged(mark)
		}
	}
	s.queue, s.head = s.queue[:0], 0
	return gained
}

// once makes the first gain at end e that it finds.
func (s *search) once(e int32) float64 {
	if s.loop[e>>1] != nil && e&1 == 0 {
		if g := s.reenter(e >> 1); g > 0 {
			return g
		}
		if g := s.move(e >> 1); g > 0 {
			return g
		}
	}
	return s.improve(e)
}

// descend improves every hop until none can be.
func (s *search) descend() float64 {
	for _, e := range s.seq {
		s.push(e)
		s.push(e ^ 1)
	}
	g := s.settle()
	s.log = s.log[:0]
	return g
}

// The runs that a kick moves are up to longestRun strokes long, and every third
// time up to four times that. Short runs are soon mended the way they were;
// these make the search look about. Of pickOf places to cut, the one with the
// longest hop is taken, which is the likeliest to be wrong.
const (
	longestRun = 50
	pickOf     = 3
)

// kick sets three neighbouring runs of strokes in reverse order, each the same
// way round as before, which changes four hops so that no sequence of flips
// leads straight back: the double bridge of Martin, Otto and Felten (Complex
// Systems 5, 1991), kept to one place. It returns by how much that lengthens
// the tour. The tour has at least five strokes.
func (s *search) kick() float64 {
	n := len(s.seq)
	most := longestRun
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

// perturb kicks the tour and repairs it until it has done so much work. It keeps
// what is no longer than before, and what is longer by little with a chance that
// falls to nothing as heat, a cost, does (Martin and Otto, Annals of Operations
// Research 63, 1996); the shortest tour met is what is left, and how much shorter
// that is, is returned. It calls tick every so often with the work done since
// the last call, and ends when that returns false.
func (s *search) perturb(work int, heat float64, tick func(done int) bool) float64 {
	if len(s.seq) < 5 {
		return 0
	}
	var now, best float64 // gained
	keep := s.save()
	start, told := s.work, s.work
	for s.work-start < work {
		if s.work-told > 1<<16 {
			if !tick(s.work - told) {
				break
			}
			told = s.work
		}
		s.log = s.log[:0]
		g := -s.kick()
		s.pushChanged(0)
		g += s.settle()
		cool := heat * (1 - float64(s.work-start)/float64(work))
		if g < 0 && (cool <= 0 || s.rng.Float64() >= math.Exp(g/cool)) {
			s.undo(0)
			continue
		}
		now += g
		if now > best+tiny && heat > 0 {
			keep.store(s)
		}
		best = max(best, now)
	}
	tick(s.work - told)
	if now < best-tiny {
		keep.restore(s)
	}
	return best
}

// A saved tour.
type saved struct {
	seq []int32
	pos []paths.Point
}

func (s *search) save() *saved { return &saved{slices.Clone(s.seq), slices.Clone(s.pos)} }

func (v *saved) store(s *search) {
	copy(v.seq, s.seq)
	copy(v.pos, s.pos)
}

func (v *saved) restore(s *search) {
	copy(s.seq, v.seq)
	copy(s.pos, v.pos)
	s.reset()
}
