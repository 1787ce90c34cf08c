package order

import (
	"math/rand/v2"
	"sync"

	"weftplot/paths"
)

// A runner orders groups and keeps count.
type runner struct {
	Options
	mu    sync.Mutex
	steps int // kicks done
	total int // kicks planned
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

// Kicks by effort: so many for each stroke.
var kicksPerStroke = [...]float64{Quick: 0.3, Normal: 3, Thorough: 30}

// inGroups orders the groups one after the other.
func (r *runner) inGroups(groups [][]paths.Stroke) []Placed {
	for _, strokes := range groups {
		r.total += r.kicks(len(strokes))
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

func (r *runner) kicks(n int) int {
	if n < 3 {
		return 0
	}
	return int(kicksPerStroke[r.Effort]*float64(n)) + 100
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
	w := &way{f: f}
	near := newNeighbours(f)
	w.seq = greedy(f, near)
	r.shorten(w, near, r.kicks(len(strokes)))
	return place(strokes, w, from, to)
}

// shorten is the whole search for one group.
func (r *runner) shorten(w *way, near *neighbours, kicks int) {
	n := len(w.seq)
	t := newTour(w.f, near, w.seq)
	base := t.length()
	if n <= 2*patchSize {
		s := newSearch(t, 1)
		gain := s.descend()
		s.perturb(kicks, 0, func(done int, g float64) bool { return r.tick(256, base-gain-g) })
		return
	}
	rng := rand.New(rand.NewPCG(2, uint64(n)))
	gain := w.patches(near, rng, func(s *search, _ int) float64 { return s.descend() })
	const rounds = 4
	count := min(mostStretch, max(2, n/stretchSize))
	for round := range rounds {
		before := gain
		g := w.stretches(count, n*(2*round+1)/(2*rounds*count), near, func(c int, s *stretch) float64 {
			rng := rand.New(rand.NewPCG(uint64(round), uint64(c)))
			var own float64
			return s.patches(s.near, rng, func(s *search, size int) float64 {
				own += s.descend()
				k := kicks / rounds * size / n
				own += s.perturb(k, 0, func(int, float64) bool { return r.tick(256, base-before) })
				return own
			})
		})
		gain += g
	}
	w.patches(near, rng, func(s *search, _ int) float64 { return s.descend() })
}

// tick counts steps and reports progress, and returns false when the search is
// to end.
func (r *runner) tick(steps int, best float64) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.steps += steps
	if r.Progress != nil {
		r.Progress(min(r.steps, r.total), r.total, best)
	}
	if r.Stop != nil && !r.ended {
		r.ended = r.Stop()
	}
	return !r.ended
}
