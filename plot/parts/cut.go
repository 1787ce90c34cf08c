package parts

import (
	"math"

	"weftplot/paths"
)

// A step is a place on a line: at parameter t of one of its curves.
type step struct {
	curve int
	t     float64
	at    paths.Point
	far   float64 // from the line's beginning, in mm
}

// stepLength is how finely a line is followed, in mm.
const stepLength = 1.0

// steps returns places along a stroke, its corners and its ends among them.
func steps(s paths.Stroke) []step {
	out := []step{{0, 0, s.Start(), 0}}
	for i, c := range s {
		length := c.Length()
		n := max(1, int(math.Ceil(length/stepLength)))
		if n > 4000 {
			n = 4000
		}
		last := out[len(out)-1]
		from, at := last.far, last.at
		far := from
		for k := 1; k <= n; k++ {
			p := c.At(float64(k) / float64(n))
			far += p.Dist(at)
			at = p
			out = append(out, step{i, float64(k) / float64(n), p, far})
		}
	}
	return out
}

// cut draws a line in parts.
func (c *divider) cut(line int) {
	s := c.lines[line].Stroke
	if s.IsClosed() {
		s = c.opened(s)
	}
	all := steps(s)
	from, load := 0, -1
	var ends []int  // of the parts, as steps
	var loads []int // of the parts
	for from < len(all)-1 {
		next, to := c.farthest(all, from)
		if load >= 0 && next == load { // the same window goes on
			ends[len(ends)-1] = to
		} else {
			loads, ends = append(loads, next), append(ends, to)
		}
		load = next
		if to >= len(all)-1 {
			break
		}
		from = c.place(s, all, next, from, to)
		ends[len(ends)-1] = from
	}
	c.parts(line, s, all, ends, loads)
}

// opened returns a closed stroke begun where it first leaves the window that takes it
// farthest, so that no cut is made where it happens to begin.
func (c *divider) opened(s paths.Stroke) paths.Stroke {
	all := steps(s)
	_, to := c.farthest(all, 0)
	if to >= len(all)-1 {
		return s
	}
	at := all[c.place(s, all, c.at(all[0].at), 0, to)]
	return s.StartingAt(at.curve, at.t)
}

// at returns the first window that holds a point with room for the lap.
func (c *divider) at(p paths.Point) int {
	for n := range c.Windows {
		if c.inside(n, p) {
			return n
		}
	}
	return 0
}

// inside reports whether a window holds a point with room for the lap, which the edges of
// the drawing itself do not need.
func (c *divider) inside(n int, p paths.Point) bool {
	const slack = 1e-6
	w := c.Windows[n]
	room := func(lo, hi, v, first, last float64) bool {
		a, b := lo+c.opt.Lap, hi-c.opt.Lap
		if lo <= first+slack {
			a = lo - slack
		}
		if hi >= last-slack {
			b = hi + slack
		}
		return v >= a && v <= b
	}
	low, high := c.Windows[0].Min, c.Windows[len(c.Windows)-1].Max
	return room(w.Min.X, w.Max.X, p.X, low.X, high.X) && room(w.Min.Y, w.Max.Y, p.Y, low.Y, high.Y)
}

// farthest returns the window that holds the longest stretch of a line from a step on, the
// first of equal ones, and the last step in it.
func (c *divider) farthest(all []step, from int) (load, to int) {
	to = -1
	for n := range c.Windows {
		k := from
		for k < len(all) && c.inside(n, all[k].at) {
			k++
		}
		if k-1 > to {
			load, to = n, k-1
		}
	}
	return load, max(to, from+1) // no window: never, for they cover the drawing
}

// place returns the step at which a line is cut that is drawn in a load from one step to
// another at most: no farther back than where the window that takes it on begins to.
func (c *divider) place(s paths.Stroke, all []step, load, from, to int) int {
	next, _ := c.farthest(all, to)
	lo := to
	for lo > from+1 && c.inside(next, all[lo-1].at) {
		lo--
	}
	best, least := (lo+to)/2, math.Inf(1)
	middle := (all[lo].far + all[to].far) / 2
	half := math.Max(1e-9, (all[to].far-all[lo].far)/2)
	const margin = 0.15 // of the stretch, at each of its ends, that is kept free
	for k := lo; k <= to; k++ {
		off := math.Abs(all[k].far-middle) / half
		cost := off
		switch {
		case off > 1-margin && to-lo > 4:
			continue
		case isTip(s, all, k):
			cost += 1
		case isCorner(s, all, k):
			cost -= 1
		case !alongWeave(s, all[k]):
			cost += 0.5
		}
		if cost < least {
			best, least = k, cost
		}
	}
	return max(best, from+1)
}

// isCorner reports whether a line turns at a step.
func isCorner(s paths.Stroke, all []step, k int) bool {
	at := all[k]
	if at.t < 1 || at.curve+1 >= len(s) {
		return false
	}
	a, b := s[at.curve].Tangent(1), s[at.curve+1].Tangent(0)
	return math.Abs(a.Cross(b)) > 0.3
}

// isTip reports whether a line turns nearly back at a step, so that its parts lie side by
// side there.
func isTip(s paths.Stroke, all []step, k int) bool {
	at := all[k]
	return at.t == 1 && at.curve+1 < len(s) && s[at.curve].Tangent(1).Dot(s[at.curve+1].Tangent(0)) < -0.5
}

// alongWeave reports whether a line runs straight along one of the cloth's directions.
func alongWeave(s paths.Stroke, at step) bool {
	l, straight := s[at.curve].(paths.Line)
	if !straight {
		return false
	}
	d := l.B.Sub(l.A).Unit()
	return math.Abs(d.X) < 1e-6 || math.Abs(d.Y) < 1e-6
}

// parts adds the parts of a line, each longer by half the lap where it was cut, and its
// joints.
func (c *divider) parts(line int, s paths.Stroke, all []step, ends, loads []int) {
	from := 0
	closed := s.IsClosed() && len(loads) > 1
	for k, to := range ends {
		a, b := all[from].far, all[to].far
		if k > 0 || closed {
			a -= c.opt.Lap / 2
		}
		if k < len(ends)-1 || closed {
			b += c.opt.Lap / 2
		}
		c.add(loads[k], line, between(s, all, a, b, closed))
		other := k + 1
		if other == len(ends) {
			other = 0
		}
		if k < len(ends)-1 || closed {
			c.join(line, s, all[to], loads[k], loads[other])
		}
		from = to
	}
}

// join notes a joint. Two parts of one load meet without one.
func (c *divider) join(line int, s paths.Stroke, at step, a, b int) {
	if a == b {
		return
	}
	c.Joints = append(c.Joints, Joint{At: at.at, Along: s[at.curve].Tangent(at.t), Line: line, Loads: [2]int{min(a, b), max(a, b)}})
}

// between returns the part of a stroke from a to b mm along it. A closed one is gone round.
func between(s paths.Stroke, all []step, a, b float64, closed bool) paths.Stroke {
	whole := all[len(all)-1].far
	if closed && a < 0 {
		return append(between(s, all, whole+a, whole, false), between(s, all, 0, b, false)...)
	}
	if closed && b > whole {
		return append(between(s, all, a, whole, false), between(s, all, 0, b-whole, false)...)
	}
	from, to := stepAt(all, max(0, a)), stepAt(all, min(whole, b))
	var out paths.Stroke
	for i := from.curve; i <= to.curve; i++ {
		lo, hi := 0., 1.
		if i == from.curve {
			lo = from.t
		}
		if i == to.curve {
			hi = to.t
		}
		if hi > lo {
			out = append(out, paths.Sub(s[i], lo, hi))
		}
	}
	return out
}

// stepAt returns the place so far along, between the steps that were taken.
func stepAt(all []step, far float64) step {
	lo, hi := 0, len(all)-1
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; all[mid].far <= far {
			lo = mid
		} else {
			hi = mid
		}
	}
	a, b := all[lo], all[hi]
	if b.far <= a.far {
		return b
	}
	u := min(1, max(0, (far-a.far)/(b.far-a.far)))
	t := a.t
	if b.curve != a.curve {
		t = 0
	}
	return step{b.curve, t + u*(b.t-t), b.at, far}
}
