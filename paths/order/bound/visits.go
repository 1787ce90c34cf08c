package bound

import (
	"math"

	"weftplot/paths"
)

// A tree of strokes takes each hop to a loop for one to the loop's nearest point, and so
// lets a tour come in at one side of a loop and go on from the other. A visit knows better:
// its two hops share one point. So what a hop costs is divided in two: the hop in the tree
// costs that to the nearest point, and a toll; the visit of a loop costs what its two hops
// are longer than to the nearest point, less their tolls. The least visit is that to one
// corner, by the two cheapest hops of different strokes; hops that are not known have no
// toll and count for nothing more. A tour pays each toll and gets it back,
// so the tree and the least visits together cost no more than it does, whatever the tolls
// are. They are raised where the tree has a hop that the visit does without, and lowered
// where the visit alone has it: a Lagrangian decomposition, as Guignard and Kim describe
// it (Mathematical Programming 39, 1987).
//
// Between two loops the hop is no shorter than it is along one direction, which
// divides into what each of them adds by where it is entered.

// A side is a hop as the visit of a loop sees it.
type side struct {
	other  int32     // the stroke at its other end
	extra  []float32 // by corner of the loop: what it is longer than the hop in the tree, mm
	toll   float64   // mm
	degree float64   // hops of the tree less those of the visit
	moved  moved
}

// hopBetween returns the hop between two ends, with its sides.
func (a *ascent) hopBetween(e, b int32) pricedHop {
	h := pricedHop{a: e, b: b, sides: [2]int32{-1, -1}}
	p, q := a.loops[e>>1], a.loops[b>>1]
	switch {
	case p == nil && q == nil:
		h.cost = a.pos[e].Dist(a.pos[b])
	case p == nil:
		h.cost, h.sides[1] = a.addSide(b>>1, e>>1, q.ways(a.pos[e]))
	case q == nil:
		h.cost, h.sides[0] = a.addSide(e>>1, b>>1, p.ways(a.pos[b]))
	default:
		u := direction(p, q)
		x, y := p.along(u.Mul(-1)), q.along(u)
		var fromA, fromB float64
		fromA, h.sides[0] = a.addSide(e>>1, b>>1, x)
		fromB, h.sides[1] = a.addSide(b>>1, e>>1, y)
		h.cost = fromA + fromB
	}
	return h
}

// direction returns the unit vector from one loop to the nearest point of the other, or
// zero where they meet.
func direction(from, to *loop) paths.Point {
	p, q := from.nearest(to)
	return q.Sub(p).Unit()
}

// addSide notes the side of a hop at a loop, given the costs of the hop by corner, and
// returns the least of them.
func (a *ascent) addSide(loop, other int32, costs []float64) (least float64, number int32) {
	least = math.Inf(1)
	for _, c := range costs {
		least = min(least, c)
	}
	s := side{other: other, extra: make([]float32, len(costs))}
	for k, c := range costs {
		s.extra[k] = float32((c - least) * (1 - 1e-7)) // rounding never lengthens it
	}
	a.sides = append(a.sides, s)
	number = int32(len(a.sides) - 1)
	a.at[loop] = append(a.at[loop], number)
	return least, number
}

// visits returns the sum of the least visits of all loops at the present tolls, and takes
// their hops off the degrees of the sides.
func (a *ascent) visits() (sum float64) {
	for l, sides := range a.at {
		if len(sides) == 0 {
			continue
		}
		least, one, two := a.visit(a.loops[l], sides)
		sum += least
		for _, s := range [2]int32{one, two} {
			if s >= 0 {
				a.sides[s].degree--
			}
		}
	}
	return sum
}

// visit returns the least cost of a visit and its two sides, or -1 for one that is not
// known.
func (a *ascent) visit(l *loop, sides []int32) (least float64, one, two int32) {
	least = math.Inf(1)
	for k := range l.corners {
		var first, second float64
		p, q := int32(-1), int32(-1)
		for _, n := range sides {
			s := &a.sides[n]
			c := float64(s.extra[k]) - s.toll
			if c >= second {
				continue
			}
			switch {
			case c < first && (p < 0 || a.sides[p].other != s.other):
				first, second, p, q = c, first, n, p
			case c < first:
				first, p = c, n
			case p < 0 || a.sides[p].other != s.other:
				second, q = c, n
			}
		}
		if first+second < least {
			least, one, two = first+second, p, q
		}
	}
	return least, one, two
}
