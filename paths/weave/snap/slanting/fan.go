package slanting

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

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

func newFan(l *Lines, v int) *fan {
	of := l.at.Of(v)
	f := &fan{rays: make([]ray, len(of)), place: make(map[int]int, len(of)), least: make([]int32, 2*len(of))}
	for k, j := range of {
		f.rays[k] = ray{l.way(v, int(j)).Angle(), int(j)}
	}
	slices.SortFunc(f.rays, func(a, b ray) int { return cmp.Or(cmp.Compare(a.angle, b.angle), a.side-b.side) })
	for k, r := range f.rays {
		f.place[r.side] = k
		if f.least[len(of)+k] = int32(r.side); l.used[r.side] {
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
