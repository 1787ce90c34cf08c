package snap

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/rings"
	"weftplot/paths/weave/snap/web"
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

// matched returns the vertices of equal motifs, those at the same place of each in
// the same order; nil when they are not drawn in the same order.
func (s *snapper) matched(set []int) [][]int {
	out := make([][]int, len(set))
	slack := motifSlack * s.grid.Across
	for i, n := range set {
		m := &s.motifs[n]
		for _, k := range m.strokes {
			for j := range s.Strokes[k] {
				e := s.Ends(int(k), j)
				out[i] = append(out[i], e[0], e[1])
			}
		}
		if len(out[i]) != len(out[0]) {
			return nil
		}
		d := m.box.Min.Sub(s.motifs[set[0]].box.Min)
		for j, v := range out[i] {
			if s.Vertices[v].Sub(s.Vertices[out[0][j]]).Dist(d) > slack {
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
				was, _ := axis.Split(s.Vertices[v])
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
		was, _ := axis.Split(s.Vertices[verts[i][j]])
		moves[i] = now - was - base[i]
		if ok && was >= lo-web.Joint && was <= hi+web.Joint {
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
	if s.evenLooks -= len(s.Strokes); s.evenLooks < 0 || !s.staysInRoom(axis, v, to) {
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
		return e[0] != v && e[1] != v && (rings.Cross(from, to, *a, *b) || swept(e[0]) || swept(e[1]))
	}
	return !s.anyCurve(inTheWay)
}

// anyCurve reports whether something is so of the vertices that some curve ends at.
func (s *snapper) anyCurve(is func(ends [2]int) bool) bool {
	for i, st := range s.Strokes {
		for j := range st {
			if is(s.Ends(i, j)) {
				return true
			}
		}
	}
	return false
}

// staysInRoom reports whether a vertex that was drawn between the walls of an axis lies
// between them at a place.
func (s *snapper) staysInRoom(axis weave.Axis, v int, at paths.Point) bool {
	lo, hi, toLo, toHi, ok := s.walls(axis)
	was, _ := axis.Split(s.Vertices[v])
	is, _ := axis.Split(at)
	return !ok || was < lo-web.Joint || was > hi+web.Joint || is >= toLo-web.Joint && is <= toHi+web.Joint
}

// otherEnds returns, by vertex, the other ends of the curves that end there.
func (s *snapper) otherEnds() [][]int {
	out := make([][]int, len(s.Vertices))
	for i, st := range s.Strokes {
		for j := range st {
			e := s.Ends(i, j)
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
	return min(x, y, z) > web.Joint || max(x, y, z) < -web.Joint
}
