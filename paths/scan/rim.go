package scan

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/scan/skeleton"
)

// A pen with a round tip leaves ink whose edge lies half its breadth from the middle of
// the line. So each place of the edge tells where the middle went, also where the ink
// of several lines merges, or of one line that bends more tightly than it is wide:
// there the middle of the ink is not where the pen went.

const (
	// wideMM is the least width of a line whose rim is used. A narrower one is hardly
	// wider than the errors of its edges.
	wideMM = 1.8
	// fineMM is the width of a line whose middle is as well known as that of a wide one
	// by its rim.
	fineMM = 1
	// notchMM and notch are the turn towards the ink, over a length to each side, from
	// which an edge is a notch between two lines: it says nothing of their middles.
	notchMM = 0.25
	notch   = 14 * degree
)

// rim holds the places half a breadth inside the edges of a page's ink: where pens
// went.
type rim struct {
	*near.Points
	out     []paths.Point // the unit direction from each place to its edge
	breadth float64       // of most lines, in pixels
}

// rimOf returns the rim of the ink in a mask, for lines of a breadth in pixels.
func rimOf(mask skeleton.Plane, k ink, breadth, mm float64) *rim {
	var at, out []paths.Point
	reach := max(2, int(math.Round(notchMM/mm)))
	for _, pts := range (blobs{mask}).outlines(k) {
		pts = evenRing(resampleRing(pts), 1.5)
		n := len(pts)
		for i, p := range pts {
			a, b := pts[(i+n-reach%n)%n], pts[(i+reach)%n]
			// The ink is on the right as seen, and with y down Left turns to the right.
			in := b.Sub(a).Unit().Left()
			if turnOf(p.Sub(a), b.Sub(p)) < -notch || k.dark(p.Add(in.Mul(3))) < 0.4*k.level {
				continue
			}
			at, out = append(at, p.Add(in.Mul(breadth/2))), append(out, in.Mul(-1))
		}
	}
	return &rim{near.NewPoints(at), out, breadth}
}

// shift returns how far the middle of a line of a breadth lies from a place along the
// unit direction n, within reach each way, by the edges at its two sides.
func (r *rim) shift(at, n paths.Point, reach, breadth float64) (by float64, ok bool) {
	more := (r.breadth - breadth) / 2
	const beside, along = 1.5, 0.8 // pixels; the cosine of the widest angle between edge and line
	least := [2]float64{math.Inf(1), math.Inf(1)}
	for i := range r.Within(at, math.Hypot(reach, beside)+math.Abs(more)) {
		d := r.At(i).Add(r.out[i].Mul(more)).Sub(at)
		s, c := d.Dot(n), r.out[i].Dot(n)
		if math.Abs(d.Cross(n)) > beside || math.Abs(s) > reach || math.Abs(c) < along {
			continue
		}
		side := 0
		if c > 0 {
			side = 1
		}
		if math.Abs(s) < math.Abs(least[side]) {
			least[side] = s
		}
	}
	a, b := least[0], least[1]
	switch {
	case math.IsInf(a, 0) && math.IsInf(b, 0):
		return 0, false
	case math.IsInf(b, 0) || math.Abs(a-b) > 0.3*reach && math.Abs(a) < math.Abs(b):
		return a, true
	case math.IsInf(a, 0) || math.Abs(a-b) > 0.3*reach:
		return b, true
	}
	return (a + b) / 2, true
}

// refine moves the points of a line to where the rim says that the pen went. seen says
// of each point whether it does.
func (r *rim) refine(pts []paths.Point, breadth float64, ring bool) (moved []paths.Point, seen []bool) {
	for _, reach := range []float64{0.5, 0.5, 0.5, 0.4, 0.4, 0.4, 0.3, 0.3} {
		if ring {
			pts = evenRing(resampleRing(pts), 0.1*breadth)
		} else {
			pts = even(resample(pts, 1), 0.1*breadth)
		}
		moved, seen = make([]paths.Point, len(pts)), make([]bool, len(pts))
		for i, p := range pts {
			n := direction(pts, i, int(breadth/4)+1, ring).Left()
			by, ok := r.shift(p, n, reach*breadth, breadth)
			moved[i], seen[i] = p.Add(n.Mul(by)), ok
		}
		pts = moved
	}
	return moved, seen
}

// breadthOf returns the breadth of a thinned line, in pixels, if it is another than that
// of most lines and the line is long enough to tell, or else that of most.
func (k ink) breadthOf(thin []paths.Point, ring bool) float64 {
	if float64(len(thin)) < 2.5*k.rim.breadth {
		return k.rim.breadth
	}
	var list []float64
	pts := even(resample(thin, 1), 0.2*k.width)
	for i := 0; i < len(pts); i += 5 {
		if b, ok := k.breadth(pts[i], direction(pts, i, int(k.width/4)+1, ring).Left()); ok {
			list = append(list, b)
		}
	}
	slices.Sort(list)
	if n := len(list); n > 0 && math.Abs(list[n/2]-k.rim.breadth) > 0.12*k.rim.breadth {
		return list[n/2]
	}
	return k.rim.breadth
}

// seen returns the points of a line, moved to where the rim says that the pen went,
// without those at its ends of which it says nothing. Between, lines run straight on to
// where they meet in a corner, or else bend smoothly.
func (k ink) seen(thin []paths.Point) []paths.Point {
	pts, seen := k.rim.refine(thin, k.breadthOf(thin, false), false)
	from, to := slices.Index(seen, true), len(seen)
	if from < 0 {
		return thin
	}
	for !seen[to-1] {
		to--
	}
	return k.bridged(pts[from:to], seen[from:to])
}

// seenRing is seen for a closed line.
func (k ink) seenRing(thin []paths.Point) []paths.Point {
	pts, seen := k.rim.refine(thin, k.breadthOf(thin, true), true)
	from := slices.Index(seen, true)
	if from < 0 {
		return thin
	}
	pts = append(slices.Clone(pts[from:]), pts[:from+1]...)
	seen = append(slices.Clone(seen[from:]), seen[:from+1]...)
	pts = k.bridged(pts, seen)
	return pts[:len(pts)-1]
}

// bridged replaces the points that are not seen. The first and the last are.
func (k ink) bridged(pts []paths.Point, seen []bool) []paths.Point {
	var out []paths.Point
	for i := 0; i < len(pts); i++ {
		if seen[i] {
			out = append(out, pts[i])
			continue
		}
		next := i + slices.Index(seen[i:], true)
		out = append(out, k.bridge(out, pts[next:])...)
		i = next - 1
	}
	return out
}

// bridge returns points between the end of one line and the start of another.
func (k ink) bridge(a, b []paths.Point) []paths.Point {
	reach := 1.5 * k.width
	u := rayOf(reversed(a[max(0, len(a)-int(reach)):]), k.width)
	v := rayOf(leading(b, reach), k.width)
	u.at, v.at = a[len(a)-1], b[0]
	at, ok := u.meet(v)
	if ok && turn(u.dir, v.dir.Mul(-1)) > cornerTurn && at.Sub(u.at).Dot(u.dir) > 0 && at.Sub(v.at).Dot(v.dir) > 0 &&
		k.inked(at) && k.isCorner(at, u, v) {
		return inner(resample([]paths.Point{u.at, at, v.at}, 1))
	}
	return inner(resample(hermite(u, v), 1))
}

// isCorner reports whether two lines meet in a corner at a place: it is near to both, or
// the round that the pen left outside it shows.
func (k ink) isCorner(at paths.Point, u, v ray) bool {
	far := at.Dist(u.at.Lerp(v.at, 0.5))
	if far < 1.6*k.width {
		return true
	}
	out := u.dir.Add(v.dir).Unit()
	for i := range k.rim.Within(at, 0.15*k.width) {
		if k.rim.out[i].Dot(out) > 0.9 {
			return far < 4*k.width
		}
	}
	return false
}

// inner returns the points but the first and the last.
func inner(pts []paths.Point) []paths.Point {
	if len(pts) < 3 {
		return nil
	}
	return pts[1 : len(pts)-1]
}
