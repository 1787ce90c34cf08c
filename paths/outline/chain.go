package outline

import (
	"math"
	"slices"

	"weftplot/paths"
)

// way is a run travelled one way or the other.
type way struct {
	run  int
	back bool
}

// chain strings the kept runs together: along their own edge where it goes on
// being seen, else along another of the same colour and group that begins or
// ends there.
func (p *plane) chain() [][]paths.Stroke {
	out := make([][]paths.Stroke, len(p.fills))
	at := map[int][]way{} // the runs that leave a place
	for i, r := range p.runs {
		if r.kept && r.start >= 0 {
			at[r.start] = append(at[r.start], way{i, false})
			at[r.end] = append(at[r.end], way{i, true})
		}
	}
	for i := range p.runs {
		if !p.runs[i].kept || p.runs[i].used {
			continue
		}
		ways := p.follow(way{i, false}, at)
		fill := p.chains[p.runs[i].chain].fill
		if s := p.join(ways); len(s) > 0 {
			out[fill] = append(out[fill], s)
		}
	}
	return out
}

// follow returns the longest string of unused runs through w.
func (p *plane) follow(w way, at map[int][]way) []way {
	p.runs[w.run].used = true
	ways := []way{w}
	if p.runs[w.run].start < 0 {
		return ways
	}
	start := p.ends(w)[0]
	for next, ok := p.next(w, at, start); ok; next, ok = p.next(next, at, start) {
		ways = append(ways, next)
	}
	end := p.ends(ways[len(ways)-1])[1]
	if start == end {
		return ways
	}
	var before []way
	for next, ok := p.next(way{w.run, !w.back}, at, end); ok; next, ok = p.next(next, at, end) {
		before = append(before, way{next.run, !next.back})
	}
	slices.Reverse(before)
	return append(before, ways...)
}

// ends returns the places where a way begins and ends.
func (p *plane) ends(w way) [2]int {
	r := p.runs[w.run]
	if w.back {
		return [2]int{r.end, r.start}
	}
	return [2]int{r.start, r.end}
}

// next takes an unused run that goes on where w ends. Back at the start only
// one of the same edge is taken: rings that touch at a corner stay rings.
func (p *plane) next(w way, at map[int][]way, start int) (way, bool) {
	r := p.runs[w.run]
	mine := p.fills[p.chains[r.chain].fill]
	best, found := way{}, false
	here := p.ends(w)[1]
	for _, n := range at[here] {
		o := p.runs[n.run]
		other := p.fills[p.chains[o.chain].fill]
		if o.used || other.Colour != mine.Colour || other.Group != mine.Group {
			continue
		}
		goesOn := o.chain == r.chain && n.back == w.back && (!w.back && o.from == r.to || w.back && o.to == r.from)
		if goesOn || !found && here != start {
			best, found = n, true
		}
		if goesOn {
			break
		}
	}
	if found {
		p.runs[best.run].used = true
	}
	return best, found
}

// stretch is a part of one curve of a chain, by its parameters, travelled one
// way or the other; start and end are the places it is drawn between, -1 for
// its own ends.
type stretch struct {
	chain, index int
	t0, t1       float64
	back         bool
	start, end   int
}

// join makes one stroke of a string of runs. Neighbouring stretches of one
// curve are one again; an edge of which all is seen is the stroke it was.
func (p *plane) join(ways []way) paths.Stroke {
	if c, ok := p.wholeChain(ways); ok {
		return p.chains[c].stroke
	}
	var list []stretch
	for _, w := range ways {
		list = p.appendStretches(list, w)
	}
	if n := len(list); n > 1 && list[n-1].end == list[0].start && list[0].start >= 0 {
		if s, ok := merged(list[n-1], list[0]); ok { // the seam of a closed stroke
			list[0] = s
			list = list[:n-1]
		}
	}
	var out paths.Stroke
	for _, s := range list {
		c := paths.Sub(p.chains[s.chain].stroke[s.index], s.t0, s.t1)
		if s.back {
			c = c.Reverse()
		}
		a, b := c.Start(), c.End()
		if s.start >= 0 {
			a = p.places.at[s.start]
		}
		if s.end >= 0 {
			b = p.places.at[s.end]
		}
		if n := len(out); n > 0 {
			a = out[n-1].End()
		}
		if c = withEnds(c, a, b); c.Length() > 0 {
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
			return paths.Line{A: a.A, B: b.B}, u.Dot(b.B.Sub(b.A)) > 0 && math.Abs(u.Cross(v)) <= p.near*v.Len()
		}
	case paths.Arc:
		if b, ok := b.(paths.Arc); ok {
			c := paths.Arc{From: a.From, To: b.To, Centre: a.Centre, Sweep: a.Sweep + b.Sweep}
			return c, a.Sweep*b.Sweep > 0 && (math.Abs(c.Sweep) < 2*math.Pi-1e-9 || b.To == a.From) &&
				a.Centre.Dist(b.Centre) <= p.near && math.Abs(a.Radius()-b.Radius()) <= p.near
		}
	}
	return a, false
}

// wholeChain returns the chain that the ways follow from end to end.
func (p *plane) wholeChain(ways []way) (int, bool) {
	c := p.runs[ways[0].run].chain
	want := max(1, len(p.chains[c].cuts))
	if !p.chains[c].closed {
		want = len(p.chains[c].cuts) + 1
	}
	if len(ways) != want {
		return 0, false
	}
	for _, w := range ways {
		if p.runs[w.run].chain != c || w.back != ways[0].back {
			return 0, false
		}
	}
	return c, true
}

// appendStretches adds the stretches of one way to a list.
func (p *plane) appendStretches(list []stretch, w way) []stretch {
	spans := p.spans(p.runs[w.run])
	ends := p.ends(w)
	for i := range spans {
		k := i
		if w.back {
			k = len(spans) - 1 - i
		}
		part := p.parts[spans[k].part]
		width := part.t1 - part.t0
		s := stretch{
			chain: part.chain, index: part.index, back: w.back, start: -1, end: -1,
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

// merged returns a and b as one stretch, where b goes on on the curve of a.
func merged(a, b stretch) (stretch, bool) {
	if a.chain != b.chain || a.index != b.index || a.back != b.back {
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

// withEnds returns c between a and b, which are near its own ends.
func withEnds(c paths.Curve, a, b paths.Point) paths.Curve {
	switch c := c.(type) {
	case paths.Arc:
		c.From, c.To = a, b
		return c
	case paths.Cubic:
		c.A, c.D = a, b
		return c
	}
	return paths.Line{A: a, B: b}
}
