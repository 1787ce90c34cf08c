package snap

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"weftplot/paths"
)

// side is a slanting line between two vertices.
type side struct{ from, to, stroke int }

// other returns the end of a side that is not v.
func (k side) other(v int) int { return k.from + k.to - v }

// slantSet holds the lines of a design that are no straights, and the vertices that they
// end at.
type slantSet struct {
	points []paths.Point // by vertex
	sides  []side
	at     map[int][]int // by vertex, the numbers of the sides there, ascending
	fans   map[int]*fan  // of the vertices with many sides, when asked for
	used   []bool        // by side: it belongs to a row
}

// add adds a side.
func (s *slantSet) add(k side) {
	s.at[k.from] = append(s.at[k.from], len(s.sides))
	s.at[k.to] = append(s.at[k.to], len(s.sides))
	s.sides, s.used = append(s.sides, k), append(s.used, false)
}

// fan holds the sides of one vertex by their directions, so that those of one direction
// are found without looking at all.
type fan struct {
	rays  []ray
	place map[int]int // by side, among the rays
	least []int32     // a tree over the rays: the least number of a side that is in no row
}

type ray struct {
	angle float64
	side  int
}

// manySides is from how many sides at a vertex on they are looked up by direction.
const manySides = 64

// raySlack is how much a difference of two angles and the turn between two directions may
// differ by rounding, and more.
const raySlack = 1e-9

// noSide is more than the number of any side.
const noSide = math.MaxInt32

func newFan(s *slantSet, v int) *fan {
	of := s.at[v]
	f := &fan{rays: make([]ray, len(of)), place: make(map[int]int, len(of)), least: make([]int32, 2*len(of))}
	for k, j := range of {
		f.rays[k] = ray{s.way(v, j).Angle(), j}
	}
	slices.SortFunc(f.rays, func(a, b ray) int { return cmp.Or(cmp.Compare(a.angle, b.angle), a.side-b.side) })
	for k, r := range f.rays {
		f.place[r.side] = k
		if f.least[len(of)+k] = int32(r.side); s.used[r.side] {
			f.least[len(of)+k] = noSide
		}
	}
	for k := len(of) - 1; k > 0; k-- {
		f.least[k] = min(f.least[2*k], f.least[2*k+1])
	}
	return f
}

// use takes a side out of the search for sides that are in no row.
func (f *fan) use(side int) {
	k := f.place[side] + len(f.rays)
	f.least[k] = noSide
	for k /= 2; k > 0; k /= 2 {
		f.least[k] = min(f.least[2*k], f.least[2*k+1])
	}
}

// within calls g with the ranges of the rays whose angle is within turn of a heading's.
func (f *fan) within(heading, turn float64, g func(lo, hi int)) {
	for _, round := range []float64{-2 * math.Pi, 0, 2 * math.Pi} {
		lo := sort.Search(len(f.rays), func(k int) bool { return f.rays[k].angle >= heading+round-turn })
		hi := sort.Search(len(f.rays), func(k int) bool { return f.rays[k].angle > heading+round+turn })
		if lo < hi {
			g(lo, hi)
		}
	}
}

// first returns the least side in no row within turn of a heading, or noSide.
func (f *fan) first(heading, turn float64) int {
	found := int32(noSide)
	f.within(heading, turn, func(lo, hi int) {
		for lo, hi = lo+len(f.rays), hi+len(f.rays); lo < hi; lo, hi = lo/2, hi/2 {
			if lo%2 == 1 {
				found = min(found, f.least[lo])
				lo++
			}
			if hi%2 == 1 {
				hi--
				found = min(found, f.least[hi])
			}
		}
	})
	return int(found)
}

// way returns the way from a vertex to the other end of a side.
func (s *slantSet) way(v, side int) paths.Point {
	return s.points[s.sides[side].other(v)].Sub(s.points[v])
}

// fan returns the fan of a vertex, nil where few sides end.
func (s *slantSet) fan(v int) *fan {
	if len(s.at[v]) < manySides {
		return nil
	}
	f := s.fans[v]
	if f == nil {
		f = newFan(s, v)
		s.fans[v] = f
	}
	return f
}

// use notes that a side belongs to a row.
func (s *slantSet) use(side int) {
	s.used[side] = true
	for _, v := range [2]int{s.sides[side].from, s.sides[side].to} {
		if f := s.fans[v]; f != nil {
			f.use(side)
		}
	}
}

// next returns the first side at v, other than side i, that goes on within straightTurn of
// a heading and belongs to no row; noSide where there is none.
func (s *slantSet) next(i, v int, heading paths.Point) int {
	goesOn := func(j int) bool {
		return j != i && !s.used[j] && math.Abs(turnOf(heading, s.way(v, j))) <= straightTurn
	}
	if f := s.fan(v); f != nil {
		switch j := f.first(heading.Angle(), straightTurn+raySlack); {
		case j == noSide:
			return noSide
		case goesOn(j):
			return j
		}
	}
	for _, j := range s.at[v] {
		if goesOn(j) {
			return j
		}
	}
	return noSide
}

// follow goes straight on from side i beyond its vertex v and returns the
// vertices it comes to.
func (s *slantSet) follow(i, v int) []int {
	var out []int
	far := s.sides[i].other(v)
	for {
		i = s.next(i, v, s.points[v].Sub(s.points[far]))
		if i == noSide {
			return out
		}
		s.use(i)
		v, far = s.sides[i].other(v), v
		out = append(out, v)
	}
}

// rows returns the rows of vertices of slanting lines, each of which goes straight on,
// though it be drawn as several.
func (s *slantSet) rows() (rows [][]int) {
	for i, k := range s.sides {
		if s.used[i] {
			continue
		}
		back, on := s.follow(i, k.from), s.follow(i, k.to)
		s.use(i)
		slices.Reverse(back)
		rows = append(rows, append(append(back, k.from, k.to), on...))
	}
	return rows
}

// bends reports whether a line to v goes on there as a part of a curve.
func (s *slantSet) bends(from, v int) bool {
	heading := s.points[v].Sub(s.points[from])
	goesOn := func(j int) bool {
		return s.sides[j].other(v) != from && math.Abs(turnOf(heading, s.way(v, j))) <= cornerTurn
	}
	f := s.fan(v)
	if f == nil {
		return slices.ContainsFunc(s.at[v], goesOn)
	}
	found := false
	f.within(heading.Angle(), cornerTurn+raySlack, func(lo, hi int) {
		for k := lo; k < hi && !found; k++ { // nearly always the first does
			found = goesOn(f.rays[k].side)
		}
	})
	return found
}
