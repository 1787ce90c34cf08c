package order

import (
	"math/rand/v2"
	"slices"
	"sync"

	"weftplot/paths"
)

// Large tours are shortened part by part: cut into stretches, which are
// searched side by side, and each stretch into patches of neighbouring strokes
// (Karp, Mathematics of Operations Research 2, 1977), in which all that lies
// between two visits is one stroke. Every part is a closed tour of its own, so
// that a shorter one makes the whole shorter. Each round cuts elsewhere.

const (
	patchSize   = 1000 // strokes in a patch at most
	stretchSize = 2500 // strokes in a stretch, where there are more than two
	// Two stretches of this many keep two cores busy; fewer strokes are not
	// worth it.
	smallStretch  = 400
	mostStretches = 8
)

// A way is an order of the strokes of a field, as the ends they are entered by.
type way struct {
	f   *field
	seq []int32
}

// runs returns the ends of the strokes of w that are inside, and between them
// the ends of the runs that are not, in order.
func (w *way) runs(inside func(stroke int32) bool) [][2]int32 {
	var out [][2]int32
	open := false
	for _, e := range w.seq {
		if inside(e >> 1) {
			out = append(out, [2]int32{e, e ^ 1})
			open = false
			continue
		}
		if open {
			out[len(out)-1][1] = e ^ 1
			continue
		}
		out = append(out, [2]int32{e, e ^ 1})
		open = true
	}
	return out
}

// part shortens the way with only the inside strokes moving, and returns the
// gain.
func (w *way) part(near *neighbours, local []int32, inside func(int32) bool, work func(*search) float64, seed uint64) float64 {
	ends := w.runs(inside)
	if len(ends) < 5 {
		return 0
	}
	f := w.f.sub(ends)
	t := newTour(f, near.within(f, ends, local), identity(len(ends)))
	gain := work(newSearch(t, seed))
	if gain <= tiny {
		return 0
	}
	w.adopt(ends, t)
	return gain
}

func identity(n int) []int32 {
	seq := make([]int32, n)
	for i := range seq {
		seq[i] = int32(2 * i)
	}
	return seq
}

// adopt puts the strokes of w in the order of a tour of its runs.
func (w *way) adopt(ends [][2]int32, t *tour) {
	// Where each run stands in the old order.
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
	for _, e := range t.seq {
		run := w.seq[from[e>>1]:from[e>>1+1]]
		if e&1 == 0 {
			seq = append(seq, run...)
			continue
		}
		for _, x := range slices.Backward(run) {
			seq = append(seq, x^1)
		}
	}
	for i, r := range ends {
		if t.loop[i] != nil {
			w.f.pos[r[0]], w.f.pos[r[1]] = t.pos[2*i], t.pos[2*i]
		}
	}
	w.seq = seq
}

// within returns the neighbours among the given runs' ends only, which are the
// strokes of f. Local has a place for every end, all -1, and is left so.
func (n *neighbours) within(f *field, ends [][2]int32, local []int32) *neighbours {
	for i, r := range ends {
		local[r[0]], local[r[1]] = int32(2*i), int32(2*i+1)
	}
	out := &neighbours{start: make([]int32, 1, 2*len(ends)+1)}
	for _, r := range ends {
		for _, e := range r {
			for i := n.start[e]; i < n.start[e+1]; i++ {
				if l := local[n.ends[i]]; l >= 0 {
					out.ends = append(out.ends, l)
				}
			}
			out.start = append(out.start, int32(len(out.ends)))
		}
	}
	for _, r := range ends {
		local[r[0]], local[r[1]] = -1, -1
	}
	out.price(f)
	return out
}

func unset(n int) []int32 {
	local := make([]int32, n)
	for i := range local {
		local[i] = -1
	}
	return local
}

// patches shortens the way patch by patch and returns the gain.
func (w *way) patches(near *neighbours, rng *rand.Rand, work func(*search, int) float64) float64 {
	local := unset(len(w.f.pos))
	patch := make([]int32, len(w.f.loop))
	count := w.divide(patch, rng)
	sizes := make([]int, count)
	for _, p := range patch {
		sizes[p]++
	}
	var gain float64
	for p := range int32(count) {
		gain += w.part(near, local, func(s int32) bool { return patch[s] == p },
			func(s *search) float64 { return work(s, sizes[p]) }, rng.Uint64())
	}
	return gain
}

// divide gives each stroke the number of its patch: the strokes are halved
// across the longer side, not quite in the middle, until few are left.
func (w *way) divide(patch []int32, rng *rand.Rand) int {
	all := make([]int32, len(patch))
	for i := range all {
		all[i] = int32(i)
	}
	mid := func(s int32) paths.Point { return w.f.pos[2*s].Lerp(w.f.pos[2*s+1], 0.5) }
	count := 0
	var halve func([]int32)
	halve = func(part []int32) {
		if len(part) <= patchSize {
			for _, s := range part {
				patch[s] = int32(count)
			}
			count++
			return
		}
		box := paths.EmptyRect()
		for _, s := range part {
			box = box.Include(mid(s))
		}
		key := func(s int32) float64 { return mid(s).X }
		if box.Height() > box.Width() {
			key = func(s int32) float64 { return mid(s).Y }
		}
		slices.SortFunc(part, func(a, b int32) int {
			switch ka, kb := key(a), key(b); {
			case ka < kb:
				return -1
			case ka > kb:
				return 1
			}
			return int(a - b)
		})
		cut := int(float64(len(part)) * (0.35 + 0.3*rng.Float64()))
		halve(part[:cut])
		halve(part[cut:])
	}
	halve(all)
	return count
}

// A stretch is a part of a way on its own: its strokes, and last all the rest of
// the way as one.
type stretch struct {
	way
	near *neighbours
	ends [][2]int32 // by its strokes: their ends in the whole
	gain float64
}

// stretches cuts the way, beginning at place first, into stretches of its
// order, has each shortened side by side, and returns the gain.
func (w *way) stretches(count, first int, near *neighbours, work func(c int, s *stretch) float64) float64 {
	n := len(w.seq)
	w.seq = slices.Concat(w.seq[first:], w.seq[:first])
	local := unset(len(w.f.pos))
	parts := make([]*stretch, count)
	for c := range parts {
		parts[c] = w.stretch(c*n/count, (c+1)*n/count, near, local)
	}
	var wg sync.WaitGroup
	for c, s := range parts {
		wg.Go(func() { s.gain = work(c, s) })
	}
	wg.Wait()
	var gain float64
	w.seq = make([]int32, 0, n)
	for _, s := range parts {
		gain += s.gain
		w.append(s)
	}
	return gain
}

// stretch returns the places from lo up to hi, fewer than all, as a stretch.
// Loops at its ends are entered where they are: what follows counts on it.
func (w *way) stretch(lo, hi int, near *neighbours, local []int32) *stretch {
	n := len(w.seq)
	ends := make([][2]int32, 0, hi-lo+1)
	for _, e := range w.seq[lo:hi] {
		ends = append(ends, [2]int32{e, e ^ 1})
	}
	ends = append(ends, [2]int32{w.seq[hi%n], w.seq[(lo+n-1)%n] ^ 1})
	f := w.f.sub(ends)
	f.loop[0], f.loop[hi-lo-1], f.loop[hi-lo] = nil, nil, nil
	return &stretch{way: way{f, identity(len(ends))}, near: near.within(f, ends, local), ends: ends}
}

// append adds the strokes of s to w in their new order.
func (w *way) append(s *stretch) {
	// Turn the tour so that the rest stands last, the right way round.
	seq, rest := s.seq, int32(len(s.ends)-1)
	last := slices.IndexFunc(seq, func(e int32) bool { return e>>1 == rest })
	seq = slices.Concat(seq[last+1:], seq[:last+1])
	if seq[len(seq)-1]&1 == 1 {
		seq = seq[:len(seq)-1]
		slices.Reverse(seq)
		for i := range seq {
			seq[i] ^= 1
		}
	} else {
		seq = seq[:len(seq)-1]
	}
	for _, e := range seq {
		if i := e >> 1; s.f.loop[i] != nil {
			w.f.pos[s.ends[i][0]], w.f.pos[s.ends[i][1]] = s.f.pos[2*i], s.f.pos[2*i]
		}
		w.seq = append(w.seq, s.ends[e>>1][e&1])
	}
}
