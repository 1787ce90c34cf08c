package scan

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/scan/fit"
	"weftplot/paths/scan/skeleton"
)

// ray is the end of the trusted part of a line: its place, its direction
// outwards, and its curvature to the left in radians a pixel.
type ray struct {
	at, dir paths.Point
	bend    float64
}

// meet returns where the lines of two rays cross, if they do at more than a few
// degrees.
func (r ray) meet(s ray) (paths.Point, bool) {
	c := r.dir.Cross(s.dir)
	if math.Abs(c) < math.Sin(4*degree) {
		return paths.Point{}, false
	}
	return r.at.Add(r.dir.Mul(s.at.Sub(r.at).Cross(s.dir) / c)), true
}

// crosses returns where a ray meets the segment from a to b, and whether it
// does so ahead of its start.
func (r ray) crosses(a, b paths.Point) (paths.Point, bool) {
	d := b.Sub(a)
	c := r.dir.Cross(d)
	if math.Abs(c) < 1e-9 {
		return paths.Point{}, false
	}
	s := a.Sub(r.at).Cross(d) / c
	t := a.Sub(r.at).Cross(r.dir) / c
	return a.Add(d.Mul(t)), s > 0 && t >= 0 && t <= 1
}

// rayOf returns the ray that leaves the points at the first of them: along a
// straight line through as many of them as lie on one, or else along a
// parabola.
func rayOf(pts []paths.Point, width float64) ray {
	if len(pts) < 4 {
		return ray{at: pts[0], dir: pts[0].Sub(pts[len(pts)-1]).Unit()}
	}
	scatter := scatterOf(leading(pts, 24*width), int(3*width))
	for _, reach := range []float64{24, 12, 6} {
		part := leading(pts, reach*width)
		if len(part) < 4 {
			break
		}
		most := 0.05 * width
		if reach == 6 || len(part) == len(pts) && float64(len(pts)) < 6*width {
			most /= 2 // a piece this short is nearly straight even on an arc
		}
		if c, d, off := fit.Line(part); off < most+2.5*scatter {
			d = along(part[0].Sub(part[len(part)-1]), d)
			return ray{at: c.Add(d.Mul(part[0].Sub(c).Dot(d))), dir: d}
		}
	}
	var r ray
	for _, reach := range []float64{4, 3, 2, 1.3} {
		part := leading(pts, reach*width)
		if len(part) < 4 {
			part = pts[:4]
		}
		at, dir, bend, off := fit.Parabola(part)
		if r = (ray{at, dir, bend}); off < 0.02*width+scatter {
			break
		}
	}
	return r
}

// along returns d or its opposite, whichever points more in the direction of p.
func along(p, d paths.Point) paths.Point {
	if p.Dot(d) < 0 {
		return d.Mul(-1)
	}
	return d
}

// measure trims the arms of each junction to where they are clear of each other,
// refines the lines between, and finds the rays.
func (w *rebuilder) measure() {
	trims := map[skeleton.End]float64{}
	reach := map[int]float64{} // of branches that come unusually near to others
	for i := range w.junctions {
		w.trimArms(&w.junctions[i])
		for _, a := range w.junctions[i].arms {
			trims[a.End] = a.shared
			if r := 0.7 * a.apart; r < w.k.reach() && (reach[a.Branch] == 0 || r < reach[a.Branch]) {
				reach[a.Branch] = r
			}
		}
	}
	for i, e := range w.g.Branches {
		if w.gone[i] {
			continue
		}
		k := w.k
		if r := reach[i]; r > 0 {
			k.most = r
		}
		w.lines[i] = k.line(e, trims[skeleton.End{Branch: i}], trims[skeleton.End{Branch: i, Last: true}])
	}
	for i := range w.junctions {
		for j := range w.junctions[i].arms {
			a := &w.junctions[i].arms[j]
			pts := w.lines[a.Branch]
			if a.Last {
				pts = reversed(pts)
			}
			a.ray = rayOf(pts, w.k.width)
		}
	}
}

// trimArms finds how much of each arm of a junction lies so near to another arm
// that their ink merges: within 1.2 widths, or less where too little of the
// line would be left.
func (w *rebuilder) trimArms(k *junction) {
	most := 12 * w.k.width
	near := make([][]paths.Point, len(k.arms))
	for i, a := range k.arms {
		pts := w.g.From(a.End)
		if e := w.g.Branches[a.Branch]; w.junctionOf[e.A] == w.junctionOf[e.B] {
			pts = pts[:len(pts)/2+1] // the other half is another arm
		}
		near[i] = leading(pts, most)
	}
	for i, a := range k.arms {
		length := w.g.Branches[a.Branch].Length()
		if w.k.rim != nil {
			k.arms[i].apart, k.arms[i].shared = w.k.width, min(0.5*w.k.width, 0.3*length)
			continue
		}
		for _, apart := range []float64{1.2 * w.k.width, 0.9 * w.k.width, 0.6 * w.k.width} {
			k.arms[i].apart = apart
			k.arms[i].shared = sharedLength(near, i, apart, 2*w.k.width)
			if k.arms[i].shared < 0.35*length {
				break
			}
		}
	}
}

// sharedLength returns how many pixels of line i, of several that begin at one
// place, lie nearer than apart to another. It stops where the line has been
// apart from the others over a length of clear.
func sharedLength(near [][]paths.Point, i int, apart, clear float64) float64 {
	keep, s := apart, 0.0
	for p := 1; p < len(near[i]) && s <= keep+clear; p++ {
		s += near[i][p].Dist(near[i][p-1])
		for j, other := range near {
			if j != i && within(near[i][p], other, apart) {
				keep = max(apart, s)
				break
			}
		}
	}
	return keep
}

// leading returns the points of a line up to a length from its start, in
// pixels.
func leading(pts []paths.Point, length float64) []paths.Point {
	var s float64
	for i := 1; i < len(pts); i++ {
		if s += pts[i].Dist(pts[i-1]); s > length {
			return pts[:i]
		}
	}
	return pts
}

// within reports whether p is nearer than far to one of the points.
func within(p paths.Point, pts []paths.Point, far float64) bool {
	for _, q := range pts {
		if p.Sub(q).Dot(p.Sub(q)) < far*far {
			return true
		}
	}
	return false
}

// line returns the points of a branch, moved to the middle of the ink. first
// and last are the lengths, in pixels, left off at its ends; at free ends half
// a width is left off. Where hardly anything is left, it returns the middle
// part of the thinned line.
func (k ink) line(e skeleton.Branch, first, last float64) []paths.Point {
	if e.IsRing() {
		return k.refine(e.Points, true)
	}
	length := e.Length()
	if first == 0 {
		first = k.width / 2
	}
	if last == 0 {
		last = k.width / 2
	}
	if rest := length - first - last; rest < 0.6*k.width && k.rim == nil {
		f := (length - min(length, 0.6*k.width)) / max(first+last, 1e-9)
		return cutEnds(e.Points, first*f, last*f)
	}
	// Refined with a little more at the ends, which is then cut off.
	extra := min(k.width/2, first, last)
	if k.rim != nil {
		return k.seen(cutEnds(e.Points, first, last))
	}
	pts := k.refine(cutEnds(e.Points, first-extra, last-extra), false)
	return trim(pts, extra)
}

// cutEnds returns a line shortened by the lengths first and last, in pixels, at
// its two ends.
func cutEnds(pts []paths.Point, first, last float64) []paths.Point {
	var s, whole float64
	for i := 1; i < len(pts); i++ {
		whole += pts[i].Dist(pts[i-1])
	}
	var out []paths.Point
	for i, p := range pts {
		if i > 0 {
			s += p.Dist(pts[i-1])
		}
		if s >= first && s <= whole-last {
			out = append(out, p)
		}
	}
	if len(out) == 0 {
		out = append(out, pts[len(pts)/2])
	}
	return out
}

const degree = math.Pi / 180

// turn returns the angle between two directions, in [0, π].
func turn(u, v paths.Point) float64 { return math.Abs(turnOf(u, v)) }

// rotated returns d turned to the left by a radians.
func rotated(d paths.Point, a float64) paths.Point {
	sin, cos := math.Sincos(a)
	return paths.Point{X: d.X*cos - d.Y*sin, Y: d.X*sin + d.Y*cos}
}

// turnOf returns the turn from u to v, positive from the x axis towards the y
// axis.
func turnOf(u, v paths.Point) float64 { return math.Atan2(u.Cross(v), u.Dot(v)) }
