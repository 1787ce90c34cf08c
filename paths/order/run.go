package order

import (
	"math/rand/v2"
	"sync"

	"weftplot/paths"
)

// A runner orders groups and keeps count of the work.
type runner struct {
	Options
	mu    sync.Mutex
	steps int // work done
	total int // work planned
	best  float64
	ended bool
}

// cost returns what the options make small.
func (r *runner) cost(placed []Placed) float64 {
	if r.Cost != nil {
		return travel(placed, r.Options, r.Cost)
	}
	return travel(placed, r.Options, paths.Point.Dist)
}

// budgets is the work of each effort: so much for every group, and so much for
// every stroke.
var budgets = [...]struct{ group, stroke int }{
	Quick:    {300_000, 800},
	Normal:   {6_000_000, 12_000},
	Thorough: {40_000_000, 100_000},
}

// budget returns the work planned for n strokes.
func (r *runner) budget(n int) int {
	if n < 2 {
		return 0
	}
	b := budgets[r.Effort]
	// A small group is soon as short as it gets.
	return min(b.group, n*b.group/100) + n*b.stroke
}

// inGroups orders the groups one after the other.
func (r *runner) inGroups(groups [][]paths.Stroke) []Placed {
	for _, strokes := range groups {
		r.total += r.budget(len(strokes))
	}
	var out []Placed
	at := r.Home
	for g, strokes := range groups {
		if len(strokes) == 0 {
			continue
		}
		placed := r.group(strokes, at, r.goal(groups[g+1:], at))
		for i := range placed {
			placed[i].Group = g
		}
		out = append(out, placed...)
		at = out[len(out)-1].Stroke.End()
	}
	return out
}

// goal returns where a group is to end: at the park position after the last,
// before others at their point nearest to where it starts.
func (r *runner) goal(rest [][]paths.Stroke, from paths.Point) paths.Point {
	for _, strokes := range rest {
		if len(strokes) == 0 {
			continue
		}
		best := strokes[0].Start()
		for _, s := range strokes {
			for _, p := range [2]paths.Point{s.Start(), s.End()} {
				if p.Dist(from) < best.Dist(from) {
					best = p
				}
			}
		}
		return best
	}
	return r.Park
}

// group orders one group between two points.
func (r *runner) group(strokes []paths.Stroke, from, to paths.Point) []Placed {
	f := newField(strokes, from, to, r.Cost)
	near := newNeighbours(f)
	w := &way{f: f, seq: greedy(f, near)}
	before := r.best
	r.best += newTour(f, near, w.seq).length()
	r.shorten(w, near, r.budget(len(strokes)))
	placed := place(strokes, w, from, to)
	r.best = before + newTour(f, near, w.seq).length()
	return placed
}

// rounds is how often the tour is cut otherwise.
const rounds = 4

// shorten is the whole search for one group.
func (r *runner) shorten(w *way, near *neighbours, work int) {
	rng := rand.New(rand.NewPCG(1, 2))
	r.descend(w, near, rng)
	n := len(w.seq)
	count := min(mostStretches, n/stretchSize)
	if n >= 2*smallStretch {
		count = max(2, count)
	}
	if count < 2 {
		r.perturb(w, near, rng, work)
		return
	}
	for round := range rounds {
		first := n * (2*round + 1) / (2 * rounds * count)
		w.stretches(count, first, near, func(c int, s *stretch) float64 {
			rng := rand.New(rand.NewPCG(uint64(round)+3, uint64(c)))
			return r.perturb(&s.way, s.near, rng, work/rounds/count)
		})
	}
	r.descend(w, near, rng)
}

// descend improves every hop of the way until none can be.
func (r *runner) descend(w *way, near *neighbours, rng *rand.Rand) {
	w.patches(near, rng, func(s *search, _ int) float64 {
		g := s.descend()
		r.gain(g)
		return g
	})
}

// perturb spends so much work on the way, patch by patch.
func (r *runner) perturb(w *way, near *neighbours, rng *rand.Rand, work int) float64 {
	return w.patches(near, rng, func(s *search, size int) float64 {
		if !r.tick(0) {
			return 0
		}
		g := s.descend()
		g += s.perturb(work*size/len(w.seq), r.tick)
		r.gain(g)
		return g
	})
}

// gain notes that the tour is so much shorter.
func (r *runner) gain(g float64) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.best -= g
}

// tick counts work and reports progress, and returns false when the search is
// to end.
func (r *runner) tick(done int) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.steps += done
	if r.Progress != nil && done > 0 {
		r.Progress(min(r.steps, r.total), r.total, r.best)
	}
	if r.Stop != nil && !r.ended {
		r.ended = r.Stop()
	}
	return !r.ended
}
