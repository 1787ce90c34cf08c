package hpgl

import "weftplot/paths"

// polygon is what the polygon buffer holds: parts, each closed.
type polygon struct {
	parts [][]edge
	begun bool // a part is under way
	// at and down are where the pen was when the polygon was begun; it is there
	// again when the polygon ends (from memory).
	at   paths.Point
	down bool
}

// edge is one side; only those made with the pen down are drawn by EP.
type edge struct {
	curve paths.Curve
	down  bool
}

// add appends a side. After a part is closed the first point of the next one is
// where the next move leads.
func (p *polygon) add(c paths.Curve, down bool) {
	if !p.begun {
		p.parts = append(p.parts, nil)
		p.begun = true
		if _, ok := c.(paths.Line); ok && len(p.parts) > 1 {
			p.parts[len(p.parts)-1] = []edge{{paths.Line{A: c.End(), B: c.End()}, false}} // where it starts
			return
		}
	}
	last := &p.parts[len(p.parts)-1]
	*last = append(*last, edge{c, down})
}

// close ends the part under way with a side back to its start.
func (p *polygon) close() {
	if !p.begun {
		return
	}
	part := &p.parts[len(p.parts)-1]
	p.begun = false
	if n := len(*part); n > 0 {
		first, last := (*part)[0].curve.Start(), (*part)[n-1]
		if end := last.curve.End(); end != first {
			*part = append(*part, edge{paths.Line{A: end, B: first}, last.down})
		}
	}
}

// polygonMode does PM: 0 begins a polygon at the pen, 1 closes a part of it, 2
// ends it: PCL 5, chapter 21.
func (r *reader) polygonMode(p []float64) {
	mode := 0.0
	if len(p) > 0 {
		mode = p[0]
	}
	switch {
	case mode == 0:
		r.endPolygon()
		r.polygon = polygon{at: r.at, down: r.down}
		r.inPolygon = true
	case mode == 1 && r.inPolygon:
		r.polygon.close()
	case mode == 2 && r.inPolygon:
		r.endPolygon()
	default:
		r.doubt("out-of-range", "PM %g has no meaning here", mode)
	}
}

// endPolygon leaves the mode, if it is on.
func (r *reader) endPolygon() {
	if r.inPolygon {
		r.polygon.close()
		r.inPolygon = false
		r.at, r.down = r.polygon.at, r.polygon.down
	}
}

// edges does EP, which draws the sides of the polygon made with the pen down, and
// FP, which fills it and is shown by all its sides. The pen returns to where it
// was, as it was.
func (r *reader) edges(fill bool) {
	if r.inPolygon {
		r.doubt("open-polygon", "the polygon is not ended yet, and is not drawn")
		return
	}
	if fill {
		r.doubt("filled", "filled areas are shown by their edge")
	}
	at, down := r.at, r.down
	for _, part := range r.polygon.parts {
		r.liftTo(part[0].curve.Start())
		for _, e := range part {
			if r.full {
				return
			}
			if e.down || fill {
				r.lift(true)
				r.along(e.curve)
			} else {
				r.liftTo(e.curve.End())
			}
		}
	}
	r.liftTo(at)
	r.lift(down)
}

// liftTo moves to a point with the pen up; one that is there already stays as it
// is.
func (r *reader) liftTo(p paths.Point) {
	if p != r.at {
		r.lift(false)
		r.along(paths.Line{A: r.at, B: p})
	}
}
