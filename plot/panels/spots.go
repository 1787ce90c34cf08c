package panels

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// A spot is a place for a joint, in mm along a stroke, and what a joint costs there.
type spot struct{ at, cost float64 }

// spots returns the best places for a joint in a stretch of a stroke: of each kind the one
// that costs least, and the outermost, for cuts that follow one another closely. The later
// load is found by the ink of the earlier one. So a joint at a crossing in channels lies best
// where the earlier load can draw no farther: the crossing and all before it can be found.
// Elsewhere it lies best in the middle of what both windows hold, with ink on both sides.
func (c *cutter) spots(t track, number int, s stretch, farthest float64) []spot {
	var byKind [kinds][]float64
	c.nodes(t, number, s, func(kind int, at float64) { byKind[kind] = append(byKind[kind], at) })
	middle, half := (s.lo+s.hi)/2, max((s.hi-s.lo)/2, 1e-9)
	for _, round := range t.rounds() {
		for i, curve := range t.Stroke {
			lo, hi := max(s.lo, t.far[i]+round), min(s.hi, t.far[i+1]+round)
			if lo > hi {
				continue
			}
			inset := min(c.plan.opt.Lap, hi-lo) / 2 // the lap lies on the curve, too
			lo, hi = lo+inset, hi-inset
			kind := c.kindOf(curve)
			byKind[kind] = append(byKind[kind], lo, min(max(middle, lo), hi), hi)
		}
	}
	var out []spot
	for kind, at := range byKind {
		if len(at) == 0 {
			continue
		}
		slices.Sort(at)
		best, within := middle, half
		if kind == wovenNode {
			best, within = farthest, 2*half
		}
		nearest := slices.MinFunc(at, func(a, b float64) int { return cmp.Compare(math.Abs(a-best), math.Abs(b-best)) })
		for _, d := range slices.Compact([]float64{at[0], nearest, at[len(at)-1]}) {
			out = append(out, spot{d, jointCost + float64(kind) + offCost*math.Abs(d-best)/within})
		}
	}
	return out
}

// kindOf returns the kind of a place on a curve.
func (c *cutter) kindOf(curve paths.Curve) int {
	if _, straight := curve.(paths.Line); !straight {
		return curved
	}
	if inChannel(curve, c.plan.opt.Grid) {
		return inChannels
	}
	return straight
}

// leastTurn is the sine of the least angle at which a person sees a corner or a crossing.
const leastTurn = 0.35

// isCorner reports whether a stroke that goes on from a into b turns between them.
func isCorner(a, b paths.Curve) bool {
	p, q := a.Tangent(1), b.Tangent(0)
	return math.Abs(p.Cross(q)) > leastTurn || p.Dot(q) < 0
}

// nodes calls add with the corners and crossings of a stroke within a stretch. Crossings off
// the weave are looked for round its middle only, and where there is nothing better.
func (c *cutter) nodes(t track, number int, s stretch, add func(kind int, at float64)) {
	middle := (s.lo + s.hi) / 2
	close := stretch{max(s.lo, middle-besideMiddle), min(s.hi, middle+besideMiddle)}
	found := false
	tell := func(kind int, at float64) {
		found = true
		add(kind, at)
	}
	n := len(t.Stroke)
	for _, round := range t.rounds() {
		for i, curve := range t.Stroke {
			from := t.far[i] + round
			if before := t.Stroke[(i+n-1)%n]; (i > 0 || t.closed) && from >= s.lo && from <= s.hi && isCorner(before, curve) {
				tell(c.nodeKind(before, curve), from)
			}
			if l, ok := curve.(paths.Line); ok && inChannel(l, c.plan.opt.Grid) {
				c.woven(t, i, s.less(round), func(at float64) { tell(wovenNode, at+round) })
			}
		}
	}
	if found {
		return
	}
	for _, round := range t.rounds() {
		for i := range t.Stroke {
			c.crossed(t, i, number, close.less(round), func(at float64) { add(node, at+round) })
		}
	}
}

// besideMiddle is how far from the middle of a stretch crossings off the weave are looked
// for, in mm.
const besideMiddle = 15

func (s stretch) less(by float64) stretch { return stretch{s.lo - by, s.hi - by} }

func (c *cutter) nodeKind(a, b paths.Curve) int {
	if g := c.plan.opt.Grid; inChannel(a, g) && inChannel(b, g) {
		return wovenNode
	}
	return node
}

// part returns the part of a curve of a track in a stretch, and where along the track it
// begins; false where there is none.
func (t track) part(i int, s stretch) (part paths.Curve, from float64, ok bool) {
	lo, hi := max(s.lo, t.far[i]), min(s.hi, t.far[i+1])
	if lo >= hi {
		return nil, 0, false
	}
	curve := t.Stroke[i]
	return paths.Sub(curve, paths.ParamAt(curve, lo-t.far[i]), paths.ParamAt(curve, hi-t.far[i])), lo, true
}

// woven calls add with where a line in a channel crosses others in channels.
func (c *cutter) woven(t track, i int, s stretch, add func(at float64)) {
	part, from, ok := t.part(i, s)
	if !ok {
		return
	}
	start, end := part.Start(), part.End()
	way := end.Sub(start).Unit()
	c.ink.meeting(part, func(o inkCurve) {
		if l, ok := o.Curve.(paths.Line); ok && o.woven && math.Abs(l.Tangent(0).Cross(way)) > leastTurn {
			add(from + min(max(l.A.Sub(start).Dot(way), 0), end.Dist(start)))
		}
	})
}

// crossed calls add with where a curve crosses others that are not both in channels.
func (c *cutter) crossed(t track, i, number int, s stretch, add func(at float64)) {
	part, from, ok := t.part(i, s)
	if !ok {
		return
	}
	along := newTrack(paths.Stroke{part})
	straight := inChannel(part, c.plan.opt.Grid)
	c.ink.meeting(part, func(o inkCurve) {
		if o.stroke == number && o.number == i || straight && o.woven {
			return
		}
		for _, x := range paths.Crossings(part, o.Curve, hair) {
			if math.Abs(part.Tangent(x.S).Cross(o.Tangent(x.T))) > leastTurn {
				add(from + along.distance(0, x.S))
			}
		}
	})
}
