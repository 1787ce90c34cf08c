package snap

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/choice"
	"weftplot/paths/weave/snap/touch"
	"weftplot/paths/weave/snap/web"
)

// place finds the straights of both axes, what lies on them and what they are
// parts of, and chooses their channels.
func (s *snapper) place() {
	var tied [2]*near.Sets
	for _, axis := range []weave.Axis{weave.Across, weave.Along} {
		s.straights[axis] = findStraights(s.Web, axis, s.grid, s.opt, s.pause)
		if s.pause.now() {
			return
		}
		tied[axis] = s.attach(axis)
		s.rows[axis] = nil
	}
	if s.err = s.nameLines(); s.err != nil {
		return
	}
	s.taken = s.straightened()
	s.motifs = s.findMotifs()
	s.bounds = paths.EmptyRect()
	for n := range s.motifs {
		s.bounds = s.bounds.Union(s.motifs[n].box)
	}
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
	on = make([]*straight, len(s.Vertices))
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
	many := make([]int, len(s.Vertices)) // by vertex, its touches
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
	drop := make([]bool, len(straights))
	meet := func(i, j int) {
		if drop[i] || drop[j] {
			return
		}
		if r := s.fork(straights[i], straights[j]); r != nil {
			drop[i], drop[j] = r == straights[i], r == straights[j]
		}
	}
	for _, p := range seen {
		meet(p.A, p.B)
	}
	s.meetings(axis, drop, meet)
	s.straights[axis] = nil
	for i, r := range straights {
		if !drop[i] {
			s.straights[axis] = append(s.straights[axis], r)
		}
	}
	return len(s.straights[axis]) < len(straights)
}

// fork returns the more leaning one of two straights that cross or start from one point and
// are over half a channel apart elsewhere; of others nil.
func (s *snapper) fork(a, b *straight) *straight {
	if a.lean() < b.lean() {
		a, b = b, a
	}
	if a.lean() == 0 {
		return nil
	}
	lo, hi := max(a.lo(), b.lo()), min(a.hi(), b.hi())
	d, e := a.fixedAt(lo)-b.fixedAt(lo), a.fixedAt(hi)-b.fixedAt(hi)
	crossing := d*e < 0 || min(math.Abs(d), math.Abs(e)) <= web.Joint
	if crossing && max(math.Abs(d), math.Abs(e)) > choice.Apart*s.grid.Pitch(a.axis) {
		return a
	}
	return nil
}

// meetings calls meet for the pairs of straights of an axis that share a vertex, or of which
// one ends on the middle of the other, and that may be forks. Others may lie between them, so
// that they do not see each other. Those that are gone it leaves out, and asks again for
// each pair.
func (s *snapper) meetings(axis weave.Axis, gone []bool, meet func(i, j int)) {
	straights := s.straights[axis]
	if len(straights) < 2 {
		return
	}
	have, index := s.straightsAt(axis)
	fans := map[int]*web.Fan{} // of the vertices that many have
	partners := func(i, v, from int) {
		of := have.Of(v)
		if len(of) < touch.Heap {
			for _, j := range of {
				if int(j) >= from && int(j) != i {
					meet(i, int(j))
				}
			}
			return
		}
		if fans[v] == nil {
			cones := make([]web.Cone, len(of))
			for k, j := range of {
				cones[k] = straights[j].cone(s.Vertices[v])
			}
			fans[v] = web.NewFan(cones)
		}
		cone, apart := straights[i].cone(s.Vertices[v]), choice.Apart*s.grid.Pitch(axis)
		isGone := func(k int) bool { return gone[of[k]] }
		first, _ := slices.BinarySearch(of, int32(from))
		for k := first; !gone[i]; k++ {
			if k = fans[v].Next(k, cone, apart, isGone); k < 0 {
				return
			}
			if int(of[k]) != i {
				meet(i, int(of[k]))
			}
		}
	}
	for i, r := range straights {
		for _, v := range r.verts {
			partners(i, v, i+1)
		}
	}
	s.touching(axis, func(v int, r *straight) { partners(index[r], v, 0) })
}

// straightsAt returns, by vertex, the straights of an axis that have it, and the number of each.
func (s *snapper) straightsAt(axis weave.Axis) (have web.Lists, number map[*straight]int) {
	number = make(map[*straight]int, len(s.straights[axis]))
	have = web.NewLists(len(s.Vertices), func(put func(v, straight int)) {
		for i, r := range s.straights[axis] {
			number[r] = i
			for _, v := range r.verts {
				put(v, i)
			}
		}
	})
	return have, number
}

// cone returns where a straight lies as seen from a point that it passes.
func (r *straight) cone(p paths.Point) web.Cone {
	fixed, along := r.axis.Split(p)
	here := r.fixedAt(along)
	c := web.EmptyCone()
	c.Add(0, here-fixed)
	for _, k := range r.at {
		c.Add(k.Along-along, k.Fixed-here)
	}
	return c
}

// touching calls f for each vertex that lies on the middle of a straight. Where very many
// straights lie on one line, it does so for the longest of those that pass a vertex.
func (s *snapper) touching(axis weave.Axis, f func(v int, r *straight)) {
	straights := s.straights[axis]
	lines := make([]touch.Straight, len(straights))
	for i, r := range straights {
		lines[i] = touch.Straight{At: r.at, Mean: r.mean}
	}
	if len(lines) == 0 {
		return
	}
	if s.rows[axis] == nil {
		s.rows[axis] = web.NewRows(s.Vertices, axis, choice.Reach*s.grid.Step(axis))
	}
	touch.Straights(s.rows[axis], lines, func(v, i int) { f(v, straights[i]) })
}
