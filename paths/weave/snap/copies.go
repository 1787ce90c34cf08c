package snap

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
)

// The bounds of how equal motifs are made equal.
const (
	mostEvened = 0.5       // channels that a vertex is moved without a look at what is round it
	evenLooks  = 2_000_000 // strokes looked at round those that are moved farther
)

// evenCopies gives the vertices of equal motifs that lie on no straight one place
// beside their motif's straights: what stands beside one of the motifs only may
// have carried them elsewhere there.
func (s *snapper) evenCopies() {
	for _, set := range s.equals {
		if s.pause.step() {
			return
		}
		verts := s.matched(set)
		if verts == nil {
			continue
		}
		for _, axis := range []weave.Axis{weave.Across, weave.Along} {
			if base, ok := s.bases(axis, set); ok {
				if off := s.evenVertices(axis, verts, base); off > toldUnequal {
					s.tellUnequalCopies(set, off)
				}
			}
		}
	}
}

// tellUnequalCopies warns that some of a set of equal motifs differ from the others by
// so many mm.
func (s *snapper) tellUnequalCopies(set []int, off float64) {
	s.warn("motif-unequal", s.motifs[set[0]].box.Centre(),
		"%d equal motifs differ by up to %.1f mm in what lies between their lines: lines beside one of them moved it along", len(set), off)
}

// toldUnequal is how far, in mm, equal motifs differ when a person is told.
const toldUnequal = 0.05

// warnInner tells of equal motifs inside which something lies elsewhere in one than in
// another. What has no straights of its own, such as a small window, goes as a whole to
// where there is room for it, and a line beside one of the motifs may leave it less.
func (s *snapper) warnInner() {
	inner := s.innerMotifs()
	if len(inner) == 0 {
		return
	}
	for _, set := range s.equals {
		if s.pause.step() {
			return
		}
		off := 0.
		for _, axis := range []weave.Axis{weave.Across, weave.Along} {
			if base, ok := s.bases(axis, set); ok {
				for i, n := range set[1:] {
					off = max(off, s.innerOff(axis, inner, set[0], n, base[i+1]-base[0]))
				}
			}
		}
		if off > toldUnequal {
			s.warn("motif-unequal", s.motifs[set[0]].box.Centre(),
				"%d equal motifs differ by up to %.1f mm in where small shapes inside them lie: lines beside one of them left less room", len(set), off)
		}
	}
}

// innerMotifs returns the motifs without straights, by the smallest motif with straights
// that they lie in. Of very many motifs none is looked for.
func (s *snapper) innerMotifs() map[int][]int {
	if len(s.equals) == 0 {
		return nil
	}
	out := map[int][]int{}
	for n := range s.motifs {
		if m := &s.motifs[n]; len(m.lines[0])+len(m.lines[1]) > 0 {
			continue
		}
		round := s.motifRound(weave.Across, n)
		if round < 0 {
			round = s.motifRound(weave.Along, n)
		}
		if round >= 0 {
			out[round] = append(out[round], n)
		}
	}
	return out
}

// innerOff returns how far at most, mm, what lies in motif b is from where it lies in the
// equal motif a, which itself moved by less than b.
func (s *snapper) innerOff(axis weave.Axis, inner map[int][]int, a, b int, less float64) (off float64) {
	slack := motifSlack * s.grid.Across
	d := s.motifs[b].box.Min.Sub(s.motifs[a].box.Min)
	for _, m := range inner[a] {
		for _, n := range inner[b] {
			apart := s.motifs[n].box.Min.Sub(s.motifs[m].box.Min)
			if apart.Dist(d) > slack || !s.equal(&s.motifs[m], &s.motifs[n]) {
				continue
			}
			pairs := s.matched([]int{m, n})
			if pairs == nil {
				continue
			}
			for j, v := range pairs[0] {
				p, _ := axis.Split(s.moved[v].Sub(s.vertices.at[v]))
				w := pairs[1][j]
				q, _ := axis.Split(s.moved[w].Sub(s.vertices.at[w]))
				off = max(off, math.Abs(q-p-less))
			}
		}
	}
	return off
}

// matched returns the vertices of equal motifs, those at the same place of each in
// the same order; nil when they are not drawn in the same order.
func (s *snapper) matched(set []int) [][]int {
	out := make([][]int, len(set))
	slack := motifSlack * s.grid.Across
	for i, n := range set {
		m := &s.motifs[n]
		for _, k := range m.strokes {
			for _, e := range s.ends[k] {
				out[i] = append(out[i], e[0], e[1])
			}
		}
		if len(out[i]) != len(out[0]) {
			return nil
		}
		d := m.box.Min.Sub(s.motifs[set[0]].box.Min)
		for j, v := range out[i] {
			if s.vertices.at[v].Sub(s.vertices.at[out[0][j]]).Dist(d) > slack {
				return nil
			}
		}
	}
	return out
}

// bases returns how far the first straights of equal motifs moved, mm, or where they
// have none, those of the motifs that they lie in. It is not ok where there are
// none either, or where their channels are not alike.
func (s *snapper) bases(axis weave.Axis, set []int) (base []float64, ok bool) {
	pitch := s.grid.Pitch(axis)
	var first []int
	for _, n := range set {
		if len(s.motifs[n].lines[axis]) == 0 {
			if n = s.motifRound(axis, n); n < 0 {
				return nil, false
			}
		}
		lines := s.motifs[n].lines[axis]
		if first == nil {
			first = lines
		}
		if len(lines) != len(first) {
			return nil, false
		}
		a := s.straights[axis][lines[0]]
		for j, l := range lines {
			if s.straights[axis][l].channel-a.channel != s.straights[axis][first[j]].channel-s.straights[axis][first[0]].channel {
				return nil, false
			}
		}
		base = append(base, float64(a.channel)*pitch-a.mean)
	}
	return base, true
}

// motifRound returns the smallest motif with straights of an axis whose box holds
// that of n, -1 where there is none. Of very many motifs none is looked for.
func (s *snapper) motifRound(axis weave.Axis, n int) int {
	const most = 1000
	best := -1
	if len(s.motifs) > most {
		return best
	}
	area := func(b paths.Rect) float64 { return b.Width() * b.Height() }
	in := s.motifs[n].box
	for i := range s.motifs {
		m := &s.motifs[i]
		if i != n && len(m.lines[axis]) > 0 && m.box.Contains(in.Min) && m.box.Contains(in.Max) &&
			(best < 0 || area(m.box) < area(s.motifs[best].box)) {
			best = i
		}
	}
	return best
}

// evenVertices moves the vertices at each place of equal motifs to the middle one
// of their places, but for those that would leave the room, and those that are far from it
// and would change sides with what is round them. It returns how far these are from it at
// most, mm.
func (s *snapper) evenVertices(axis weave.Axis, verts [][]int, base []float64) (off float64) {
	// Those near their places go first: the others find them where they stay.
	for _, far := range []bool{false, true} {
		for j := range verts[0] {
			if s.on[axis][verts[0][j]] != nil {
				continue
			}
			middle := s.middlePlace(axis, verts, base, j)
			for i := range verts {
				v := verts[i][j]
				was, _ := axis.Split(s.vertices.at[v])
				now, along := axis.Split(s.moved[v])
				to := axis.Point(was+base[i]+middle, along)
				by := math.Abs(was + base[i] + middle - now)
				if (by > mostEvened*s.grid.Pitch(axis)) != far {
					continue
				}
				if far && !s.mayMove(axis, v, to) || !s.staysInRoom(axis, v, to) {
					off = max(off, by)
					continue
				}
				s.moved[v] = to
			}
		}
	}
	return off
}

// middlePlace returns the middle of how far the vertices at place j of equal motifs lie
// from where the motifs' straights would take them, mm, or what is nearest to it with which
// all stay in the room.
func (s *snapper) middlePlace(axis weave.Axis, verts [][]int, base []float64, j int) float64 {
	moves := make([]float64, len(verts))
	least, most := math.Inf(-1), math.Inf(1)
	lo, hi, toLo, toHi, ok := s.walls(axis)
	for i := range verts {
		now, _ := axis.Split(s.moved[verts[i][j]])
		was, _ := axis.Split(s.vertices.at[verts[i][j]])
		moves[i] = now - was - base[i]
		if ok && was >= lo-joint && was <= hi+joint {
			least, most = max(least, toLo-was-base[i]), min(most, toHi-was-base[i])
		}
	}
	slices.Sort(moves)
	n := len(moves)
	middle := (moves[(n-1)/2] + moves[n/2]) / 2
	if least > most {
		return middle
	}
	return min(most, max(least, middle))
}

// mayMove reports whether a vertex can move to a place without changing sides with
// anything: nothing lies across its way, and no end of another curve lies in the
// triangles that its own curves sweep over. All curves count as their chords, and it
// keeps to the room.
func (s *snapper) mayMove(axis weave.Axis, v int, to paths.Point) bool {
	if s.evenLooks -= len(s.strokes); s.evenLooks < 0 || !s.staysInRoom(axis, v, to) {
		return false
	}
	if s.joined == nil {
		s.joined = s.otherEnds()
	}
	from, others := s.moved[v], s.joined[v]
	lo, hi := min(from.X, to.X), max(from.X, to.X)
	for _, o := range others {
		lo, hi = min(lo, s.moved[o].X), max(hi, s.moved[o].X)
	}
	lo, hi = lo-1, hi+1 // mm: far more than rounding
	swept := func(w int) bool {
		return slices.ContainsFunc(others, func(o int) bool {
			return w != o && inTriangle(s.moved[w], s.moved[o], from, to)
		})
	}
	inTheWay := func(e [2]int) bool {
		a, b := &s.moved[e[0]], &s.moved[e[1]]
		if a.X < lo && b.X < lo || a.X > hi && b.X > hi { // as nearly all are
			return false
		}
		return e[0] != v && e[1] != v && (segmentsMeet(from, to, *a, *b) || swept(e[0]) || swept(e[1]))
	}
	return !slices.ContainsFunc(s.ends, func(of [][2]int) bool { return slices.ContainsFunc(of, inTheWay) })
}

// staysInRoom reports whether a vertex that was drawn between the walls of an axis lies
// between them at a place.
func (s *snapper) staysInRoom(axis weave.Axis, v int, at paths.Point) bool {
	lo, hi, toLo, toHi, ok := s.walls(axis)
	was, _ := axis.Split(s.vertices.at[v])
	is, _ := axis.Split(at)
	return !ok || was < lo-joint || was > hi+joint || is >= toLo-joint && is <= toHi+joint
}

// otherEnds returns, by vertex, the other ends of the curves that end there.
func (s *snapper) otherEnds() [][]int {
	out := make([][]int, len(s.vertices.at))
	for _, ends := range s.ends {
		for _, e := range ends {
			out[e[0]] = append(out[e[0]], e[1])
			if e[1] != e[0] {
				out[e[1]] = append(out[e[1]], e[0])
			}
		}
	}
	return out
}

// inTriangle reports whether p lies in a triangle, and not just on its sides: what ends
// on a curve goes on doing so.
func inTriangle(p, a, b, c paths.Point) bool {
	x, y, z := b.Sub(a).Cross(p.Sub(a)), c.Sub(b).Cross(p.Sub(b)), a.Sub(c).Cross(p.Sub(c))
	return min(x, y, z) > joint || max(x, y, z) < -joint
}

// inner is a shape within a motif that has equals.
type inner struct {
	shape *shape
	round int // the motif
}

// shareMoves finds the shapes that equal motifs have at the same place, such as the
// windows of houses, and says of each where it is to go so that the motifs stay equal: by
// the middle one of the movements that the maps ask of them, as seen from the straights
// of the motif round each. It leaves out those that go there anyway.
func (s *snapper) shareMoves(shapes []shape) {
	if len(s.equals) == 0 {
		return
	}
	setOf := map[int]int{} // by motif
	for i, set := range s.equals {
		for _, n := range set {
			setOf[n] = i
		}
	}
	within := make([][]inner, len(s.equals))
	for i := range shapes {
		x := &shapes[i]
		if x.pinned != nil {
			continue
		}
		n := s.partOf[x.strokes[0]]
		round := s.motifRound(weave.Across, n)
		if round < 0 {
			round = s.motifRound(weave.Along, n)
		}
		if set, ok := setOf[round]; ok {
			within[set] = append(within[set], inner{x, round})
		}
	}
	for _, of := range within {
		for _, alike := range s.alike(of) {
			s.shareMove(alike)
		}
	}
}

// alike divides shapes within equal motifs into those that are equal and at the same place
// in theirs.
func (s *snapper) alike(of []inner) (out [][]inner) {
	at := make([]paths.Point, len(of))
	for i, x := range of {
		at[i] = x.shape.box.Min.Sub(s.motifs[x.round].box.Min)
	}
	number, count := near.Clusters(at, motifSlack*s.grid.Across)
	places := make([][]inner, count)
	for i, k := range number {
		places[k] = append(places[k], of[i])
	}
	motifOf := func(x inner) *motif { return &s.motifs[s.partOf[x.shape.strokes[0]]] }
	for _, here := range places {
		for len(here) > 0 {
			var equal, rest []inner
			for _, x := range here {
				if s.equal(motifOf(here[0]), motifOf(x)) {
					equal = append(equal, x)
				} else {
					rest = append(rest, x)
				}
			}
			out, here = append(out, equal), rest
		}
	}
	return out
}

// shareMove says of alike shapes where they are to go.
func (s *snapper) shareMove(alike []inner) {
	own, rounds := make([]paths.Point, len(alike)), make([]int, len(alike))
	for i, x := range alike {
		middle := x.shape.box.Centre()
		own[i], rounds[i] = s.carried(middle).Sub(middle), x.round
	}
	to := slices.Clone(own)
	for _, axis := range []weave.Axis{weave.Across, weave.Along} {
		base, ok := s.bases(axis, rounds)
		if !ok {
			continue
		}
		moves := make([]float64, len(alike))
		for i := range alike {
			fixed, _ := axis.Split(own[i])
			moves[i] = fixed - base[i]
		}
		slices.Sort(moves)
		middle := (moves[(len(moves)-1)/2] + moves[len(moves)/2]) / 2
		for i := range alike {
			_, along := axis.Split(to[i])
			to[i] = axis.Point(base[i]+middle, along)
		}
	}
	for i, x := range alike {
		if to[i].Dist(own[i]) > joint {
			x.shape.shared = &to[i]
		}
	}
}

// tellUnequalShapes tells of shapes in equal motifs that could not go where the others
// went, as something is in their way.
func (s *snapper) tellUnequalShapes(shapes []shape) {
	for _, x := range shapes {
		by := s.whole[x.strokes[0]]
		if x.shared == nil || by == nil {
			continue
		}
		if off := by.Dist(*x.shared); off > toldUnequal {
			s.warn("motif-unequal", x.box.Centre().Add(*by),
				"a shape lies %.1f mm off its place in the equal motifs: what is round this one leaves it no room there", off)
		}
	}
}
