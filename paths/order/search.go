package order

import (
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
	// unsettled is that of the ordering that is searched
	unsettled []bool
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

// pushChanged queues the ends whose hops have changed since mark.
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

// gainsAnEnd bounds the gains of one settling, for each end of a stroke. A
// descent takes a few. Every true gain shortens the tour, so the search would
// end without a bound; the bound stops gains that are only rounding, which
// could recur for ever.
const gainsAnEnd = 200

// settle works off the queue and returns by how much that shortens the tour. It
// stops after gainsAnEnd gains for each end.
func (s *search) settle() float64 {
	var gained float64
	remaining := gainsAnEnd * max(len(s.pos), 50)
	for s.head < len(s.queue) {
		e := s.queue[s.head]
		s.head++
		s.queued[e] = false
		for {
			mark := len(s.log)
			if remaining == 0 {
				break
			}
			g := s.once(e)
			if g <= 0 {
				break
			}
			remaining--
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

// descend improves every unsettled hop until none can be.
func (s *search) descend() float64 {
	return s.descendFrom(func(int32) bool { return true })
}

// descendWhole improves those hops of ends with all their neighbours here that are known to be
// unsettled.
func (s *search) descendWhole() float64 {
	if s.unsettled == nil {
		return 0
	}
	return s.descendFrom(func(e int32) bool { return !s.near.partial(e) })
}

// descendFrom improves the unsettled hops of the wanted ends, and those that change.
func (s *search) descendFrom(wanted func(e int32) bool) float64 {
	for _, in := range s.seq {
		for _, e := range [2]int32{in, in ^ 1} {
			if s.unsettled == nil {
				s.push(e)
			} else if s.unsettled[e] && wanted(e) {
				s.push(e)
				s.unsettled[e] = s.near.partial(e)
			}
		}
	}
	g := s.settle()
	s.log = s.log[:0]
	return g
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
