package outline

import (
	"slices"

	"weftplot/paths"
)

// edge is the part of a boundary between two cuts: all of it is seen or none.
type edge struct {
	boundary   int
	from, to   position
	start, end int // the nodes of its ends; -1 for a boundary that is not cut
	owner      int // the fill whose line it is
	kept       bool
	used       bool
}

// position is a place on a boundary.
type position struct {
	part int
	t    float64
}

// span is a section of one part.
type span struct {
	part   int
	t0, t1 float64
}

// judge lists the edges, keeps those that are seen, and of edges along one
// another only one.
func (p *plane) judge() {
	for i := range p.boundaries {
		c := &p.boundaries[i]
		p.tell(cutUp, judged, float64(i)/float64(len(p.boundaries)))
		if _, copied := p.original[c.winder]; copied || !c.drawn {
			continue
		}
		first := len(p.edges)
		p.listEdges(i)
		for k := first; k < len(p.edges); k++ {
			if p.budget < 0 {
				return
			}
			p.edges[k].owner, p.edges[k].kept = p.ownerOf(p.edges[k])
		}
	}
	p.dropDoubles()
}

func (p *plane) listEdges(i int) {
	c := &p.boundaries[i]
	if len(c.cuts) == 0 {
		p.edges = append(p.edges, edge{boundary: i, from: position{c.from, 0}, to: position{c.to - 1, 1}, start: -1, end: -1})
		return
	}
	for k, a := range c.cuts {
		b := c.cuts[(k+1)%len(c.cuts)]
		p.edges = append(p.edges, edge{boundary: i, from: position{a.part, a.t}, to: position{b.part, b.t}, start: a.node, end: b.node})
	}
}

// spans returns the sections of parts that make an edge, in order.
func (p *plane) spans(r edge) []span {
	c := p.boundaries[r.boundary]
	if r.from.part == r.to.part && r.from.t < r.to.t {
		return []span{{r.from.part, r.from.t, r.to.t}}
	}
	out := []span{{r.from.part, r.from.t, 1}}
	for i := r.from.part + 1; ; i++ {
		if i == c.to { // over the seam of a closed boundary
			i = c.from
		}
		if i == r.to.part {
			if r.to.t > 0 {
				out = append(out, span{i, 0, r.to.t})
			}
			return out
		}
		out = append(out, span{i, 0, 1})
	}
}

// ownerOf returns the fill whose line an edge is, and whether it is drawn: where
// different colours are seen on the two sides of it, and the fill on one of them
// only. The edge of a window is the line of the uppermost fill that ends there.
func (p *plane) ownerOf(e edge) (fill int, kept bool) {
	at, side, length := p.middle(e)
	side = side.Mul(min(aside*p.tol, length/8))
	l, r := at.Add(side), at.Sub(side)
	around := p.candidates(at)
	a, b := p.visible(l, around), p.visible(r, around)
	if slices.Equal(p.colours(a), p.colours(b)) {
		return -1, false
	}
	w := p.boundaries[e.boundary].winder
	if w < len(p.fills) {
		kept = slices.Contains(a, w) != slices.Contains(b, w)
		p.shown[w] = p.shown[w] || kept || p.sharesEdge(w, l, r, around)
		return w, kept
	}
	owner := -1
	ends := func(here, there []int) {
		for _, i := range here {
			if !p.fills[i].Undrawn && p.through[i] != nil && p.through[i].has[w] && !slices.Contains(there, i) {
				p.shown[i] = true
				owner = max(owner, i)
			}
		}
	}
	ends(a, b)
	ends(b, a)
	return owner, owner >= 0
}

// middle returns a point well inside an edge, the unit vector to the left there,
// and about how long the edge is straight on around it.
func (p *plane) middle(r edge) (at, left paths.Point, length float64) {
	var longest span
	length = -1
	for _, s := range p.spans(r) {
		c := p.parts[s.part].c
		if l := c.At(s.t0).Dist(c.At(s.t1)); l > length {
			longest, length = s, l
		}
	}
	c, t := p.parts[longest.part].c, (longest.t0+longest.t1)/2
	return c.At(t), c.Tangent(t).Left(), length
}

// aside is how far beside an edge the colours are looked at, in units of
// [Options].Near: beyond other edges that run along it. Beside a short edge it is
// less, so as not to look past the next one.
const aside = 4

// colours returns the colours of fills, each once and sorted.
func (p *plane) colours(fills []int) []string {
	var list []string
	for _, i := range fills {
		list = append(list, p.fills[i].Colour)
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// visible returns the fills that are seen at q, of those around it, from the top down to
// the first that hides what lies under it.
func (p *plane) visible(q paths.Point, around []int32) []int {
	p.asked++
	var seen []int
	for _, fill := range around {
		w := int(fill)
		if !p.isInside(w, q) || !p.shows(p.through[w], q) {
			continue
		}
		seen = append(seen, w)
		if !p.fills[w].Sheer {
			break
		}
	}
	return seen
}

// sharesEdge reports whether a fill, whose edge parts l from r, would be seen there but
// for fills above it whose edges lie along its own.
func (p *plane) sharesEdge(fill int, l, r paths.Point, around []int32) bool {
	here, there := p.over(l, fill, around), p.over(r, fill, around)
	if !slices.Contains(here, fill) {
		here, there = there, here
	}
	if !slices.Contains(here, fill) || slices.Contains(there, fill) {
		return false
	}
	return !slices.ContainsFunc(here, func(i int) bool { return !p.fills[i].Sheer && slices.Contains(there, i) })
}

// over returns the fills around q that it lies in, seen or not, from the top down to one
// of them.
func (p *plane) over(q paths.Point, lowest int, around []int32) []int {
	p.asked++
	var list []int
	for _, fill := range around {
		if w := int(fill); w >= lowest && p.isInside(w, q) && p.shows(p.through[w], q) {
			list = append(list, w)
		}
	}
	return list
}

// crosses returns 1 when the part crosses the ray from q to the left rising,
// -1 falling, 0 not at all. The lower end of a part belongs to it and the upper
// does not, so that a ray through a corner counts once.
func (s *part) crosses(q paths.Point) int32 {
	a, b, up := s.c.Start(), s.c.End(), int32(1)
	if a.Y > b.Y {
		a, b, up = b, a, -1
	}
	if !(a.Y <= q.Y && q.Y < b.Y) || s.box.Min.X > q.X {
		return 0
	}
	if s.box.Max.X < q.X || s.isLeftOf(q) {
		return up
	}
	return 0
}

// isLeftOf reports whether the part, which spans the height of q, is left of it there.
// A curve is halved about that height until both ends of what is left of it are on one
// side of q, as it rises or falls all along in x too.
func (s *part) isLeftOf(q paths.Point) bool {
	if l, ok := s.c.(paths.Line); ok {
		return l.A.X+(q.Y-l.A.Y)/(l.B.Y-l.A.Y)*(l.B.X-l.A.X) < q.X
	}
	a, b := s.c.Start(), s.c.End()
	rising := b.Y > a.Y
	lo, hi := 0., 1.
	for range 52 {
		if (a.X < q.X) == (b.X < q.X) {
			return a.X < q.X
		}
		mid := (lo + hi) / 2
		if at := s.c.At(mid); (at.Y <= q.Y) == rising {
			lo, a = mid, at
		} else {
			hi, b = mid, at
		}
	}
	return s.c.At((lo+hi)/2).X < q.X
}

// dropDoubles keeps one of the edges that lie along one another: that of the
// fill painted last.
func (p *plane) dropDoubles() {
	byEnds := map[[2]int][]int{}
	for i, r := range p.edges {
		if !r.kept || r.start < 0 {
			continue
		}
		key := [2]int{min(r.start, r.end), max(r.start, r.end)}
		for _, j := range byEnds[key] {
			if !p.edges[j].kept || !p.along(r, p.edges[j]) {
				continue
			}
			if r.owner > p.edges[j].owner {
				p.edges[j].kept = false
			} else {
				p.edges[i].kept = false
				break
			}
		}
		byEnds[key] = append(byEnds[key], i)
	}
}

// along reports whether two edges with the same ends are the same line. As no
// edge crosses either, it is enough that they are at one point.
func (p *plane) along(a, b edge) bool {
	at, left, _ := p.middle(a)
	probe := paths.Line{A: at.Add(left.Mul(2 * p.tol)), B: at.Sub(left.Mul(2 * p.tol))}
	for _, s := range p.spans(b) {
		p.budget -= crossingCost
		for _, x := range paths.Crossings(probe, p.parts[s.part].c, p.tol) {
			if s.t0 <= x.T && x.T <= s.t1 {
				return true
			}
		}
	}
	return false
}
