package order

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"sync"
)

// One long search settles, and more of it gains little. So where there are more strokes
// than are bred, a thorough search keeps some of its work for tours that are found from the
// one it has, independently of one another. They are combined, and then only the strokes at
// which they differ are searched: hops that good tours agree on are nearly always those of
// the best one
// (the reduction of Lin and Kernighan, Operations Research 21, 1973; tour merging,
// Cook and Seymour, INFORMS Journal on Computing 15, 2003).

const (
	merges    = 6 // how often tours are found and combined
	tours     = 2 // found at a time, side by side
	cutsOfOne = 4 // how often each is cut into other patches
)

// merge spends the given work on several tours found from w, and leaves w no longer
// than it was.
func (r *solver) merge(w *ordering, work int) {
	rng := rand.New(rand.NewPCG(1+r.seed, 7))
	before := r.best - w.cost() // of the groups before
	defer func() { r.set(before + w.cost()) }()
	warm := heat * w.cost() / float64(len(w.seq))
	share := work / merges
	for round := range merges {
		found := append(r.several(w, share*2/3, warm, 1000*r.seed+uint64(round)), w.clone())
		w.become(slices.MinFunc(found, func(a, b *ordering) int { return cmp.Compare(a.cost(), b.cost()) }))
		differing := w.differing(found)
		w.combineAll(found)
		if len(differing) >= 5 {
			w.patcher(rng, func(s *search, size int) float64 {
				if !r.tick(0) {
					return 0
				}
				return s.descend() + s.perturb(share/3*size/len(differing), cooling{from: warm}, r.tick)
			}).among(differing)
			w.combineAll(found)
		}
		r.descend(w, rng, Thorough)
	}
}

// several returns tours found from w, which share the work.
func (r *solver) several(w *ordering, work int, warm float64, seed uint64) []*ordering {
	out := make([]*ordering, tours)
	var wg sync.WaitGroup
	for i := range out {
		out[i] = w.clone()
		wg.Go(func() {
			rng := rand.New(rand.NewPCG(seed+11, uint64(i)))
			for cut := range cutsOfOne {
				r.perturb(out[i], out[i].all(), rng, work/tours/cutsOfOne, cooling{from: warm}.part(cut, cutsOfOne))
			}
		})
	}
	wg.Wait()
	return out
}

// clone returns a copy of w that can be changed on its own.
func (w *ordering) clone() *ordering {
	f := *w.f
	f.pos = slices.Clone(f.pos)
	return &ordering{f: &f, near: w.near, seq: slices.Clone(w.seq)}
}

// become makes w the tour that v is.
func (w *ordering) become(v *ordering) {
	w.seq = slices.Clone(v.seq)
	copy(w.f.pos, v.f.pos)
}

// combineAll combines w with each of the others.
func (w *ordering) combineAll(others []*ordering) {
	for _, o := range others {
		w.combine(o)
	}
}

// differing returns the strokes that w joins otherwise than some other tour.
func (w *ordering) differing(others []*ordering) []int32 {
	own := w.joined()
	differs := make([]bool, len(w.seq))
	for _, o := range others {
		c := &combining{ordering: w, own: own, theirs: o.joined()}
		c.matchSingles()
		for e := range own {
			if own[e] != c.theirs[e] {
				differs[e>>1] = true
			}
		}
	}
	var out []int32
	for s, d := range differs {
		if d {
			out = append(out, int32(s))
		}
	}
	return out
}
