package choice

import (
	"cmp"
	"slices"
	"sort"
)

// Extent is where a line lies, in channels: its place, and from where to where it
// reaches along its length.
type Extent struct{ At, Lo, Hi float64 }

// Pair is two lines, by index, that overlap, the first with the lower place, and the length
// over which nothing stands between them.
type Pair struct {
	A, B   int
	Length float64
}

// Neighbours sweeps over extents and finds the pairs that see each other
// somewhere, with the length over which they do, and for each extent the
// nearest ones that are ever more than gap away: the pairs that keep all others
// apart, since order is kept. Both lists are sorted, without repeats. The cost
// is n log n steps of search and the moving of a list of those abreast.
func Neighbours(s []Extent, gap float64) (seen, apart []Pair) {
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
func events(s []Extent) []event {
	out := make([]event, 0, 2*len(s))
	for i, x := range s {
		out = append(out, event{x.Lo, false, i}, event{x.Hi, true, i})
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
	s           []Extent
	gap         float64
	active      []int     // by place
	since       []float64 // by extent, from where on it sees its right neighbour
	seen, apart []Pair
}

func (w *sweep) compare(i, j int) int {
	return cmp.Or(cmp.Compare(w.s[i].At, w.s[j].At), cmp.Compare(i, j))
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
		w.apart = append(w.apart, Pair{A: w.active[j], B: x})
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
	gone := w.s[w.active[i]].At
	w.cut(i)
	// The nearest changes only for those that were more than gap from what went.
	far := sort.Search(i, func(j int) bool { return gone-w.s[w.active[j]].At <= w.gap })
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
	w.seen = append(w.seen, Pair{a, w.active[j], at - w.since[a]})
}

// part records the nearest to the right of active i that is more than gap away.
func (w *sweep) part(i int) {
	// Thousands may lie nearer, at one place.
	rest := len(w.active) - i - 1
	if k := sort.Search(rest, func(k int) bool { return w.between(i, i+1+k) > w.gap }); k < rest {
		w.apart = append(w.apart, Pair{A: w.active[i], B: w.active[i+1+k]})
	}
}

func (w *sweep) between(i, j int) float64 { return w.s[w.active[j]].At - w.s[w.active[i]].At }

// merge sorts pairs and adds up the lengths of equal ones, in the order they come in.
func merge(ps []Pair) []Pair {
	sorted := byFirst(ps)
	out := sorted[:0]
	for i := 0; i < len(sorted); {
		j := i + 1
		for j < len(sorted) && sorted[j].A == sorted[i].A {
			j++
		}
		slices.SortStableFunc(sorted[i:j], func(p, q Pair) int { return cmp.Compare(p.B, q.B) })
		for _, p := range sorted[i:j] {
			if n := len(out); n > 0 && out[n-1].A == p.A && out[n-1].B == p.B {
				out[n-1].Length += p.Length
			} else {
				out = append(out, p)
			}
		}
		i = j
	}
	return out
}

// byFirst returns the pairs in the order of their first lines, those of one as they
// come in.
func byFirst(ps []Pair) []Pair {
	lines := 0
	for _, p := range ps {
		lines = max(lines, p.A+1)
	}
	at := make([]int, lines+1) // by line, where the next of its pairs goes
	for _, p := range ps {
		at[p.A+1]++
	}
	for a := range lines {
		at[a+1] += at[a]
	}
	out := make([]Pair, len(ps))
	for _, p := range ps {
		out[at[p.A]] = p
		at[p.A]++
	}
	return out
}
