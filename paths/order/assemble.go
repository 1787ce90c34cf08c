package order

import (
	"cmp"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
)

// Thorough effort breeds a tour from many, by edge assembly crossover in its local form
// (Nagata and Kobayashi, INFORMS Journal on Computing 25, 2013). The hops of two parents
// that differ form AB-cycles, which take a hop of each in turn. A child is the first
// parent with the hops of AB-cycles exchanged for those of the second. That may leave
// several tours; each is joined to another by the exchange of a hop of each that costs
// least. Since the strokes are in both parents and every end has one hop, the AB-cycles
// of two parents are given and share no end. A population as small as these soon has few
// hops left that differ, so a child takes several AB-cycles, where the published method
// takes one.

// A breeding says how many tours are bred, and which share of the work finds those that the
// breeding begins with.
type breeding struct {
	tours int
	share float64
}

// At normal effort few tours are bred, and only for groups that few are enough for: more
// strokes than one patch has, at most mostAtNormal, and at most the share loopsAtNormal of
// them loops. The work of the starts and of the crossings is not counted as steps, and loops
// take twice as much of it.
var breedings = map[Effort]breeding{Normal: {16, 0.6}, Thorough: {100, 0.5}}

const (
	mostAtNormal   = 2500
	mostAtThorough = 8000
	loopsAtNormal  = 0.6       // of the strokes
	bredAtNormal   = 5_000_000 // the work, and that
	eachAtNormal   = 17_000    // for each stroke
)

const (
	children = 30 // at most, of each pair of parents
	taken    = 4  // AB-cycles that a child takes at most
	mostIdle = 30 // generations in which the shortest tour stays as it is
)

// A child is a change of the first parent.
type child struct {
	gain  float64
	worth float64    // the gain for the variety that is lost
	cycle []int32    // the AB-cycle
	joins [][2]int32 // ends that are then joined to each other
}

// evolve spends the given work on many tours that are bred with each other, and with w unless
// it is longer than all of them, and leaves w no longer than it was.
func (r *solver) evolve(w *ordering, size breeding, work int) {
	before := r.best - w.cost() // of the groups before
	first := int(size.share * float64(work))
	tours := r.population(w, size.tours, first)
	if shorter(w, slices.MaxFunc(tours, shorter)) < 0 {
		tours = append(tours, w.clone())
	}
	r.breed(tours, before, work-first)
	if bred := slices.MinFunc(tours, shorter); shorter(bred, w) < 0 {
		w.become(bred)
	}
	r.set(before + w.cost())
	r.descend(w, rand.New(rand.NewPCG(1+r.seed, 7)), r.Effort)
}

// population returns many tours of the strokes of w, each from another start, which share
// the work. They are good for their time and differ as much as they can.
func (r *solver) population(w *ordering, count, work int) []*ordering {
	tours := make([]*ordering, count)
	warm := heat * w.cost() / float64(len(w.seq))
	sideBySide(count, func(i int) {
		tours[i] = w.clone()
		if r.tick(0) {
			rng := rand.New(rand.NewPCG(1000*r.seed+11, uint64(i)))
			r.startAnew(tours[i], rng, work/count, warm)
		}
	})
	return tours
}

// startAnew puts a tour from a start of its own in place of t.
func (r *solver) startAnew(t *ordering, rng *rand.Rand, work int, warm float64) {
	t.seq = greedy(t.f, t.near, rng)
	t.patches(t.all(), rng, func(s *search, _ int) float64 { return s.descend() })
	for cut := range cutsOfOne {
		cooled := cooling{from: warm}.part(cut, cutsOfOne)
		t.patches(t.all(), rng, func(s *search, size int) float64 {
			if !r.tick(0) {
				return 0
			}
			return s.perturb(work/cutsOfOne*size/len(t.seq), cooled, r.tick)
		})
	}
}

// sideBySide calls work for each number below count, as many at a time as there are cores:
// more would take memory.
func sideBySide(count int, work func(i int)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(count, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < count; i = int(next.Add(1)) - 1 {
				work(i)
			}
		})
	}
	wg.Wait()
}

// breed crosses the tours with each other, generation after generation, until no child is
// shorter than its first parent or the work is done. No tour gets longer. before is the
// cost of the groups before.
func (r *solver) breed(tours []*ordering, before float64, work int) {
	rng := rand.New(rand.NewPCG(1+r.seed, 17))
	best := math.Inf(1)
	for idle := 0; work > 0 && idle < mostIdle && r.tick(0); idle++ {
		if b := slices.MinFunc(tours, shorter).cost(); b < best-tiny {
			best, idle = b, 0
			r.set(before + best)
		}
		spent, changed := generation(tours, rng)
		r.tick(spent)
		work -= spent
		if !changed {
			return
		}
	}
}

// generation replaces each tour by its best child with the one that comes next in random
// order, and returns the work that took, and whether any tour changed.
func generation(tours []*ordering, rng *rand.Rand) (work int, changed bool) {
	order := rng.Perm(len(tours))
	next := make([]*ordering, len(tours))
	spent := make([]int, len(tours))
	seed := rng.Uint64()
	v := varietyOf(tours)
	sideBySide(len(tours), func(i int) {
		a, b := order[i], order[(i+1)%len(order)]
		next[a], spent[a] = tours[a].cross(tours[b], v, rand.New(rand.NewPCG(seed, uint64(i))))
	})
	for i := range tours {
		changed = changed || next[i] != tours[i]
		work += spent[i]
	}
	copy(tours, next)
	return work, changed
}

func shorter(a, b *ordering) int { return cmp.Compare(a.cost(), b.cost()) }

// cross returns a child of w and other that is shorter than w, or w where there is none, and
// the work that took. It takes the AB-cycles that are worth most, one after the other. v is the
// variety of all tours.
func (w *ordering) cross(other *ordering, v *variety, rng *rand.Rand) (*ordering, int) {
	c := newCombining(w.clone(), other)
	cycles := c.cycles()
	rng.Shuffle(len(cycles), func(i, j int) { cycles[i], cycles[j] = cycles[j], cycles[i] })
	work := len(c.seq) / 2
	var found []child
	for _, cycle := range cycles[:min(len(cycles), children)] {
		ch, steps, ok := c.bear(cycle)
		work += steps
		if ok && ch.gain > tiny {
			ch.worth = ch.gain / max(v.lost(c.f, cycle), leastLost)
			found = append(found, ch)
		}
	}
	if len(found) == 0 {
		return w, work
	}
	slices.SortStableFunc(found, func(a, b child) int { return cmp.Compare(b.worth, a.worth) })
	c.grow(found[0])
	count := 1
	for _, ch := range found[1:] {
		if count == taken {
			break
		}
		if !c.fits(ch.cycle) {
			continue
		}
		again, steps, ok := c.bear(ch.cycle) // what it gains in the child as it is now
		work += steps + len(c.seq)/8
		if ok && again.gain > tiny {
			c.grow(again)
			count++
		}
	}
	loops := c.loops()
	c.reenter(loops)
	return c.ordering, work + 8*len(loops)
}

// loops returns the strokes that are loops.
func (w *ordering) loops() []int32 {
	var out []int32
	for s, points := range w.f.loop {
		if points != nil {
			out = append(out, int32(s))
		}
	}
	return out
}

// fits reports whether the first parent still has its hops of an AB-cycle: the joins of
// another may have taken them.
func (c *combining) fits(cycle []int32) bool {
	for i := 0; i < len(cycle); i += 2 {
		if c.own[cycle[i]] != cycle[i+1] {
			return false
		}
	}
	return true
}

// grow makes the change of a child for good.
func (c *combining) grow(ch child) {
	c.seq = c.grown(ch)
	c.number()
}

// grown makes the change of a child for good, and returns its tour.
func (c *combining) grown(ch child) []int32 {
	c.exchange(ch.cycle)
	c.gain(ch.cycle)
	for _, j := range ch.joins {
		c.join(j[0], j[1])
	}
	return follow(c.seq[0], c.own)
}

// exchange swaps the hops of an AB-cycle of the parents.
func (c *combining) exchange(cycle []int32) {
	for _, e := range cycle {
		c.own[e], c.theirs[e] = c.theirs[e], c.own[e]
	}
}

// join joins a to b, and to each other what those were joined to before. It returns what a
// was joined to; joining that to a again takes the change back.
func (c *combining) join(a, b int32) int32 {
	p, q := c.own[a], c.own[b]
	c.own[a], c.own[b], c.own[p], c.own[q] = b, a, q, p
	return p
}

// bear returns the child of one AB-cycle, and the work that took, and leaves the parents
// as they were. It reports false where there is none.
func (c *combining) bear(cycle []int32) (ch child, work int, ok bool) {
	c.exchange(cycle)
	gain, undo := c.gain(cycle)
	ch = child{gain: gain, cycle: cycle}
	t := c.subtours(cycle)
	work = 4 * len(cycle)
	var before [][2]int32
	for ok = true; t.count > 1; {
		o, steps := t.cheapest()
		work += steps
		if ok = o.a >= 0; !ok {
			break
		}
		ch.gain += o.gain
		ch.joins = append(ch.joins, [2]int32{o.a, o.b})
		t.unite(t.of(o.a), t.of(o.b))
		before = append(before, [2]int32{o.a, c.join(o.a, o.b)})
	}
	for _, j := range slices.Backward(before) {
		c.join(j[0], j[1])
	}
	undo()
	c.exchange(cycle)
	return ch, work, ok
}

// Subtours are what the exchange of an AB-cycle leaves: runs of the strokes between the
// hops that were taken out, each of some tour.
type subtours struct {
	*combining
	cuts  []int32 // places before which a hop was taken out; a run goes up to the next
	label []int32 // by run: its tour
	size  []int   // by tour: its strokes, 0 of one that was joined to another
	count int
}

// subtours returns what the exchange leaves.
func (c *combining) subtours(cycle []int32) *subtours {
	t := &subtours{combining: c}
	for _, e := range cycle {
		if k := c.at[e>>1]; c.seq[k] == e {
			t.cuts = append(t.cuts, k)
		}
	}
	slices.Sort(t.cuts)
	t.label = unset(len(t.cuts))
	for i := range t.cuts {
		if t.label[i] >= 0 {
			continue
		}
		first := c.seq[t.cuts[i]]
		size := 0
		for in := first; ; {
			run := t.run(in)
			t.label[run] = int32(t.count)
			from, to := t.ends(run)
			size += t.strokes(run)
			out := to
			if in == to {
				out = from
			}
			if in = c.own[out]; in == first {
				break
			}
		}
		t.size = append(t.size, size)
		t.count++
	}
	return t
}

// run returns the run that end e lies in.
func (t *subtours) run(e int32) int {
	i, found := slices.BinarySearch(t.cuts, t.at[e>>1])
	if !found {
		i--
	}
	return (i + len(t.cuts)) % len(t.cuts)
}

// of returns the tour that end e lies in.
func (t *subtours) of(e int32) int32 { return t.label[t.run(e)] }

// strokes returns how many strokes a run has.
func (t *subtours) strokes(run int) int {
	count := int(t.cuts[(run+1)%len(t.cuts)] - t.cuts[run])
	if count <= 0 {
		count += len(t.seq)
	}
	return count
}

// ends returns the ends of a run.
func (t *subtours) ends(run int) (from, to int32) {
	last := int(t.cuts[run]) + t.strokes(run) - 1
	return t.seq[t.cuts[run]], t.seq[last%len(t.seq)] ^ 1
}

// An opening is the ends to join so that two tours become one, and what that gains.
type opening struct {
	a, b int32
	gain float64
}

// cheapest returns how the smallest tour becomes part of another at the least cost, and the
// work to find it; a is -1 where no neighbour of the smallest is in another.
func (t *subtours) cheapest() (best opening, work int) {
	least := -1
	for i, n := range t.size {
		if n > 0 && (least < 0 || n < t.size[least]) {
			least = i
		}
	}
	best = opening{-1, -1, math.Inf(-1)}
	for run, label := range t.label {
		if int(label) != least {
			continue
		}
		first := int(t.cuts[run])
		for k := range t.strokes(run) {
			e := t.seq[(first+k)%len(t.seq)]
			work += t.cheaperAt(e, label, &best) + t.cheaperAt(e^1, label, &best)
		}
	}
	return best, work
}

// cheaperAt looks for a cheaper way at end x of a tour, and returns the work.
func (t *subtours) cheaperAt(x, tour int32, best *opening) int {
	p := t.own[x]
	now := t.f.d(x, p)
	first, end := t.near.start[x], t.near.start[x+1]
	for i := first; i < end; i++ {
		y := t.near.ends[i]
		q := t.own[y]
		gain := now - t.f.d(x, y) + t.f.d(y, q)
		if gain <= best.gain {
			continue // the other hop costs something, too
		}
		if gain -= t.f.d(p, q); gain > best.gain && t.of(y) != tour {
			*best = opening{x, y, gain}
		}
	}
	return int(end - first)
}

// unite makes tour b part of tour a.
func (t *subtours) unite(a, b int32) {
	for i, l := range t.label {
		if l == b {
			t.label[i] = a
		}
	}
	t.size[a] += t.size[b]
	t.size[b] = 0
	t.count--
}
