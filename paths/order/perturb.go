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

// The runs that a kick moves are up to this many strokes long.
var longestRun = 50
var walk = 2
var kmax = 5

// kick sets three neighbouring runs of strokes in reverse order, each the same
// way round as before, which changes four hops so that no sequence of flips
// leads straight back: the double bridge of Martin, Otto and Felten (Complex
// Systems 5, 1991), kept to one place. It returns by how much that lengthens
// the tour. The tour has at least five strokes.
func (s *search) kick() float64 {
	n := len(s.seq)
	var at [4]int
	if walk > 0 {
		e := s.seq[s.rng.IntN(n)]
		for m := 0; m < 4; {
			k := int(s.at[e>>1])
			fresh := true
			for _, o := range at[:m] {
				fresh = fresh && o != k
			}
			if fresh {
				at[m] = k
				m++
			}
			for range walk {
				if near := s.near.of(e); len(near) > 0 && s.rng.IntN(50) > 0 {
					e = near[s.rng.IntN(min(kmax, len(near)))] ^ 1
				} else {
					e = s.seq[s.rng.IntN(n)]
				}
			}
		}
		slices.Sort(at[:])
		for m := range at {
			at[m]++
		}
	} else {
		most := min(longestRun, (n-1)/3)
		at[0] = s.rng.IntN(n)
		at[1] = at[0] + 1 + s.rng.IntN(most)
		at[2] = at[1] + 1 + s.rng.IntN(most)
		at[3] = at[2] + 1 + s.rng.IntN(most)
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

// perturb kicks the tour and repairs it, so many times, keeping what is no
// longer than before, and at first a little longer now and then. It calls tick
// every so often and ends when that returns false.
func (s *search) perturb(kicks int, heat float64, tick func(done int, gained float64) bool) float64 {
	if len(s.seq) < 5 {
		return 0
	}
	var now, best float64 // gained
	keep := s.save()
	for k := range kicks {
		if k%256 == 255 && !tick(k, best) {
			break
		}
		s.log = s.log[:0]
		g := -s.kick()
		s.pushChanged(0)
		g += s.settle()
		cool := heat * (1 - float64(k)/float64(kicks))
		if g < 0 && (cool <= 0 || s.rng.Float64() >= math.Exp(g/cool)) {
			s.undo(0)
			continue
		}
		now += g
		if now > best+tiny {
			best = now
			if heat > 0 {
				keep.store(s)
			}
		}
	}
	if heat > 0 && now < best {
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
	for k, e := range s.seq {
		s.at[e>>1] = int32(k)
	}
	s.log = s.log[:0]
}
