package panels

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
)

// A spot is a place for a joint, in mm along a stroke, and what a joint costs there.
type spot struct{ at, cost float64 }

// spots returns the best places for a joint in a stretch of a stroke: of each kind the one
// that costs least, and the outermost, for cuts that follow one another closely. The later
// load is found by the ink of the earlier one. So a joint at a crossing in channels lies best
// where the earlier load can draw no farther: the crossing and all before it can be found.
// Elsewhere it lies best in the middle of what both windows hold, with ink on both sides.
func (c *cutter) spots(t track, number int, s stretch, farthest float64) []spot {
	byKind := map[float64][]float64{}
	c.nodes(t, number, s, func(kind, at float64) { byKind[kind] = append(byKind[kind], at) })
	middle := (s.lo + s.hi) / 2
	for _, round := range t.rounds() {
		for i, curve := range t.Stroke {
			lo, hi := max(s.lo, t.far[i]+round), min(s.hi, t.far[i+1]+round)
			if lo > hi {
				continue
			}
			kind := c.kindOf(curve)
			byKind[kind] = append(byKind[kind], lo, min(max(middle, lo), hi), hi)
		}
	}
	var out []spot
	half := max((s.hi-s.lo)/2, 1e-9)
	for _, kind := range []float64{wovenCost, nodeCost, channelCost, straightCost, curveCost} {
		at := byKind[kind]
		if len(at) == 0 {
			continue
		}
		slices.Sort(at)
		best, within := middle, half
		if kind == wovenCost {
			best, within = farthest, 2*half
		}
		nearest := slices.MinFunc(at, func(a, b float64) int { return compare(math.Abs(a-best), math.Abs(b-best)) })
		for _, d := range slices.Compact([]float64{at[0], nearest, at[len(at)-1]}) {
			out = append(out, spot{d, jointCost + kind + offCost*math.Abs(d-best)/within})
		}
	}
	return out
}

// kindOf returns what a joint on a curve costs.
func (c *cutter) kindOf(curve paths.Curve) float64 {
	if _, straight := curve.(paths.Line); !straight {
		return curveCost
	}
	if inChannel(curve, c.plan.opt.Grid) {
		return channelCost
	}
	return straightCost
}

// leastTurn is the sine of the least angle at which a person sees a corner or a crossing.
const leastTurn = 0.35

// isCorner reports whether a stroke that goes on from a into b turns between them.
func isCorner(a, b paths.Curve) bool {
	p, q := a.Tangent(1), b.Tangent(0)
	return math.Abs(p.Cross(q)) > leastTurn || p.Dot(q) < 0
}

// nodes calls add with the corners and crossings of a stroke within a stretch.
func (c *cutter) nodes(t track, number int, s stretch, add func(kind, at float64)) {
	g := c.plan.opt.Grid
	put := func(d float64, a, b paths.Curve) {
		kind := float64(nodeCost)
		if inChannel(a, g) && inChannel(b, g) {
			kind = wovenCost
		}
		for _, round := range t.rounds() {
			if d+round >= s.lo && d+round <= s.hi {
				add(kind, d+round)
			}
		}
	}
	n := len(t.Stroke)
	for i, curve := range t.Stroke {
		if before := t.Stroke[(i+n-1)%n]; (i > 0 || t.closed) && isCorner(before, curve) {
			put(t.far[i], before, curve)
		}
		if !slices.ContainsFunc(t.rounds(), func(r float64) bool { return t.far[i]+r <= s.hi && t.far[i+1]+r >= s.lo }) {
			continue
		}
		c.ink.meeting(curve, func(other inkCurve) {
			if other.stroke == number {
				return
			}
			for _, x := range paths.Crossings(curve, other.Curve, hair) {
				if math.Abs(curve.Tangent(x.S).Cross(other.Tangent(x.T))) > leastTurn {
					put(t.distance(i, x.S), curve, other.Curve)
				}
			}
		})
	}
}

// ink finds the curves of a drawing that may meet another.
type ink struct {
	curves []inkCurve
	cells  *near.Cells
	seen   []int // by curve: the last query that came upon it
	query  int
}

type inkCurve struct {
	paths.Curve
	stroke int
	box    paths.Rect
}

func newInk(strokes []Stroke) *ink {
	x := &ink{}
	all := paths.EmptyRect()
	for i, s := range strokes {
		for _, c := range s.Stroke {
			box := c.Bounds()
			all = all.Union(box)
			x.curves = append(x.curves, inkCurve{c, i, box})
		}
	}
	x.seen = make([]int, len(x.curves))
	side := math.Sqrt(max(all.Width()*all.Height(), 1) / float64(len(x.curves)+1))
	x.cells = near.NewCells(all, max(side, 1), len(x.curves), func(i int, put func(paths.Rect)) {
		if l, ok := x.curves[i].Curve.(paths.Line); ok {
			near.Steps(l.A, l.B, max(side, 1), put)
			return
		}
		put(x.curves[i].box)
	})
	return x
}

// meeting calls f with every curve whose box meets that of c, once each.
func (x *ink) meeting(c paths.Curve, f func(inkCurve)) {
	x.query++
	box := c.Bounds().Grow(hair)
	y := box.Centre().Y
	x.cells.Along(paths.Point{X: box.Min.X, Y: y}, paths.Point{X: box.Max.X, Y: y}, box.Height()/2, func(items []int32) {
		for _, k := range items {
			if x.seen[k] != x.query && x.curves[k].box.Overlaps(box) {
				x.seen[k] = x.query
				f(x.curves[k])
			}
		}
	})
}
