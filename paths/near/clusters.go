package near

import (
	"math"

	"weftplot/paths"
)

// Clusters gives two points the same number exactly when a chain of points
// leads from one to the other by steps of at most d mm; so any two points
// within d share a number. With d = 0 only equal points do. Numbers count from
// 0 in the order of the first point of each; which points share one does not
// depend on the order of the points. The package comment says how this compares
// to [Leaders].
//
// The time is about linear in the number of points, because those in one small
// cell are joined without comparing pairs. A d over 0 must be well above the
// rounding of the coordinates, a billionth of the greatest or more.
func Clusters(at []paths.Point, d float64) (number []int, count int) {
	sets := NewSets(len(at))
	if !(d > 0) {
		first := make(map[paths.Point]int, len(at))
		for i, p := range at {
			if j, ok := first[p]; ok {
				sets.Join(i, j)
			} else {
				first[p] = i
			}
		}
		return sets.Numbers()
	}
	joinClose(sets, at, joinEqual(sets, at, d), d)
	return sets.Numbers()
}

// joinClose joins those of some points, ascending, that lie within d of each other.
func joinClose(sets *Sets, at []paths.Point, some []int32, d float64) {
	// Any two points of a cell are within d: its diagonal is a little shorter.
	side := d * 0.7
	cells := newCellLists(len(some))
	for k, i := range some {
		if first := cells.add(cellOf(at[i], side), int32(k)); int(first) != k {
			sets.Join(int(i), int(some[first]))
		}
	}
	for k, i := range some {
		here := cellOf(at[i], side)
		if first := int(cells.first(here)); first < k && at[some[first]] == at[i] {
			continue // an equal point, with the same neighbours, was handled before
		}
		// Of two cells one looks at the other.
		for x := here.x; x <= here.x+2; x++ {
			for y := here.y - 2; y <= here.y+2; y++ {
				if x > here.x || y > here.y {
					joinNear(sets, at, some, cells, cell{x, y}, int(i), d)
				}
			}
		}
	}
}

// joinNear joins those of some points that lie in one cell, which are one set, with point i
// if any of them is within d of it.
func joinNear(sets *Sets, at []paths.Point, some []int32, cells *cellLists, c cell, i int, d float64) {
	k := cells.first(c)
	if k < 0 || sets.Same(i, int(some[k])) {
		return
	}
	for ; k >= 0; k = cells.next[k] {
		if j := int(some[k]); at[i].Dist(at[j]) <= d {
			sets.Join(i, j)
			return
		}
	}
}

// Leaders gives every point a leader, another point or itself, no farther than
// d mm away. It takes the points in the order given: each joins the nearest
// leader within d that it may join, the earlier of two that are equally near,
// or becomes a leader. So leaders are more than d apart, except pairs that may
// not join. mayJoin reports whether point i may join leader j; nil lets all
// join.
//
// Leaders are numbered from 0 in the order in which they became leaders:
// number[i] is the number of point i's leader, and leader[k] is the point that
// is leader k. The package comment says how this compares to [Clusters]. The
// time is about linear in the number of points, and grows where many leaders
// that may not join one another lie in one place.
func Leaders(at []paths.Point, d float64, mayJoin func(i, j int) bool) (number, leader []int) {
	number = make([]int, len(at))
	cells := newCellLists(len(at)) // of the leaders, by the points they are
	side := max(d*(1+1e-9), 1e-6)  // rounding must not put two cells between points d apart
	for i, p := range at {
		here := cellOf(p, side)
		best, least := -1, math.Inf(1)
		for y := here.y - 1; y <= here.y+1; y++ {
			for x := here.x - 1; x <= here.x+1; x++ {
				for j := cells.first(cell{x, y}); j >= 0; j = cells.next[j] {
					if to := p.Dist(at[j]); to <= d && to < least && (mayJoin == nil || mayJoin(i, int(j))) {
						best, least = number[j], to
					}
				}
			}
		}
		if best < 0 {
			best = len(leader)
			leader = append(leader, i)
			cells.add(here, int32(i))
		}
		number[i] = best
	}
	return number, leader
}
