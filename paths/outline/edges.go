package outline

import (
	"math"
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
		if !c.drawn {
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
func (p *plane) ownerOf(r edge) (fill int, kept bool) {
	at, side, length := p.middle(r)
	side = side.Mul(min(aside*p.tol, length/8))
	a, b := p.visible(at.Add(side)), p.visible(at.Sub(side))
	if slices.Equal(p.colours(a), p.colours(b)) {
		return -1, false
	}
	w := p.boundaries[r.boundary].winder
	if w < len(p.fills) {
		p.shown[w] = true // or another whose edge lies along its own
		return w, slices.Contains(a, w) != slices.Contains(b, w)
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

// aside is how far beside an edge the colours are looked at, in units of near:
// beyond what runs along it. Beside a short edge it is less, so as not to look
// past the next one.
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

// visible returns the fills that are seen at q, from the top down to the first that
// hides what lies under it.
func (p *plane) visible(q paths.Point) []int {
	defer func() {
		for _, w := range p.touched {
			p.winders[w].turns = 0
		}
		p.touched = p.touched[:0]
	}()
	// A boundary winds round no point outside its box, so only those whose box
	// holds q are looked at.
	around := p.around[:0]
	p.touching(&p.areas, paths.Rect{Min: q, Max: q}, func(b int) { around = append(around, b) })
	// From the top down: the regions of windows, which come after all fills, then the
	// fills. Under one that hides what lies below nothing is wound.
	slices.SortFunc(around, func(a, b int) int { return p.boundaries[b].winder - p.boundaries[a].winder })
	p.around = around
	ray := paths.Rect{Min: paths.Point{X: math.Inf(-1), Y: q.Y}, Max: q}
	var seen []int
	for k := 0; k < len(around); {
		w := p.boundaries[around[k]].winder
		p.touched = append(p.touched, w)
		for ; k < len(around) && p.boundaries[around[k]].winder == w; k++ {
			p.touching(&p.boundaries[around[k]].tree, ray, func(i int) { p.winders[w].turns += p.parts[i].crosses(q) })
		}
		if w >= len(p.fills) || !p.winders[w].isInside() || !p.shows(p.through[w]) {
			continue
		}
		seen = append(seen, w)
		if !p.fills[w].Sheer {
			break
		}
	}
	return seen
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
