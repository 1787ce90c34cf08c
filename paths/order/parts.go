package order

import (
	"math/rand/v2"
	"slices"

	"weftplot/paths"
)

// Large tours are shortened part by part: in patches, strokes that lie near one
// another (Karp, Mathematics of Operations Research 2, 1977). The part of the tour
// between two visits of a patch counts as one stroke of the patch. A patch is a
// closed tour of its own, so whatever shortens it shortens the whole. Each round
// cuts in other places.

// patchSize is how many strokes there are in a patch at most. Turning a part of a
// tour round costs time in proportion to its length, so small patches are fast.
const patchSize = 500

// An ordering is an order of the strokes of an instance, given by the ends they
// are entered by, with the neighbours of every end.
type ordering struct {
	f    *instance
	near *neighbours
	seq  []int32
	// unsettled says by end whether its hop is to be looked at: it was changed since it was
	// last looked at with all neighbours of the end. Nil says so of all.
	unsettled []bool
}

// patches shortens the ordering patch by patch and returns the gain. members
// are the strokes of w that may move. work is called with a search of each
// patch and the number of strokes that may move in it, and returns the gain
// there. Apart from work, this takes O(n log n) time, and O(n) for each patch to follow
// the tour once.
func (w *ordering) patches(members []int32, rng *rand.Rand, work func(*search, int) float64) float64 {
	if len(members) <= patchSize {
		s := newSearch(newTour(w.f, w.near, w.seq), rng.Uint64())
		s.unsettled = w.unsettled
		return work(s, len(members))
	}
	return w.patcher(rng, work).shorten(members)
}

// A patcher shortens an ordering patch by patch.
type patcher struct {
	*ordering
	rng    *rand.Rand
	work   func(*search, int) float64
	inside []bool  // by stroke: whether it may move; all false between patches
	local  []int32 // by end: scratch space, all -1 between patches
}

func (w *ordering) patcher(rng *rand.Rand, work func(*search, int) float64) *patcher {
	return &patcher{w, rng, work, make([]bool, len(w.seq)), unset(len(w.f.pos))}
}

// shorten divides the members until they make patches, and returns the gain.
func (p *patcher) shorten(members []int32) float64 {
	if len(members) <= patchSize {
		return p.among(members)
	}
	a, b := p.halves(members, p.rng)
	return p.shorten(a) + p.shorten(b)
}

// among changes the ordering with only the members moving, and returns the gain.
func (p *patcher) among(members []int32) float64 {
	for _, s := range members {
		p.inside[s] = true
	}
	ends, moving := p.segments(p.inside)
	for _, s := range members {
		p.inside[s] = false
	}
	f := p.f.sub(ends)
	sub := &ordering{f, p.near.within(f, ends, p.local), identity(len(ends)), p.unsettledOf(ends, moving)}
	gain := sub.patches(moving, p.rng, p.work)
	p.settleLike(ends, moving, sub)
	if gain != 0 {
		p.adopt(ends, sub)
	}
	return gain
}

// unsettledOf returns which ends of the given segments of w are unsettled. Those of segments
// that do not move are settled in another patch.
func (w *ordering) unsettledOf(ends [][2]int32, moving []int32) []bool {
	if w.unsettled == nil {
		return nil
	}
	out := make([]bool, 2*len(ends))
	for _, i := range moving {
		out[2*i], out[2*i+1] = w.unsettled[ends[i][0]], w.unsettled[ends[i][1]]
	}
	return out
}

// settleLike notes which ends of w are unsettled now that its segments are in the order that
// sub has for them. In the beginning they were in their own order.
func (w *ordering) settleLike(ends [][2]int32, moving []int32, sub *ordering) {
	if w.unsettled == nil {
		return
	}
	joined, n := sub.joined(), int32(2*len(ends))
	for _, i := range moving {
		for e := 2 * i; e <= 2*i+1; e++ {
			before := (e + n - 1) % n // what follows the second end, or comes before the first
			if e&1 == 1 {
				before = (e + 1) % n
			}
			w.unsettled[ends[i][e&1]] = sub.unsettled[e] || sub.near.partial(e) && joined[e] != before
		}
	}
}

// cost returns the cost of all hops.
func (w *ordering) cost() float64 {
	var sum float64
	last := w.seq[len(w.seq)-1]
	for _, e := range w.seq {
		sum += w.f.d(last^1, e)
		last = e
	}
	return sum
}

// all returns the strokes of w.
func (w *ordering) all() []int32 {
	all := make([]int32, len(w.seq))
	for i := range all {
		all[i] = int32(i)
	}
	return all
}

// halves divides the strokes into two sets that lie side by side, not quite in the
// middle.
func (w *ordering) halves(members []int32, rng *rand.Rand) (a, b []int32) {
	places := w.across(members, rng)
	cut := int(float64(len(places)) * (0.35 + 0.3*rng.Float64()))
	divide(places, cut)
	return strokesOf(places[:cut]), strokesOf(places[cut:])
}

// A spotAlong is where a stroke lies along a side of the sheet, in mm.
type spotAlong struct {
	at     float64
	stroke int32
}

// less orders places, and those at the same spot by their strokes.
func (p spotAlong) less(q spotAlong) bool {
	return p.at < q.at || p.at == q.at && p.stroke < q.stroke
}

// across returns where the strokes lie along the longer side of their box, or along either
// where the sides are about as long.
func (w *ordering) across(members []int32, rng *rand.Rand) []spotAlong {
	mid := func(s int32) paths.Point { return w.f.pos[2*s].Lerp(w.f.pos[2*s+1], 0.5) }
	box := paths.EmptyRect()
	for _, s := range members {
		box = box.Include(mid(s))
	}
	upright := box.Height() > box.Width()
	if rng.IntN(2) == 0 && max(box.Height(), box.Width()) < 1.5*min(box.Height(), box.Width()) {
		upright = !upright
	}
	places := make([]spotAlong, len(members))
	for i, s := range members {
		places[i] = spotAlong{mid(s).X, s}
		if upright {
			places[i].at = mid(s).Y
		}
	}
	return places
}

func strokesOf(places []spotAlong) []int32 {
	out := make([]int32, len(places))
	for i, p := range places {
		out[i] = p.stroke
	}
	return out
}

// divide moves the first k places along the side before the others, in O(n) time unless the
// draws are unlucky (Hoare's Find, Communications of the ACM 4, 1961).
func divide(places []spotAlong, k int) {
	for len(places) > 1 && k > 0 && k < len(places) {
		n := len(places)
		pivot := median(places[0], places[n/2], places[n-1])
		i, j := 0, n-1
		for i <= j {
			for places[i].less(pivot) {
				i++
			}
			for pivot.less(places[j]) {
				j--
			}
			if i <= j {
				places[i], places[j] = places[j], places[i]
				i++
				j--
			}
		}
		// Places up to j are at most the pivot, those from i at least.
		switch {
		case k <= j:
			places = places[:j+1]
		case k > i:
			places, k = places[i:], k-i
		default:
			return
		}
	}
}

func median(a, b, c spotAlong) spotAlong {
	if b.less(a) {
		a, b = b, a
	}
	if c.less(b) {
		b = c
		if b.less(a) {
			b = a
		}
	}
	return b
}

// segments returns the ends of the strokes of w that are inside, and between them
// the ends of the segments that are not, in order; and which of these are inside.
func (w *ordering) segments(inside []bool) (ends [][2]int32, moving []int32) {
	open := false
	for _, e := range w.seq {
		in := inside[e>>1]
		if open && !in {
			ends[len(ends)-1][1] = e ^ 1
			continue
		}
		if in {
			moving = append(moving, int32(len(ends)))
		}
		ends = append(ends, [2]int32{e, e ^ 1})
		open = !in
	}
	return ends, moving
}

func identity(n int) []int32 {
	seq := make([]int32, n)
	for i := range seq {
		seq[i] = int32(2 * i)
	}
	return seq
}

func unset(n int) []int32 {
	local := make([]int32, n)
	for i := range local {
		local[i] = -1
	}
	return local
}

// adopt puts the strokes of w in the order that sub has for its segments.
func (w *ordering) adopt(ends [][2]int32, sub *ordering) {
	// Where each segment begins in the old order.
	from := make([]int, len(ends)+1)
	k := 0
	for i, r := range ends {
		from[i] = k
		for w.seq[k]^1 != r[1] {
			k++
		}
		k++
	}
	from[len(ends)] = k
	seq := make([]int32, 0, len(w.seq))
	for _, e := range sub.seq {
		segment := w.seq[from[e>>1]:from[e>>1+1]]
		if e&1 == 0 {
			seq = append(seq, segment...)
			continue
		}
		for _, x := range slices.Backward(segment) {
			seq = append(seq, x^1)
		}
	}
	w.seq = seq
	w.enterLike(ends, sub)
}

// enterLike moves the entries of the loops of w to where sub has them.
func (w *ordering) enterLike(ends [][2]int32, sub *ordering) {
	for i, r := range ends {
		if sub.f.loop[i] != nil {
			w.f.pos[r[0]], w.f.pos[r[1]] = sub.f.pos[2*i], sub.f.pos[2*i]
		}
	}
}

// within returns the neighbours that are ends of the given segments, which are
// the strokes of f. local is scratch space: a value for every end, all -1
// before and after.
func (n *neighbours) within(f *instance, ends [][2]int32, local []int32) *neighbours {
	for i, r := range ends {
		local[r[0]], local[r[1]] = int32(2*i), int32(2*i+1)
	}
	most := 0
	for _, r := range ends {
		most += int(n.start[r[0]+1] - n.start[r[0]] + n.start[r[1]+1] - n.start[r[1]])
	}
	out := &neighbours{start: make([]int32, 1, 2*len(ends)+1), ends: make([]int32, 0, most), part: make([]bool, 0, 2*len(ends))}
	for _, r := range ends {
		for _, e := range r {
			part := n.partial(e)
			for _, b := range n.of(e) {
				if l := local[b]; l >= 0 {
					out.ends = append(out.ends, l)
				} else {
					part = true
				}
			}
			out.start = append(out.start, int32(len(out.ends)))
			out.part = append(out.part, part)
		}
	}
	for _, r := range ends {
		local[r[0]], local[r[1]] = -1, -1
	}
	out.price(f)
	return out
}
