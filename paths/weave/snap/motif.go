package snap

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/near"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/choice"
	"weftplot/paths/weave/snap/web"
)

// motif is a part of a design that hangs together: strokes that share vertices or
// touch each other's straights.
type motif struct {
	strokes []int32
	box     paths.Rect
	lines   [2][]int // by axis, its straights by number, in the order of place and extent
	length  float64  // of the chords of its curves
	curves  int
}

// The bounds of what makes two motifs equal, and of what is compared.
const (
	motifSlack  = 0.03 // of places, in channels
	motifLines  = 8    // straights each way of a motif that stands alone and is compared within itself
	motifWindow = 64   // how many motifs of nearly one height are compared with one
)

// findMotifs parts the strokes into motifs. Touches of both axes must be known.
func (s *snapper) findMotifs() []motif {
	partOf, count := s.joinedStrokes().Numbers()
	s.partOf = partOf
	strokes := web.NewLists(count, func(put func(n, stroke int)) {
		for i, n := range partOf {
			put(n, i)
		}
	})
	out := make([]motif, count)
	cores.Ranges(count, func(lo, hi int) {
		for n := lo; n < hi; n++ {
			out[n] = s.motifOf(strokes.Of(n))
		}
	})
	for axis := range s.straights {
		for i, r := range s.straights[axis] {
			m := &out[s.partOf[r.stroke]]
			m.lines[axis] = append(m.lines[axis], i)
		}
		for n := range out {
			s.sortLines(weave.Axis(axis), out[n].lines[axis])
		}
	}
	return out
}

// motifOf returns the motif of some strokes, without its straights.
func (s *snapper) motifOf(strokes []int32) motif {
	m := motif{strokes: strokes, box: paths.EmptyRect()}
	for _, i := range strokes {
		k := s.Strokes[i]
		m.box = m.box.Union(k.Bounds())
		m.curves += len(k)
		for _, c := range k {
			m.length += c.Start().Dist(c.End())
		}
	}
	return m
}

// joinedStrokes joins the strokes that share vertices or touch each other's
// straights.
func (s *snapper) joinedStrokes() *near.Sets {
	sets := near.NewSets(len(s.Strokes))
	owner := make([]int32, len(s.Vertices))
	for v := range owner {
		owner[v] = -1
	}
	for i := range s.Strokes {
		for _, v := range s.Path(i) {
			if owner[v] >= 0 {
				sets.Join(int(owner[v]), i)
			}
			owner[v] = int32(i)
		}
	}
	for _, t := range s.touches {
		if owner[t.vertex] >= 0 {
			sets.Join(int(owner[t.vertex]), t.on.stroke)
		}
	}
	return sets
}

// sortLines puts straights of an axis in the order of their places, and those at one
// place, by steps within motifSlack, in the order of their ends.
func (s *snapper) sortLines(axis weave.Axis, lines []int) {
	at := func(i int) *straight { return s.straights[axis][i] }
	slices.SortStableFunc(lines, func(i, j int) int { return cmp.Compare(at(i).mean, at(j).mean) })
	slack := motifSlack * s.grid.Pitch(axis)
	for i := 0; i < len(lines); {
		j := i + 1
		for j < len(lines) && at(lines[j]).mean-at(lines[j-1]).mean <= slack {
			j++
		}
		slices.SortStableFunc(lines[i:j], func(i, j int) int { return cmp.Compare(at(i).lo(), at(j).lo()) })
		i = j
	}
}

// equal reports whether two motifs are one, moved.
func (s *snapper) equal(a, b *motif) bool {
	slack := motifSlack * s.grid.Across
	d := b.box.Min.Sub(a.box.Min)
	if len(a.strokes) != len(b.strokes) || a.curves != b.curves || math.Abs(a.length-b.length) > slack*float64(1+a.curves) ||
		math.Abs(a.box.Width()-b.box.Width()) > slack || math.Abs(a.box.Height()-b.box.Height()) > slack {
		return false
	}
	for axis := range a.lines {
		if len(a.lines[axis]) != len(b.lines[axis]) {
			return false
		}
		fixed, along := weave.Axis(axis).Split(d)
		for i, n := range a.lines[axis] {
			p, q := s.straights[axis][n], s.straights[axis][b.lines[axis][i]]
			if math.Abs(q.mean-p.mean-fixed) > slack || math.Abs(q.lo()-p.lo()-along) > slack || math.Abs(q.hi()-p.hi()-along) > slack {
				return false
			}
		}
	}
	return true
}

// copies returns the motifs with straights in sets of equal ones, each in the order
// of the design. Every set has two and more.
func (s *snapper) copies() [][]int {
	var order []int
	for n := range s.motifs {
		if m := &s.motifs[n]; len(m.lines[0])+len(m.lines[1]) > 0 {
			order = append(order, n)
		}
	}
	size := func(n int) float64 { b := s.motifs[n].box; return b.Width() + b.Height()*math.Phi }
	slices.SortStableFunc(order, func(a, b int) int {
		m, n := &s.motifs[a], &s.motifs[b]
		return cmp.Or(cmp.Compare(m.curves, n.curves), cmp.Compare(size(a), size(b)))
	})
	var sets [][]int
	for _, n := range order {
		found := false
		for i := len(sets) - 1; i >= max(0, len(sets)-motifWindow) && !found; i-- {
			if first := sets[i][0]; s.equal(&s.motifs[first], &s.motifs[n]) {
				sets[i] = append(sets[i], n)
				found = true
			}
		}
		if !found {
			sets = append(sets, []int{n})
		}
	}
	sets = slices.DeleteFunc(sets, func(set []int) bool { return len(set) < 2 })
	for _, set := range sets {
		slices.Sort(set)
	}
	return sets
}

// links returns the pairs of straights of an axis whose spacings a maker compares
// though other lines may stand between: those that follow each other within a
// motif, and the first ones of equal motifs that follow each other in a row.
func (s *snapper) links(axis weave.Axis) []choice.Link {
	var out []choice.Link
	for _, set := range s.equals {
		out = append(out, s.rowLinks(axis, set)...)
	}
	for n := range s.motifs {
		lines := s.motifs[n].lines[axis]
		if !s.repeated[n] && len(lines) > motifLines {
			continue
		}
		for i := 1; i < len(lines); i++ {
			out = append(out, choice.Link{A: lines[i-1], B: lines[i], Sure: s.repeated[n]})
		}
	}
	return out
}

// rowLinks links equal motifs that follow each other in a row across the axis's
// lines, by their first straights.
func (s *snapper) rowLinks(axis weave.Axis, set []int) []choice.Link {
	if len(s.motifs[set[0]].lines[axis]) == 0 {
		return nil
	}
	slack := motifSlack * s.grid.Pitch(axis)
	row := slices.Clone(set)
	place := func(n int) (fixed, along float64) { return axis.Split(s.motifs[n].box.Min) }
	slices.SortStableFunc(row, func(a, b int) int {
		_, g := place(a)
		_, h := place(b)
		return cmp.Compare(g, h)
	})
	for i := 0; i < len(row); { // those of one row by their places in it
		j := i + 1
		for ; j < len(row); j++ {
			_, g := place(row[j-1])
			if _, h := place(row[j]); h-g > slack {
				break
			}
		}
		slices.SortStableFunc(row[i:j], func(a, b int) int {
			f, _ := place(a)
			g, _ := place(b)
			return cmp.Compare(f, g)
		})
		i = j
	}
	sure := len(s.motifs[set[0]].lines[0])+len(s.motifs[set[0]].lines[1]) > 1 // lines alone are like by chance
	var out []choice.Link
	for i := 1; i < len(row); i++ {
		_, a := place(row[i-1])
		_, b := place(row[i])
		if math.Abs(a-b) <= slack {
			out = append(out, choice.Link{A: s.motifs[row[i-1]].lines[axis][0], B: s.motifs[row[i]].lines[axis][0], Sure: sure})
		}
	}
	return out
}

// tellUnequal warns of equal motifs whose lines got other counts.
func (s *snapper) tellUnequal(axis weave.Axis) {
	for _, set := range s.equals {
		first := s.motifs[set[0]].lines[axis]
		if len(first) < 2 || s.isLoose(set) {
			continue
		}
		patterns := map[string][]int{}
		most := 0
		for _, n := range set {
			var b strings.Builder
			for _, l := range s.motifs[n].lines[axis] {
				fmt.Fprint(&b, s.straights[axis][l].channel-s.straights[axis][s.motifs[n].lines[axis][0]].channel, " ")
			}
			patterns[b.String()] = append(patterns[b.String()], n)
			most = max(most, len(patterns[b.String()]))
		}
		if most == len(set) {
			continue
		}
		odd := set[0]
		for _, n := range set {
			for _, like := range patterns {
				if len(like) < most && slices.Contains(like, n) {
					odd = n
				}
			}
		}
		s.warn("motif-unequal", s.motifs[odd].box.Centre(), "%d of %d equal motifs came out with other counts between their lines %s the cloth: %s",
			len(set)-most, len(set), directions[axis], s.whyUnequal(axis))
	}
}

// isLoose reports whether a motif's lines take the nearest channels.
func (s *snapper) isLoose(set []int) bool {
	for _, n := range set {
		for _, k := range s.motifs[n].strokes {
			if s.opt.Loose != nil && s.opt.Loose(int(k)) {
				return true
			}
		}
	}
	return false
}

// whyUnequal returns the reason that sizes of an axis did not get one count.
func (s *snapper) whyUnequal(axis weave.Axis) string {
	for _, r := range s.rhythms {
		if r.Axis == axis && r.Lost > 0 && !r.Other {
			return "the lines that stay where they are leave no room for one count"
		}
	}
	return "their sizes add up with others that repeat, and not all can have one count"
}
