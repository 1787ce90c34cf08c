package rings

import "weftplot/paths"

// Ring is a closed polyline, its last point perhaps the first again, and its box.
type Ring struct {
	Points []paths.Point
	Box    paths.Rect
}

// Edge is the edge of a shape, in its box.
type Edge struct {
	Rings []Ring
	Box   paths.Rect
}

// Add adds a ring.
func (e *Edge) Add(points []paths.Point) {
	if len(e.Rings) == 0 {
		e.Box = paths.EmptyRect()
	}
	r := Ring{points, paths.RectOf(points...)}
	e.Rings, e.Box = append(e.Rings, r), e.Box.Union(r.Box)
}

// MoveTo makes e the edge of another moved by d, in the room that it has.
func (e *Edge) MoveTo(other *Edge, d paths.Point) {
	for len(e.Rings) < len(other.Rings) {
		e.Rings = append(e.Rings, Ring{})
	}
	e.Rings, e.Box = e.Rings[:len(other.Rings)], paths.EmptyRect()
	for i, r := range other.Rings {
		to := &e.Rings[i]
		to.Points = to.Points[:0]
		for _, p := range r.Points {
			to.Points = append(to.Points, p.Add(d))
		}
		to.Box = paths.RectOf(to.Points...)
		e.Box = e.Box.Union(to.Box)
	}
}

// Inside reports whether p lies inside, by the even-odd rule.
func (e *Edge) Inside(p paths.Point) bool {
	in := false
	for i := range e.Rings {
		if r := &e.Rings[i]; p.Y >= r.Box.Min.Y && p.Y <= r.Box.Max.Y && p.X <= r.Box.Max.X {
			in = in != inside(r.Points, p)
		}
	}
	return in
}

// inside reports whether a ring goes an odd number of times round p.
func inside(ring []paths.Point, p paths.Point) bool {
	in := false
	a := ring[len(ring)-1]
	for _, b := range ring {
		if passesRight(a, b, p) {
			in = !in
		}
		a = b
	}
	return in
}

// Holds reports whether p lies on the edge, within near mm.
func (e *Edge) Holds(p paths.Point, near float64) bool {
	for k := range e.Rings {
		if !e.Rings[k].Box.Grow(near).Contains(p) {
			continue
		}
		ring := e.Rings[k].Points
		for i := 1; i < len(ring); i++ {
			a, b := ring[i-1], ring[i]
			if p.X < min(a.X, b.X)-near || p.X > max(a.X, b.X)+near || p.Y < min(a.Y, b.Y)-near || p.Y > max(a.Y, b.Y)+near {
				continue // nearly all are told off so, without a root
			}
			if _, d := (paths.Line{A: a, B: b}).Nearest(p); d <= near {
				return true
			}
		}
	}
	return false
}

// Meets reports whether a polyline in a box meets the edge, and how many pairs of sides it
// looked at.
func (e *Edge) Meets(line []paths.Point, box paths.Rect) (meets bool, looks int) {
	for k := range e.Rings {
		if !e.Rings[k].Box.Overlaps(box) {
			continue
		}
		ring := e.Rings[k].Points
		for i := 1; i < len(ring); i++ {
			a, b := ring[i-1], ring[i]
			// Most of a ring lies to one side of the line, which is soon seen.
			if max(a.X, b.X) < box.Min.X || min(a.X, b.X) > box.Max.X || max(a.Y, b.Y) < box.Min.Y || min(a.Y, b.Y) > box.Max.Y {
				continue
			}
			looks += len(line)
			for j := 1; j < len(line); j++ {
				if Cross(a, b, line[j-1], line[j]) {
					return true, looks
				}
			}
		}
	}
	return false, looks
}

// Cross reports whether the segments from a to b and from c to d have a point in common.
func Cross(a, b, c, d paths.Point) bool {
	side := func(p, q, r paths.Point) float64 { return q.Sub(p).Cross(r.Sub(p)) }
	p, q, r, s := side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)
	if p*q < 0 && r*s < 0 {
		return true
	}
	return (p*q <= 0 && r*s <= 0) && paths.RectOf(a, b).Overlaps(paths.RectOf(c, d))
}
