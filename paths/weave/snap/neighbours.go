package snap

import (
	"cmp"
	"slices"
	"sort"
)

// extent is what the search for neighbours needs of a straight: its place and its
// extent, in channels.
type extent struct{ at, lo, hi float64 }

// pair is two straights that overlap, the first with the lower place, and the length
// over which nothing stands between them.
type pair struct {
	a, b   int
	length float64
}

// neighbours sweeps over extents and finds the pairs that see each other
// somewhere, with the length over which they do, and for each extent the
// nearest ones that are ever more than gap away: the pairs that keep all others
// apart, since order is kept. Both lists are sorted, without repeats. The cost
// is n log n steps of search and the moving of a list of those abreast.
func neighbours(s []extent, gap float64) (seen, apart []pair) {
	sw := sweep{s: s, gap: gap, since: make([]float64, len(s))}
	for _, e := range events(s) {
		i, found := slices.BinarySearchFunc(sw.active, e.index, sw.compare)
		if e.ends && found {
			sw.remove(i, e.at)
		} else if !e.ends {
			sw.insert(i, e.index, e.at)
		}
	}
	return merge(sw.seen), merge(sw.apart)
}

type event struct {
	at    float64
	ends  bool
	index int
}

// events returns the starts and ends in order; at one place starts come first,
// so that extents that touch overlap.
func events(s []extent) []event {
	out := make([]event, 0, 2*len(s))
	for i, x := range s {
		out = append(out, event{x.lo, false, i}, event{x.hi, true, i})
	}
	slices.SortFunc(out, func(a, b event) int {
		if c := cmp.Compare(a.at, b.at); c != 0 {
			return c
		}
		if a.ends != b.ends {
			if a.ends {
				return 1
			}
			return -1
		}
		return cmp.Compare(a.index, b.index)
	})
	return out
}

type sweep struct {
	s           []extent
	gap         float64
	active      []int     // by place
	since       []float64 // by extent, from where on it sees its right neighbour
	seen, apart []pair
}

func (w *sweep) compare(i, j int) int {
	return cmp.Or(cmp.Compare(w.s[i].at, w.s[j].at), cmp.Compare(i, j))
}

func (w *sweep) insert(i, x int, at float64) {
	if i > 0 && i < len(w.active) {
		w.look(i-1, i, at)
	}
	w.active = slices.Insert(w.active, i, x)
	w.since[x] = at
	if i > 0 {
		w.since[w.active[i-1]] = at
	}
	w.part(i)
	// Those whose nearest may be x now: the ones more than gap below it. Thousands may
	// lie nearer, at one place.
	far := sort.Search(i, func(j int) bool { return w.between(j, i) <= w.gap })
	for j := far - 1; j >= 0; j-- {
		w.apart = append(w.apart, pair{a: w.active[j], b: x})
		if w.between(j, i-1) > w.gap {
			break
		}
	}
}

func (w *sweep) remove(i int, at float64) {
	if i+1 < len(w.active) {
		w.look(i, i+1, at)
	}
	if i > 0 {
		w.look(i-1, i, at)
		w.since[w.active[i-1]] = at
	}
	gone := w.s[w.active[i]].at
	w.cut(i)
	// The nearest changes only for those that were more than gap from what went.
	far := sort.Search(i, func(j int) bool { return gone-w.s[w.active[j]].at <= w.gap })
	for j := far - 1; j >= 0 && w.between(j, i-1) <= w.gap; j-- {
		w.part(j)
	}
}

// cut takes active i out and moves the shorter side. Equal lines end in the order of
// the list, so each is the first of those left.
func (w *sweep) cut(i int) {
	if i >= len(w.active)/2 {
		w.active = slices.Delete(w.active, i, i+1)
		return
	}
	copy(w.active[1:i+1], w.active[:i])
	w.active = w.active[1:]
}

// look records that neighbours i and j have seen each other until at.
func (w *sweep) look(i, j int, at float64) {
	a := w.active[i]
	w.seen = append(w.seen, pair{a, w.active[j], at - w.since[a]})
}

// part records the nearest to the right of active i that is more than gap away.
func (w *sweep) part(i int) {
	for j := i + 1; j < len(w.active); j++ {
		if w.between(i, j) > w.gap {
			w.apart = append(w.apart, pair{a: w.active[i], b: w.active[j]})
			return
		}
	}
}

func (w *sweep) between(i, j int) float64 { return w.s[w.active[j]].at - w.s[w.active[i]].at }

// merge sorts pairs and adds up the lengths of equal ones.
func merge(ps []pair) []pair {
	slices.SortStableFunc(ps, func(p, q pair) int {
		return cmp.Or(cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b))
	})
	out := ps[:0]
	for _, p := range ps {
		if n := len(out); n > 0 && out[n-1].a == p.a && out[n-1].b == p.b {
			out[n-1].length += p.length
		} else {
			out = append(out, p)
		}
	}
	return out
}
