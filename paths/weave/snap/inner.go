package snap

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/web"
)

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
		if to[i].Dist(own[i]) > web.Joint {
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
				p, _ := axis.Split(s.moved[v].Sub(s.Vertices[v]))
				w := pairs[1][j]
				q, _ := axis.Split(s.moved[w].Sub(s.Vertices[w]))
				off = max(off, math.Abs(q-p-less))
			}
		}
	}
	return off
}
