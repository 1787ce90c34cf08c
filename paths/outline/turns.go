package outline

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
	"sort"

	"weftplot/paths"
)

// How often a winder turns round a point is the number of its parts that cross the ray from
// the point to the left, those that rise less those that fall. Of a long boundary with many
// turns the ray may cross very many. But parts that follow one another, and all lie left of
// the point, cross the ray as often as the straight line between their ends: once if one end
// is above the ray and the other is not. So the parts are taken in short runs. The runs whose
// boxes are left of the point are counted without a look at any, and only of those whose
// boxes hold the point are the parts looked at.

// turns counts how often a winder turns round points.
type turns struct {
	runs  []run
	boxes tree // of the runs
	left  leftOf
}

// run is a number of parts that follow one another without a gap.
type run struct{ from, to int }

const (
	// runLength is how many parts a run has at most.
	runLength = 8
	// manyLooks is how many looks for each part of a winder are spent on rays before its
	// runs are listed, which costs about as much. So for few points the runs are never
	// listed, and for many the rays before them cost little.
	manyLooks = 2
)

// turnsRound returns how often a winder turns round a point.
func (p *plane) turnsRound(w *winder, q paths.Point) (n int32) {
	if w.turns != nil {
		return w.turns.round(p, q)
	}
	before := p.budget
	ray := paths.Rect{Min: paths.Point{X: math.Inf(-1), Y: q.Y}, Max: q}
	wind := func(b int) {
		p.touching(&p.boundaries[b].tree, ray, func(i int) { n += p.parts[i].crosses(q) })
	}
	if w.from+1 == w.to {
		wind(w.from)
	} else { // a boundary turns round no point outside its box
		p.touching(&w.areas, paths.Rect{Min: q, Max: q}, wind)
	}
	w.looks += before - p.budget
	if w.looks > manyLooks*(p.boundaries[w.to-1].to-p.boundaries[w.from].from) {
		w.turns = p.newTurns(w)
	}
	return n
}

// newTurns returns what counts the turns of a winder.
func (p *plane) newTurns(w *winder) *turns {
	t := &turns{}
	var boxes []paths.Rect
	var ends []end
	for b := w.from; b < w.to; b++ {
		c := &p.boundaries[b]
		for from, to := c.from, c.from; from < c.to; from = to {
			box := p.parts[from].box
			for to++; to < c.to && to < from+runLength && p.parts[to-1].c.End() == p.parts[to].c.Start(); to++ {
				box = box.Union(p.parts[to].box)
			}
			a, b := p.parts[from].c.Start(), p.parts[to-1].c.End()
			t.runs, boxes = append(t.runs, run{from, to}), append(boxes, box)
			if a.Y != b.Y {
				ends = append(ends, end{box.Max.X, a.Y, 1}, end{box.Max.X, b.Y, -1})
			}
		}
	}
	t.boxes, t.left = newTree(boxes, 0), newLeftOf(ends)
	p.budget -= p.boundaries[w.to-1].to - p.boundaries[w.from].from
	return t
}

// round returns how often the winder turns round a point.
func (t *turns) round(p *plane, q paths.Point) int32 {
	p.budget -= len(t.left.levels) / 4
	n := t.left.sum(q)
	p.touching(&t.boxes, paths.Rect{Min: q, Max: q}, func(i int) {
		r := t.runs[i]
		p.budget -= r.to - r.from
		for k := r.from; k < r.to; k++ {
			n += p.parts[k].crosses(q)
		}
	})
	return n
}

// end is an end of a run: it counts for the points that lie right of the run and not below
// the end.
type end struct {
	x, y  float64 // x is the greatest of the run
	count int32   // 1 where the run starts, -1 where it ends
}

// leftOf sums the ends of which x is less than that of a point and y not more. It is a
// wavelet matrix (Claude and Navarro 2012, "The wavelet matrix") of the ranks of y in the
// order of x, with the sums of what goes to the lower half at each level.
type leftOf struct {
	x, y   []float64 // ascending
	levels []level   // by the bits of the ranks, the highest first
}

// level tells of the first ends in its order, for each number of them, how many have a rank
// in which its bit is 0, and the sum of those.
type level struct{ zeros, sum []int32 }

func newLeftOf(ends []end) leftOf {
	n := len(ends)
	f := leftOf{x: make([]float64, n), y: make([]float64, n)}
	slices.SortStableFunc(ends, func(a, b end) int { return cmp.Compare(a.x, b.x) })
	byY := make([]int32, n)
	for i := range byY {
		byY[i] = int32(i)
	}
	slices.SortFunc(byY, func(a, b int32) int { return cmp.Or(cmp.Compare(ends[a].y, ends[b].y), cmp.Compare(a, b)) })
	here, next := make([]ranked, n), make([]ranked, n)
	for rank, i := range byY {
		f.x[i], f.y[rank], here[i] = ends[i].x, ends[i].y, ranked{int32(rank), ends[i].count}
	}
	for bit := bits.Len(uint(n)) - 1; bit >= 0; bit-- {
		l := level{make([]int32, n+1), make([]int32, n+1)}
		next = next[:0]
		for i, e := range here {
			l.zeros[i+1], l.sum[i+1] = l.zeros[i], l.sum[i]
			if e.rank>>bit&1 == 0 {
				l.zeros[i+1]++
				l.sum[i+1] += e.count
				next = append(next, e)
			}
		}
		for _, e := range here {
			if e.rank>>bit&1 != 0 {
				next = append(next, e)
			}
		}
		here, next = next, here
		f.levels = append(f.levels, l)
	}
	return f
}

// ranked is what a level orders: the rank of an end, and what it counts.
type ranked struct{ rank, count int32 }

// sum returns the sum of the ends of which x is less than that of q and y not more.
func (f *leftOf) sum(q paths.Point) (sum int32) {
	to, _ := slices.BinarySearch(f.x, q.X)
	below := sort.Search(len(f.y), func(i int) bool { return f.y[i] > q.Y }) // ranks less than this
	from := 0
	for k := range f.levels {
		l := &f.levels[k]
		a, b := int(l.zeros[from]), int(l.zeros[to])
		if below>>(len(f.levels)-1-k)&1 == 0 {
			from, to = a, b
			continue
		}
		sum += l.sum[to] - l.sum[from] // of these the ranks are less, whatever follows
		zeros := int(l.zeros[len(f.x)])
		from, to = zeros+from-a, zeros+to-b
	}
	return sum
}
