package order

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"sync"

	"weftplot/paths"
)

// A solver orders groups and keeps count of the work.
type solver struct {
	Options
	seed  uint64 // of what is drawn in the search
	mu    sync.Mutex
	steps int // work done
	total int // work planned
	aside int // work done beside the search, which no effort plans
	best  float64
	ended bool
}

// cost returns the cost that the options minimise.
func (r *solver) cost(placed []Placed) float64 {
	if r.Cost != nil {
		return travel(placed, r.Options, r.Cost)
	}
	return travel(placed, r.Options, paths.Point.Dist)
}

// inGroups orders the groups one after the other.
func (r *solver) inGroups(groups [][]paths.Stroke) []Placed {
	for _, strokes := range groups {
		r.total += budget(r.Effort, strokes) + asideWork*len(strokes)
	}
	tours := make([][]Placed, len(groups))
	at := r.Home
	for g, strokes := range groups {
		if len(strokes) > 0 {
			tours[g] = r.group(strokes, at, r.goal(groups[g+1:], at))
			at = tours[g][len(strokes)-1].Stroke.End()
		}
	}
	r.meet(groups, tours)
	for g, placed := range tours {
		for i := range placed {
			placed[i].Group = g
		}
	}
	return slices.Concat(tours...)
}

// meet reorders small groups, such as borders, now that it is known where the
// next one starts.
func (r *solver) meet(groups [][]paths.Stroke, tours [][]Placed) {
	to := r.Park
	for g, placed := range slices.Backward(tours) {
		if len(placed) == 0 {
			continue
		}
		if len(placed) <= mostExact {
			from := r.Home
			for _, before := range tours[:g] {
				if len(before) > 0 {
					from = before[len(before)-1].Stroke.End()
				}
			}
			between := solver{Options: Options{Home: from, Park: to, Cost: r.Cost, Effort: Quick}}
			if again := between.group(groups[g], from, to); between.cost(again) < between.cost(placed) {
				tours[g] = again
			}
		}
		to = tours[g][0].Stroke.Start()
	}
}

// goal returns where a group is to end: at the park position after the last,
// before others at their point nearest to where it starts.
func (r *solver) goal(rest [][]paths.Stroke, from paths.Point) paths.Point {
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
func (r *solver) group(strokes []paths.Stroke, from, to paths.Point) []Placed {
	f := newInstance(strokes, from, to, r.Cost)
	beside := r.beside(len(strokes))
	near := findNeighbours(f, func(share float64) { beside(share * untilNear) })
	w := &ordering{f: f, near: near, seq: exact(f)}
	if w.seq == nil {
		w.seq = greedy(f, near, nil)
	}
	beside(untilGreedy)
	before := r.best
	r.best += w.cost()
	if r.Effort == Thorough && len(w.seq) > mostExact {
		// First what normal effort does, so that the tour is never longer.
		r.begin(w, Normal, strokes)
		if rest := budget(Thorough, strokes) - budget(Normal, strokes); len(w.seq) <= mostAtThorough {
			r.evolve(w, breedings[Thorough], rest)
		} else {
			r.merge(w, rest)
		}
	} else {
		r.begin(w, r.Effort, strokes)
	}
	placed := place(strokes, w, from, to, func(share float64) { beside(untilSettled + (1-untilSettled)*share) })
	beside(1)
	r.best = before + w.cost()
	return placed
}

// begin spends the work of an effort on a tour to start from.
func (r *solver) begin(w *ordering, effort Effort, strokes []paths.Stroke) {
	if n := len(w.seq); effort == Normal && n > patchSize && n <= mostAtNormal && float64(loopsAmong(strokes)) <= loopsAtNormal*float64(n) {
		r.evolve(w, breedings[Normal], bredAtNormal+n*eachAtNormal) // loops take no more tours
		return
	}
	r.shorten(w, effort, budget(effort, strokes))
}

// heat is how much longer a tour may become at first and still be kept, as a
// share of the mean hop.
const heat = 0.1

// rounds is how often the tour is cut into other parts, by effort; thorough effort begins as
// normal effort does. The heat falls through all of them, so that the edges of the parts of
// one round are searched in the next as anything else.
var rounds = [...]int{Quick: 6, Normal: 16}

// roundsOfMany is the rounds of quick effort where there are many loops. A round takes at
// least one kick in each patch, which is more than its share of the work there: with half as
// many, ordering takes a quarter less time, and tours are .1 % to .6 % longer.
const roundsOfMany = 3

// rounds returns how many there are for w.
func (w *ordering) rounds(effort Effort) int {
	if effort == Quick && w.f.many {
		return roundsOfMany
	}
	return rounds[effort]
}

// shorten is the whole search for one group.
func (r *solver) shorten(w *ordering, effort Effort, work int) {
	rng := rand.New(rand.NewPCG(1+r.seed, 2))
	w.unsettled = slices.Repeat([]bool{true}, len(w.f.pos))
	defer func() { w.unsettled = nil }()
	r.descend(w, rng, effort)
	r.shortenLong(w, rng)
	n := len(w.seq)
	whole := cooling{from: heat * w.cost() / float64(n)}
	if n <= patchSize {
		r.perturb(w, w.all(), rng, work, whole)
		return
	}
	rounds := w.rounds(effort)
	forLong := int(longShare * float64(work))
	work -= forLong
	before := r.best - w.cost() // of the groups before
	for round := range rounds {
		warm := whole.part(round, rounds)
		r.perturbRegions(w, w.all(), rng, 1000*r.seed+uint64(round)+3, work/rounds, warm)
		if round%longEvery == longEvery-1 {
			r.perturbRegions(w, w.aroundLong(max(fewestLong, n/16)), rng, 1000*r.seed+uint64(round)+103, forLong/(rounds/longEvery), warm)
		}
		r.set(before + w.cost())
	}
	r.descend(w, rng, effort)
	r.shortenLong(w, rng)
}

// Where strokes lie in clusters, the few ways between these matter most, and they lead
// from region to region. So longShare of the work goes to the longest hops of the whole
// tour, after every few rounds; all else is a few segments then.
const (
	longShare  = 0.2
	longEvery  = 3
	fewestLong = 200 // strokes
)

// aroundLong returns about count strokes: those at the longest hops, and their neighbours.
func (w *ordering) aroundLong(count int) []int32 {
	joined := w.joined()
	ends := slices.Clone(w.seq)
	slices.SortFunc(ends, func(a, b int32) int {
		return cmp.Or(cmp.Compare(w.f.d(b, joined[b]), w.f.d(a, joined[a])), cmp.Compare(a, b))
	})
	chosen := make([]bool, len(w.seq))
	var out []int32
	choose := func(e int32) {
		if s := e >> 1; !chosen[s] {
			chosen[s] = true
			out = append(out, s)
		}
	}
	for _, a := range ends {
		for _, e := range [2]int32{a, joined[a]} {
			choose(e)
			for _, b := range w.near.of(e) {
				choose(b)
			}
		}
		if len(out) >= count {
			break
		}
	}
	return out
}

// longHop is how many times the mean a hop is long that leads over other strokes.
const longHop = 6

// shortenLong improves the few very long hops, such as the one that a greedy tour ends
// with, in the whole tour: in a patch one cannot get shorter than the way to its edge.
func (r *solver) shortenLong(w *ordering, rng *rand.Rand) {
	if len(w.seq) <= patchSize {
		return
	}
	s := newSearch(newTour(w.f, w.near, w.seq), rng.Uint64())
	long := longHop * w.cost() / float64(len(w.seq))
	for _, e := range w.seq {
		if s.hops[e].cost > long {
			s.push(e)
			s.push(s.partner(e))
		}
	}
	r.gain(s.settle())
}

// onceFrom is from how many strokes on every hop is looked at once where fewer are looked at
// twice.
const onceFrom = 16_000

// descend improves every hop of the ordering until none can be: twice, since the hops
// between regions and patches are left out, and lie elsewhere the second time. At quick
// effort, and where there are very many strokes, once has to do: a second time takes a
// fifth of quick effort's time, and shortens the tour by a few thousandths.
func (r *solver) descend(w *ordering, rng *rand.Rand, effort Effort) {
	settle := func(s *search, size int) float64 {
		g := s.descend()
		r.gain(g)
		r.settled(size)
		return g
	}
	if len(w.seq) <= patchSize {
		w.patches(w.all(), rng, settle)
		return
	}
	passes := 2
	if effort == Quick || effort == Normal && len(w.seq) >= onceFrom {
		passes = 1
	}
	for range passes {
		seed := rng.Uint64()
		w.regions(w.all(), coresFor(len(w.seq)), rng, func(number int, g *region, _ float64) {
			g.patches(g.moving, rand.New(rand.NewPCG(seed, uint64(number))), settle)
		})
	}
}

// set records what the tour costs.
func (r *solver) set(cost float64) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.best = cost
}

// gain records that the tour became shorter by g.
func (r *solver) gain(g float64) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.best -= g
}

// asideWork is the work that is counted for each stroke beside the search: at quick effort
// that takes as long as the search does. It is done in phases: until each, so much of it.
const (
	asideWork    = 3_000
	untilNear    = 0.35 // neighbours are found
	untilGreedy  = 0.5  // there is a tour to start from
	untilSettled = 0.85 // each hop was looked at, before the search and after it
)

// beside returns what tells, from 0 to 1, how much of the work beside the search of a group
// of n strokes is done.
func (r *solver) beside(n int) func(share float64) {
	before := r.aside
	return func(share float64) {
		r.mu.Lock()
		defer r.mu.Unlock()
		r.toAside(before + int(share*asideWork*float64(n)))
	}
}

// settled tells that each hop of n strokes more was looked at.
func (r *solver) settled(n int) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.toAside(r.aside + n*int((untilSettled-untilGreedy)*asideWork/2))
}

// toAside tells that so much is done beside the search, if that is more than before.
func (r *solver) toAside(done int) {
	if done <= r.aside {
		return
	}
	r.aside = done
	if r.Progress != nil {
		r.Progress(min(r.steps+r.aside, r.total), r.total, r.best)
	}
}

// tick counts work and reports progress, and returns false when the search is
// to end.
func (r *solver) tick(done int) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.steps += done
	if r.Progress != nil && done > 0 {
		r.Progress(min(r.steps+r.aside, r.total), r.total, r.best)
	}
	if r.Stop != nil && !r.ended {
		r.ended = r.Stop()
	}
	return !r.ended
}
