package order

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// rounding is how close, in mm, two points are that were meant to be the same and
// differ by rounding.
const rounding = 1e-6

// A vertex is a point where pieces end, before ends that meet within the
// tolerance are made one.
type vertex struct {
	paths.Point
	loose  bool // some stroke ends here
	stroke int  // the first stroke that comes here, and how far along it
	along  float64
}

// vertices returns the distinct ends of the pieces in order, and where each
// point is among them.
func vertices(pieces []piece) ([]vertex, map[paths.Point]int) {
	var out []vertex
	at := make(map[paths.Point]int, len(pieces)+1)
	add := func(p paths.Point, loose bool, stroke int, along float64) {
		i, ok := at[p]
		if !ok {
			i = len(out)
			at[p] = i
			out = append(out, vertex{Point: p, stroke: stroke, along: along})
		}
		out[i].loose = out[i].loose || loose
	}
	for _, p := range pieces {
		add(p.Start(), p.looseStart, p.stroke, p.from)
		add(p.End(), p.looseEnd, p.stroke, p.to)
	}
	return out, at
}

// splitAtEnds cuts the pieces where a stroke ends on their middle, and where
// any corner lies on it exactly. Pieces stay in order.
func splitAtEnds(pieces []piece, tol float64) []piece {
	vs, _ := vertices(pieces)
	index := newCurveIndex(len(pieces), func(i int) paths.Curve { return pieces[i].Curve }, max(tol, rounding))
	cuts := make([][]float64, len(pieces))
	for _, v := range vs {
		reach := min(tol, rounding)
		if v.loose {
			reach = tol
		}
		index.near(v.Point, func(i int) bool {
			c := pieces[i].Curve
			if c.Start().Dist(v.Point) <= tol || c.End().Dist(v.Point) <= tol {
				return true
			}
			t, d := nearestOn(c, v.Point)
			if d > max(reach, 1e-9) || t <= 0 || t >= 1 {
				return true
			}
			for _, u := range cuts[i] {
				if c.At(u).Dist(v.Point) <= reach {
					return true
				}
			}
			cuts[i] = append(cuts[i], t)
			return true
		})
	}
	out := make([]piece, 0, len(pieces))
	for i, p := range pieces {
		at := 0.
		slices.Sort(cuts[i])
		for _, t := range cuts[i] {
			out = append(out, p.part(at, t, false))
			at = t
		}
		if at == 0 {
			out = append(out, p)
		} else {
			out = append(out, p.part(at, 1, false))
		}
	}
	return out
}

// meet gives each vertex the corner it belongs to. A corner is where one of its
// vertices is, so that no end moves by more than the tolerance; vertices inside
// strokes come first and stay, and loose ends go to the nearest corner.
func meet(vs []vertex, tol float64) (corner []int, at []paths.Point) {
	order := make([]int, len(vs))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(b2i(vs[a].loose), b2i(vs[b].loose)) })
	corner = make([]int, len(vs))
	var leaders []vertex
	grid := map[[2]int][]int{}
	cell := max(tol, rounding)
	for _, i := range order {
		v := vs[i]
		cx, cy := int(math.Floor(v.X/cell)), int(math.Floor(v.Y/cell))
		best, least := -1, math.Inf(1)
		for dy := -1; dy <= 1; dy++ {
			for dx := -1; dx <= 1; dx++ {
				for _, k := range grid[[2]int{cx + dx, cy + dy}] {
					d := v.Dist(leaders[k].Point)
					if d <= tol && d < least && !alongside(v, leaders[k], tol) {
						best, least = k, d
					}
				}
			}
		}
		if best < 0 {
			best = len(leaders)
			leaders = append(leaders, v)
			at = append(at, v.Point)
			grid[[2]int{cx, cy}] = append(grid[[2]int{cx, cy}], best)
		}
		corner[i] = best
	}
	return corner, at
}

// alongside reports that two vertices follow so closely on one stroke that
// making them one would swallow what lies between.
func alongside(a, b vertex, tol float64) bool {
	return a.stroke == b.stroke && math.Abs(a.along-b.along) <= 4*tol && a.Point != b.Point
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}
