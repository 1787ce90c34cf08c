package bound

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// A visit is one way to draw a stroke: from one end to the other, or from a part of a loop
// round to the same part.
type visit struct {
	stroke  int
	in, out node
}

// newWalker returns a walker over the strokes of a graph, whose prices are 0.
func newWalker(g *graph, tour float64) *walker {
	n := g.strokes() - 1
	w := &walker{
		strokes: n, loops: g.loops[1:], home: g.nodes[0], park: g.nodes[1], tour: tour,
		price: make([]float64, n), minded: make([]uint64, n),
	}
	var visits []visit
	for s := range n {
		from, to := g.of(int32(s + 1))
		if g.isOpen(int32(s + 1)) {
			a, b := g.nodes[from], g.nodes[from+1]
			visits = append(visits, visit{s, a, b}, visit{s, b, a})
			continue
		}
		for _, x := range g.nodes[from:to] {
			visits = append(visits, visit{s, x, x})
		}
	}
	w.measure(visits, slices.Repeat([]int{-1}, len(visits)))
	for s := range n {
		w.minded[s] = 1<<s | 1<<w.nearest(s)
	}
	return w
}

// nearest returns the stroke that is nearest to another, or that itself if it is the only one.
func (w *walker) nearest(stroke int) int {
	n, out, least := len(w.visits), stroke, math.Inf(1)
	for i := w.first[stroke]; i < w.first[stroke+1]; i++ {
		for k, d := range w.hop[i*n : i*n+n] {
			if o := w.visits[k].stroke; o != stroke && d < least {
				out, least = o, d
			}
		}
	}
	return out
}

// measure makes visits those that are walked over and works out the hops between them. Those that were
// before are known by their places before: was has -1 for the others.
func (w *walker) measure(visits []visit, was []int) {
	m, n := len(w.visits), len(visits)
	old := w.hop
	w.visits, w.first = visits, w.first[:0]
	w.hop, w.come, w.leave = make([]float64, n*n), make([]float64, n), make([]float64, n)
	for i := range visits {
		v := &visits[i]
		for len(w.first) <= v.stroke {
			w.first = append(w.first, i)
		}
		w.come[i], w.leave[i] = w.home.apart(&v.in), v.out.apart(&w.park)
		for k := range visits {
			if was[i] >= 0 && was[k] >= 0 {
				w.hop[i*n+k] = old[was[i]*m+was[k]]
				continue
			}
			w.hop[i*n+k] = v.out.apart(&visits[k].in)
			w.work += apartWork
		}
	}
	for len(w.first) <= w.strokes {
		w.first = append(w.first, n)
	}
}

// apartWork is how many hops are tried in the time that one is measured.
const apartWork = 10

// mostMinded is the most strokes that one minds: each doubles how many walks are told apart.
const mostMinded = 14

// mind lets the strokes between two visits of the same stroke mind it, and returns whether one
// does that did not.
func (w *walker) mind(walk []int) (more bool) {
	last := make([]int, w.strokes) // by stroke: the place after its last visit
	for i, v := range walk {
		s := w.visits[v].stroke
		if last[s] > 0 {
			for _, u := range walk[last[s]:i] {
				if m := &w.minded[w.visits[u].stroke]; *m&(1<<s) == 0 && bits.OnesCount64(*m) < mostMinded {
					*m |= 1 << s
					more = true
				}
			}
		}
		last[s] = i + 1
	}
	return more
}

// divide divides the parts of loops that have been visited, where they can be.
func (w *walker) divide(visited []bool) (more bool) {
	var out []visit
	var was []int
	for i, v := range w.visits {
		l := w.loops[v.stroke]
		if l == nil || v.in.to-v.in.from <= 1 || !visited[i] {
			out, was = append(out, v), append(was, i)
			continue
		}
		for _, x := range l.parted(v.in) {
			out, was = append(out, visit{v.stroke, x, x}), append(was, -1)
		}
		more = true
	}
	w.measure(out, was)
	return more
}

// drop drops the visits that no tour as short as that known has: the cheapest walk through them is
// dearer at the prices of now.
func (w *walker) drop() {
	through := make([]float64, len(w.visits))
	for i := range through {
		through[i] = math.Inf(1)
	}
	there, b := w.layers(), w.backward()
	back := b.layers()
	w.work = b.work
	for k := range there {
		w.meet(there[k], back[w.strokes-1-k], through)
	}
	most := w.tour*(1+slack) - w.paid()
	var kept []visit
	var was []int
	for i, v := range w.visits {
		if through[i] <= most {
			kept, was = append(kept, v), append(was, i)
		}
	}
	w.measure(kept, was)
}

// meet lowers through, by visit, to what the cheapest walk costs that comes there by one of some labels and
// goes on by one of others, which were found backward.
func (w *walker) meet(there, back []label, through []float64) {
	for len(there) > 0 && len(back) > 0 {
		if c := cmp.Compare(there[0].visit, back[0].visit); c < 0 {
			there = there[1:]
			continue
		} else if c > 0 {
			back = back[1:]
			continue
		}
		v := there[0].visit
		s := w.visits[v].stroke
		for _, y := range ofVisit(back, v) {
			for _, x := range ofVisit(there, v) {
				if x.minds&y.minds == 1<<s {
					through[v] = min(through[v], x.cost+y.cost+w.price[s])
				}
			}
		}
		there, back = there[len(ofVisit(there, v)):], back[len(ofVisit(back, v)):]
	}
}

// ofVisit returns the first of some labels, as far as they end with one visit.
func ofVisit(labels []label, visit int32) []label {
	if i := slices.IndexFunc(labels, func(l label) bool { return l.visit != visit }); i >= 0 {
		return labels[:i]
	}
	return labels
}

// backward returns the walker of walks from park to home.
func (w *walker) backward() *walker {
	b := *w
	b.home, b.park, b.come, b.leave = w.park, w.home, w.leave, w.come
	n := len(w.visits)
	b.hop = make([]float64, n*n)
	for i := range n {
		for k := range n {
			b.hop[k*n+i] = w.hop[i*n+k]
		}
	}
	return &b
}
