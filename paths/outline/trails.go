package outline

import (
	"math"
	"slices"

	"weftplot/paths"
)

// step is an edge travelled one way or the other.
type step struct {
	edge int
	back bool
}

// views joins the kept edges to strokes, by fill: along their own boundary
// where it goes on being seen, else along another edge of the same colour and
// group at that node.
func (p *plane) views() []View {
	out := make([]View, len(p.fills))
	for i := range out {
		at := i
		if above, ok := p.original[i]; ok {
			at = above // its edge is that of the copy
		}
		out[i].Hidden = !p.shown[at]
	}
	at := map[int][]step{} // the edges that leave a node
	for i, r := range p.edges {
		if r.kept && r.start >= 0 {
			at[r.start] = append(at[r.start], step{i, false})
			at[r.end] = append(at[r.end], step{i, true})
		}
	}
	for i := range p.edges {
		if !p.edges[i].kept || p.edges[i].used {
			continue
		}
		steps := p.follow(step{i, false}, at)
		if s := p.join(steps); len(s) > 0 {
			v := &out[p.edges[i].owner]
			v.Lines = append(v.Lines, s)
		}
	}
	return out
}

// follow returns the longest string of unused edges through w.
func (p *plane) follow(w step, at map[int][]step) []step {
	p.edges[w.edge].used = true
	steps := []step{w}
	if p.edges[w.edge].start < 0 {
		return steps
	}
	start := p.ends(w)[0]
	for next, ok := p.next(w, at, start); ok; next, ok = p.next(next, at, start) {
		steps = append(steps, next)
	}
	end := p.ends(steps[len(steps)-1])[1]
	if start == end {
		return steps
	}
	var before []step
	for next, ok := p.next(step{w.edge, !w.back}, at, end); ok; next, ok = p.next(next, at, end) {
		before = append(before, step{next.edge, !next.back})
	}
	slices.Reverse(before)
	return append(before, steps...)
}

// ends returns the nodes where a step begins and ends.
func (p *plane) ends(w step) [2]int {
	r := p.edges[w.edge]
	if w.back {
		return [2]int{r.end, r.start}
	}
	return [2]int{r.start, r.end}
}

// next takes an unused edge that goes on where w ends. Back at the start only
// one of the same edge is taken: rings that touch at a corner stay rings.
func (p *plane) next(w step, at map[int][]step, start int) (step, bool) {
	r := p.edges[w.edge]
	mine := p.fills[r.owner]
	best, found := step{}, false
	here := p.ends(w)[1]
	for _, n := range at[here] {
		o := p.edges[n.edge]
		other := p.fills[o.owner]
		if o.used || other.Colour != mine.Colour || other.Group != mine.Group {
			continue
		}
		goesOn := o.boundary == r.boundary && n.back == w.back && (!w.back && o.from == r.to || w.back && o.to == r.from)
		if goesOn || !found && here != start {
			best, found = n, true
		}
		if goesOn {
			break
		}
	}
	if found {
		p.edges[best.edge].used = true
	}
	return best, found
}

// section is a part of one curve of a boundary, by its parameters, travelled one
// way or the other; start and end are the nodes it is drawn between, -1 for
// its own ends.
type section struct {
	boundary, index int
	t0, t1          float64
	back            bool
	start, end      int
}

// join makes one stroke of a string of edges. Neighbouring sections of one
// curve are one again; a boundary of which all is seen is the stroke it was.
func (p *plane) join(steps []step) paths.Stroke {
	if c, ok := p.wholeBoundary(steps); ok {
		return p.boundaries[c].stroke
	}
	var out paths.Stroke
	for _, s := range p.sections(steps) {
		a, b, c := p.between(s)
		if n := len(out); n > 0 {
			a = out[n-1].End()
		}
		if c = paths.WithEnds(c, a, b); c.Length() > 0 {
			out = p.appendCurve(out, c)
		}
	}
	if n := len(out); n > 1 && out.IsClosed() { // the seam is no corner either
		if c, ok := p.onward(out[n-1], out[0]); ok {
			out[0] = c
			out = out[:n-1]
		}
	}
	return out
}

// sections returns the sections of all steps, those that go on on one curve
// made one.
func (p *plane) sections(steps []step) []section {
	var list []section
	for _, w := range steps {
		list = p.appendSections(list, w)
	}
	if n := len(list); n > 1 && list[n-1].end == list[0].start && list[0].start >= 0 {
		if s, ok := merged(list[n-1], list[0]); ok { // the seam of a closed stroke
			list[0] = s
			list = list[:n-1]
		}
	}
	return list
}

// between returns the curve of a section, the way it is travelled, and the
// points that it is to be drawn between: nodes, or its own ends.
func (p *plane) between(s section) (a, b paths.Point, c paths.Curve) {
	c = paths.Sub(p.boundaries[s.boundary].stroke[s.index], s.t0, s.t1)
	if s.back {
		c = c.Reverse()
	}
	a, b = c.Start(), c.End()
	if s.start >= 0 {
		a = p.nodes[s.start]
	}
	if s.end >= 0 {
		b = p.nodes[s.end]
	}
	return a, b, c
}

// appendCurve adds c to s, to its last curve where it goes on like that one.
func (p *plane) appendCurve(s paths.Stroke, c paths.Curve) paths.Stroke {
	if n := len(s); n > 0 {
		if m, ok := p.onward(s[n-1], c); ok {
			s[n-1] = m
			return s
		}
	}
	return append(s, c)
}

// onward returns a and b as one curve, where they are parts of one line or of
// one circle.
func (p *plane) onward(a, b paths.Curve) (paths.Curve, bool) {
	switch a := a.(type) {
	case paths.Line:
		if b, ok := b.(paths.Line); ok {
			u, v := a.B.Sub(a.A), b.B.Sub(a.A)
			return paths.Line{A: a.A, B: b.B}, u.Dot(b.B.Sub(b.A)) > 0 && math.Abs(u.Cross(v)) <= p.tol*v.Len()
		}
	case paths.Arc:
		if b, ok := b.(paths.Arc); ok {
			c := paths.Arc{From: a.From, To: b.To, Centre: a.Centre, Sweep: a.Sweep + b.Sweep}
			return c, a.Sweep*b.Sweep > 0 && (math.Abs(c.Sweep) < 2*math.Pi-1e-9 || b.To == a.From) &&
				a.Centre.Dist(b.Centre) <= p.tol && math.Abs(a.Radius()-b.Radius()) <= p.tol
		}
	}
	return a, false
}

// wholeBoundary returns the boundary that the steps follow from end to end.
func (p *plane) wholeBoundary(steps []step) (int, bool) {
	c := p.edges[steps[0].edge].boundary
	want := max(1, len(p.boundaries[c].cuts))
	if len(steps) != want {
		return 0, false
	}
	for _, w := range steps {
		if p.edges[w.edge].boundary != c || w.back != steps[0].back {
			return 0, false
		}
	}
	return c, true
}

// appendSections adds the sections of one step to a list.
func (p *plane) appendSections(list []section, w step) []section {
	spans := p.spans(p.edges[w.edge])
	ends := p.ends(w)
	for i := range spans {
		k := i
		if w.back {
			k = len(spans) - 1 - i
		}
		part := p.parts[spans[k].part]
		width := part.t1 - part.t0
		s := section{
			boundary: part.boundary, index: part.index, back: w.back, start: -1, end: -1,
			t0: part.t0 + spans[k].t0*width, t1: part.t1,
		}
		if spans[k].t1 < 1 {
			s.t1 = part.t0 + spans[k].t1*width
		}
		if i == 0 {
			s.start = ends[0]
		}
		if i == len(spans)-1 {
			s.end = ends[1]
		}
		if n := len(list); n > 0 {
			if m, ok := merged(list[n-1], s); ok {
				list[n-1] = m
				continue
			}
		}
		list = append(list, s)
	}
	return list
}

// merged returns a and b as one section, where b goes on on the curve of a.
func merged(a, b section) (section, bool) {
	if a.boundary != b.boundary || a.index != b.index || a.back != b.back {
		return a, false
	}
	switch {
	case !a.back && a.t1 == b.t0:
		a.t1 = b.t1
	case a.back && a.t0 == b.t1:
		a.t0 = b.t0
	default:
		return a, false
	}
	a.end = b.end
	return a, true
}
