package loads

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// Tour returns the order in which the copies of a load are drawn: one after the other,
// each whole, on a short way from home past the middles of their boxes to the park
// position. Up to nine copies it is the shortest; beyond that the best of the ways that go
// up and down the rows or columns, shortened by turning parts of it round.
func Tour(boxes []paths.Rect, home, park paths.Point) []int {
	t := tour{home: home, park: park}
	for _, b := range boxes {
		t.at = append(t.at, b.Centre())
	}
	best := t.serpentines(boxes)
	if len(boxes) <= 9 {
		return t.shortest(best)
	}
	return t.turned(best)
}

type tour struct {
	at         []paths.Point
	home, park paths.Point
}

func (t tour) length(order []int) float64 {
	here, sum := t.home, 0.0
	for _, i := range order {
		sum += here.Dist(t.at[i])
		here = t.at[i]
	}
	return sum + here.Dist(t.park)
}

// serpentines returns the best of the ways that go along the rows, or the columns, to and
// fro, from each side. Boxes that overlap along an axis stand in one row.
func (t tour) serpentines(boxes []paths.Rect) []int {
	var best []int
	for way := range 8 {
		turned, down, right := way&1 != 0, way&2 != 0, way&4 != 0
		over := func(i int) (lo, hi, along float64) {
			b := boxes[i]
			if turned {
				return b.Min.X, b.Max.X, t.at[i].Y
			}
			return b.Min.Y, b.Max.Y, t.at[i].X
		}
		var order []int
		for r, row := range rowsOf(len(boxes), over, down) {
			slices.SortStableFunc(row, func(a, b int) int {
				_, _, p := over(a)
				_, _, q := over(b)
				if (r%2 == 1) != right {
					p, q = q, p
				}
				return cmp.Compare(p, q)
			})
			order = append(order, row...)
		}
		if best == nil || t.length(order) < t.length(best)-1e-9 {
			best = order
		}
	}
	return best
}

// rowsOf sorts n boxes into rows: a row is begun by a box that lies beyond the middle of
// the row before.
func rowsOf(n int, over func(int) (lo, hi, along float64), down bool) [][]int {
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	slices.SortStableFunc(all, func(a, b int) int {
		p, _, _ := over(a)
		q, _, _ := over(b)
		return cmp.Compare(p, q)
	})
	var rows [][]int
	middle := math.Inf(-1)
	for _, i := range all {
		lo, hi, _ := over(i)
		if lo > middle {
			rows, middle = append(rows, nil), (lo+hi)/2
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], i)
	}
	if down {
		slices.Reverse(rows)
	}
	return rows
}

// shortest goes through all orders, and keeps the one given where none is shorter.
func (t tour) shortest(best []int) []int {
	n := len(best)
	least := t.length(best) - 1e-9
	order := make([]int, 0, n)
	used := make([]bool, n)
	var try func(here paths.Point, sum float64)
	try = func(here paths.Point, sum float64) {
		if sum >= least {
			return
		}
		if len(order) == n {
			if sum += here.Dist(t.park); sum < least {
				best, least = slices.Clone(order), sum
			}
			return
		}
		for i := range n {
			if !used[i] {
				used[i], order = true, append(order, i)
				try(t.at[i], sum+here.Dist(t.at[i]))
				used[i], order = false, order[:len(order)-1]
			}
		}
	}
	try(t.home, 0)
	return best
}

// turned turns parts of an order round while that makes the way shorter.
func (t tour) turned(order []int) []int {
	order = slices.Clone(order)
	n := len(order)
	at := func(i int) paths.Point {
		switch {
		case i < 0:
			return t.home
		case i >= n:
			return t.park
		}
		return t.at[order[i]]
	}
	const rounds = 20
	for range rounds {
		better := false
		for i := 0; i < n; i++ {
			for j := i + 1; j < n; j++ {
				before := at(i-1).Dist(at(i)) + at(j).Dist(at(j+1))
				after := at(i-1).Dist(at(j)) + at(i).Dist(at(j+1))
				if after < before-1e-9 {
					slices.Reverse(order[i : j+1])
					better = true
				}
			}
		}
		if !better {
			break
		}
	}
	return order
}
