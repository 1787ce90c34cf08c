package snap

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/choice"
)

// place finds the straights of both axes, what lies on them and what they are
// parts of, and chooses their channels.
func (s *snapper) place() {
	var tied [2]*near.Sets
	for _, axis := range []weave.Axis{weave.Across, weave.Along} {
		s.straights[axis] = s.findStraights(axis, s.grid, s.opt, s.pause)
		if s.pause.now() {
			return
		}
		tied[axis] = s.attach(axis)
	}
	if s.err = s.nameLines(); s.err != nil {
		return
	}
	s.motifs = s.findMotifs()
	s.bounds = paths.BoundsOf(s.strokes)
	s.equals, s.repeated = s.copies(), make([]bool, len(s.motifs))
	for _, set := range s.equals {
		for _, n := range set {
			s.repeated[n] = true
		}
	}
	chosen := s.choose(tied)
	s.findDiagonals()
	s.meetDiagonals(chosen)
	for axis, c := range chosen {
		if c == nil {
			continue
		}
		if s.apply(weave.Axis(axis), c); s.err != nil {
			return
		}
	}
	s.findMirrors()
}

// attach finds which vertices lie on which straights of an axis, and returns the
// straights that share a channel whatever happens.
func (s *snapper) attach(axis weave.Axis) *near.Sets {
	for {
		for s.dropForks(axis) {
		}
		on, touches, ties := s.attached(axis)
		tied := near.NewSets(len(s.straights[axis]))
		for _, t := range ties {
			tied.Join(t[0], t[1])
		}
		if !s.dropLadders(axis, tied, ties) {
			s.on[axis], s.touches = on, append(s.touches, touches...)
			return tied
		}
	}
}

// attached returns, by vertex, the straight of an axis that it lies on, the vertices on
// the middle of one, and the pairs of straights that have a vertex in common.
func (s *snapper) attached(axis weave.Axis) (on []*straight, touches []touchOn, ties [][2]int) {
	on = make([]*straight, len(s.vertices.at))
	index := map[*straight]int{}
	for i, r := range s.straights[axis] {
		index[r] = i
		for _, v := range r.verts {
			if on[v] != nil {
				ties = append(ties, [2]int{i, index[on[v]]})
			} else {
				on[v] = r
			}
		}
	}
	tied := near.NewSets(len(s.straights[axis]))
	for _, t := range ties {
		tied.Join(t[0], t[1])
	}
	many := make([]int, len(s.vertices.at)) // by vertex, its touches
	s.touching(axis, func(v int, r *straight) {
		q := on[v]
		if q == nil {
			on[v] = r
		}
		// Of straights on one line that hang together, more ties say nothing more, and
		// enough of them hold a vertex where it is.
		again := q != nil && q != r && q.isOneLine(r) && !tied.Join(index[q], index[r])
		if !again && q != nil && q != r {
			tied.Join(index[q], index[r])
			ties = append(ties, [2]int{index[q], index[r]})
		}
		if many[v]++; !again || many[v] <= mostTouches {
			touches = append(touches, touchOn{v, axis, r})
		}
	})
	return on, touches, ties
}

// mostTouches is from how many straights of one line on no more hold a vertex.
const mostTouches = 64

// isOneLine reports that two straights lie on one line, and lean nowhere.
func (r *straight) isOneLine(q *straight) bool {
	return r.mean == q.mean && r.lean() == 0 && q.lean() == 0
}

// mostTied is how far apart, in channels, straights may lie that overlap along their
// length and share a channel as others join them.
const mostTied = 1

// rungGap is the cloth, in channels, between the straights of one channel of a ladder and
// those of the next: more than between such as are meant as one.
const rungGap = 0.1

// dropLadders finds straights that hang on each other by their ends, one on the next as in
// a narrow zigzag, and climb so over more than mostTied beside each other. In one channel
// all that they climb would be lost, so at each channel one that leads on to the next is a
// straight no longer. It reports whether there were any.
func (s *snapper) dropLadders(axis weave.Axis, tied *near.Sets, ties [][2]int) bool {
	straights := s.straights[axis]
	pitch := s.grid.Pitch(axis)
	from := s.ladders(axis, tied)
	rung := func(i int) (number, above float64) {
		at := (straights[i].mean - from[tied.Find(i)]) / pitch / mostTied
		return math.Floor(at), at - math.Floor(at)
	}
	drop := map[*straight]bool{}
	for i, r := range straights { // so that rungs are not taken for one line
		if _, is := from[tied.Find(i)]; is {
			_, above := rung(i)
			drop[r] = above >= 1-rungGap
		}
	}
	for _, t := range ties {
		if _, is := from[tied.Find(t[0])]; !is {
			continue
		}
		a, b := straights[t[0]], straights[t[1]]
		i, _ := rung(t[0])
		j, _ := rung(t[1])
		switch {
		case i == j || drop[a] || drop[b]:
		case a.lean() < b.lean():
			drop[b] = true
		default:
			drop[a] = true
		}
	}
	s.straights[axis] = slices.DeleteFunc(straights, func(r *straight) bool { return drop[r] })
	return len(s.straights[axis]) < len(straights)
}

// ladders returns, by the name of their set, the lowest place of straights that hang
// together where some of them overlap and lie more than mostTied apart.
func (s *snapper) ladders(axis weave.Axis, tied *near.Sets) map[int]float64 {
	straights := s.straights[axis]
	limit := mostTied * s.grid.Pitch(axis)
	sets := map[int][]int{}
	for i := range straights {
		sets[tied.Find(i)] = append(sets[tied.Find(i)], i)
	}
	out := map[int]float64{}
	for name, set := range sets {
		slices.SortStableFunc(set, func(i, j int) int { return cmp.Compare(straights[i].mean, straights[j].mean) })
		lowest := straights[set[0]].mean
		if straights[set[len(set)-1]].mean-lowest <= limit {
			continue
		}
		if s.climbs(axis, set) {
			out[name] = lowest
		}
	}
	return out
}

// climbs reports whether of some straights two overlap along half the length of the
// shorter, and lie more than mostTied apart.
func (s *snapper) climbs(axis weave.Axis, set []int) bool {
	straights := s.straights[axis]
	extents := make([]choice.Extent, len(set))
	for i, n := range set {
		r := straights[n]
		extents[i] = extent(r.mean/s.grid.Pitch(axis), r.lo(), r.hi())
	}
	_, apart := choice.Neighbours(extents, mostTied)
	return slices.ContainsFunc(apart, func(p choice.Pair) bool {
		a, b := straights[set[p.A]], straights[set[p.B]]
		return min(a.hi(), b.hi())-max(a.lo(), b.lo()) >= min(a.length(), b.length())/2
	})
}

// touchOn is a vertex on the middle of a straight of an axis.
type touchOn struct {
	vertex int
	axis   weave.Axis
	on     *straight
}

// dropForks finds pairs of straights that cross or start from one point and are
// over half a channel apart elsewhere. In channels both would be one line, so the
// more leaning one is a straight no longer. It reports whether there were any.
func (s *snapper) dropForks(axis weave.Axis) bool {
	straights := s.straights[axis]
	pitch := s.grid.Pitch(axis)
	extents := make([]choice.Extent, len(straights))
	for i, r := range straights {
		extents[i] = extent(r.mean/pitch, r.lo(), r.hi())
	}
	seen, _ := choice.Neighbours(extents, choice.Apart)
	seen = append(seen, s.meetings(axis)...)
	drop := make(map[*straight]bool)
	for _, p := range seen {
		a, b := straights[p.A], straights[p.B]
		if a.lean() < b.lean() {
			a, b = b, a
		}
		if a.lean() == 0 || drop[a] || drop[b] {
			continue
		}
		lo, hi := max(a.lo(), b.lo()), min(a.hi(), b.hi())
		d, e := a.fixedAt(lo)-b.fixedAt(lo), a.fixedAt(hi)-b.fixedAt(hi)
		crossing := d*e < 0 || min(math.Abs(d), math.Abs(e)) <= joint
		if crossing && max(math.Abs(d), math.Abs(e)) > choice.Apart*pitch {
			drop[a] = true
		}
	}
	s.straights[axis] = slices.DeleteFunc(straights, func(r *straight) bool { return drop[r] })
	return len(drop) > 0
}

// meetings returns the pairs of straights of an axis that share a vertex, or of which one
// ends on the middle of the other, and of which one leans. Others may lie between them, so
// that they do not see each other.
func (s *snapper) meetings(axis weave.Axis) (out []choice.Pair) {
	of := make([][]int, len(s.vertices.at)) // by vertex, the straights that have it
	index := make(map[*straight]int, len(s.straights[axis]))
	leans := make([]bool, len(s.straights[axis]))
	for i, r := range s.straights[axis] {
		index[r], leans[i] = i, r.lean() != 0
		for _, v := range r.verts {
			of[v] = append(of[v], i)
		}
	}
	for i, r := range s.straights[axis] {
		for _, v := range r.verts {
			for _, j := range of[v] {
				if j > i && (leans[i] || leans[j]) {
					out = append(out, choice.Pair{A: i, B: j})
				}
			}
		}
	}
	s.touching(axis, func(v int, r *straight) {
		for _, j := range of[v] {
			if i := index[r]; i != j && (leans[i] || leans[j]) {
				out = append(out, choice.Pair{A: i, B: j})
			}
		}
	})
	return out
}

// touching calls f for each vertex that lies on the middle of a straight.
func (s *snapper) touching(axis weave.Axis, f func(v int, r *straight)) {
	rows := newRows(s.vertices.at, axis, rowChannels*s.grid.Step(axis))
	for _, r := range s.straights[axis] {
		left, right := math.Inf(1), math.Inf(-1)
		for _, k := range r.at {
			left, right = min(left, k.fixed), max(right, k.fixed)
		}
		rows.visit(r.lo(), r.hi(), left-joint, right+joint, func(v int) {
			fixed, along := axis.Split(s.vertices.at[v])
			if along > r.lo() && along < r.hi() && r.passes(fixed, along) {
				f(v, r)
			}
		})
	}
}

// passes reports whether a straight passes a point within joint. Parts of it may lean far,
// so that it lies farther off along the axis.
func (r *straight) passes(fixed, along float64) bool {
	if math.Abs(fixed-r.fixedAt(along)) <= joint {
		return true
	}
	p := paths.Point{X: fixed, Y: along}
	for i := 1; i < len(r.at); i++ {
		a, b := r.at[i-1], r.at[i]
		if a.along <= along+joint && b.along >= along-joint &&
			(paths.Line{A: paths.Point{X: a.fixed, Y: a.along}, B: paths.Point{X: b.fixed, Y: b.along}}).Dist(p) <= joint {
			return true
		}
	}
	return false
}

// rows holds points by rows of the coordinate along the axis, each sorted by the
// other.
type rows struct {
	height float64
	base   int
	row    [][]rowPoint
}

type rowPoint struct {
	fixed float64
	index int
}

func newRows(pts []paths.Point, axis weave.Axis, height float64) *rows {
	r := &rows{height: height}
	if len(pts) == 0 {
		return r
	}
	lo, hi := math.MaxInt, math.MinInt
	for _, p := range pts {
		_, v := axis.Split(p)
		q := int(math.Floor(v / height))
		lo, hi = min(lo, q), max(hi, q)
	}
	r.base, r.row = lo, make([][]rowPoint, hi-lo+1)
	for i, p := range pts {
		fixed, v := axis.Split(p)
		q := int(math.Floor(v/height)) - lo
		r.row[q] = append(r.row[q], rowPoint{fixed, i})
	}
	for _, row := range r.row {
		slices.SortFunc(row, func(a, b rowPoint) int {
			return cmp.Or(cmp.Compare(a.fixed, b.fixed), cmp.Compare(a.index, b.index))
		})
	}
	return r
}

// visit calls f for the points in the rows from lo to hi that lie between left
// and right.
func (r *rows) visit(lo, hi, left, right float64, f func(int)) {
	first := max(0, int(math.Floor(lo/r.height))-r.base)
	last := min(len(r.row)-1, int(math.Floor(hi/r.height))-r.base)
	for q := first; q <= last; q++ {
		row := r.row[q]
		for i := sort.Search(len(row), func(i int) bool { return row[i].fixed >= left }); i < len(row) && row[i].fixed <= right; i++ {
			f(row[i].index)
		}
	}
}

// joint is how near two ends lie that are meant as one, in mm: far above the
// rounding of any file's numbers, far below anything a pen can show.
const joint = 1e-6

// vertices are the ends of curves, each place once.
type vertices struct {
	at []paths.Point // the first end met at each vertex
}

// web is a set of strokes with their ends numbered. Ends that are the same on
// paper, within joint of one another by steps ([near.Clusters]), are one vertex.
type web struct {
	strokes []paths.Stroke
	ends    [][][2]int // stroke, curve: the vertices of its start and end
	*vertices
}

func newWeb(strokes []paths.Stroke) *web {
	var ends []paths.Point
	for _, s := range strokes {
		for _, c := range s {
			ends = append(ends, c.Start(), c.End())
		}
	}
	number, count := near.Clusters(ends, joint)
	w := &web{strokes, make([][][2]int, len(strokes)), &vertices{make([]paths.Point, 0, count)}}
	for k, n := range number {
		if n == len(w.at) {
			w.at = append(w.at, ends[k])
		}
	}
	for i, s := range strokes {
		w.ends[i] = make([][2]int, len(s))
		for j := range s {
			w.ends[i][j] = [2]int{number[0], number[1]}
			number = number[2:]
		}
	}
	return w
}

// isClosed reports whether stroke i comes back to where it starts.
func (w *web) isClosed(i int) bool {
	e := w.ends[i]
	return len(e) > 1 && e[0][0] == e[len(e)-1][1]
}
