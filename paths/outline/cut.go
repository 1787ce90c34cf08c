package outline

import (
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
)

// cut is where a boundary meets another, or itself: at the parameter t, below 1,
// of a part.
type cut struct {
	part int
	t    float64
	node int
}

// What crossing two parts counts, in looks: of lines and arcs, and where a
// cubic crosses anything but a line; and what a place where they meet. A cubic that
// crosses another is halved no more than usualHalvings times as a rule; one that runs beside
// its like is halved thousands of times, and some of these count as one look.
const (
	crossingCost    = 10
	cubicCost       = 80
	meetingCost     = 30
	usualHalvings   = 100
	halvingsPerLook = 2
)

// cost returns what crossing two curves counts.
func cost(a, b paths.Curve) int {
	_, cubicA := a.(paths.Cubic)
	_, cubicB := b.(paths.Cubic)
	_, lineA := a.(paths.Line)
	_, lineB := b.(paths.Line)
	if (cubicA || cubicB) && !lineA && !lineB {
		return cubicCost
	}
	return crossingCost
}

// cutAll finds where the boundaries that may be drawn meet any other.
func (p *plane) cutAll() {
	pairs := p.pairs()
	for k, pair := range pairs {
		if p.budget < 0 {
			return
		}
		p.tell(laid, cutUp, float64(k)/float64(len(pairs)))
		i, j := int(pair>>32), int(uint32(pair))
		p.budget -= cost(p.parts[i].c, p.parts[j].c)
		found, halvings := paths.CountedCrossings(p.parts[i].c, p.parts[j].c, p.tol)
		p.budget -= max(0, halvings-usualHalvings) / halvingsPerLook
		for _, x := range found {
			p.meet(i, x.S, j, x.T)
		}
	}
	p.numberNodes()
	for i := range p.boundaries {
		p.boundaries[i].cuts = p.sorted(p.boundaries[i].cuts)
	}
}

// place is where a boundary meets another. It is hidden where one of them is out of sight,
// so that the other is seen on both sides or on neither.
type place struct {
	at     paths.Point
	hidden bool
}

// numberNodes makes one node of the places that are within the tolerance of one
// another, by steps ([near.Clusters]): cuts of several boundaries at one place. A
// node is where the first of its places is. Where all of its places are hidden there is
// no cut. That is decided for the node and not for each place, so that of boundaries
// along one another all are cut there or none.
func (p *plane) numberNodes() {
	at := make([]paths.Point, len(p.places))
	for i, x := range p.places {
		at[i] = x.at
	}
	number, count := near.Clusters(at, p.tol)
	p.nodes = make([]paths.Point, 0, count)
	hidden := make([]bool, 0, count)
	for i, x := range p.places {
		if number[i] == len(p.nodes) {
			p.nodes, hidden = append(p.nodes, x.at), append(hidden, true)
		}
		hidden[number[i]] = hidden[number[i]] && x.hidden
	}
	for i := range p.boundaries {
		c := &p.boundaries[i]
		for k := range c.cuts {
			c.cuts[k].node = number[c.cuts[k].node]
		}
		c.cuts = slices.DeleteFunc(c.cuts, func(x cut) bool { return hidden[x.node] })
	}
}

// place notes a place where two boundaries meet, and returns its number, which
// numberNodes turns into that of a node.
func (p *plane) place(at paths.Point, hidden bool) int {
	p.places = append(p.places, place{at, hidden})
	return len(p.places) - 1
}

// meet notes that part i at s is the same place as part j at t.
func (p *plane) meet(i int, s float64, j int, t float64) {
	if p.parts[i].boundary == p.parts[j].boundary {
		if v, w := p.vertex(i, s), p.vertex(j, t); v >= 0 && v == w {
			return // where one part ends and the next begins
		}
	}
	at := p.parts[i].c.At(s)
	if t == 0 || t == 1 { // a corner keeps its place
		at = p.parts[j].c.At(t)
	}
	p.budget -= meetingCost
	place := p.place(at, p.isHidden(at, p.winderOf(int32(i)), p.winderOf(int32(j))))
	p.addCut(i, s, place)
	p.addCut(j, t, place)
}

// vertex returns the number of the corner that part i has at t, -1 inside it.
func (p *plane) vertex(i int, t float64) int {
	switch c := &p.boundaries[p.parts[i].boundary]; {
	case t == 0:
		return i
	case t < 1:
		return -1
	case i+1 == c.to:
		return c.from
	default:
		return i + 1
	}
}

func (p *plane) addCut(i int, t float64, place int) {
	c := &p.boundaries[p.parts[i].boundary]
	if !c.drawn {
		return
	}
	if v := p.vertex(i, t); v >= 0 {
		i, t = v, 0
	}
	c.cuts = append(c.cuts, cut{i, t, place})
}

// sorted returns the cuts of a boundary in its order, each node once.
func (p *plane) sorted(cuts []cut) []cut {
	slices.SortStableFunc(cuts, func(a, b cut) int {
		switch {
		case a.part != b.part:
			return a.part - b.part
		case a.t < b.t:
			return -1
		case a.t > b.t:
			return 1
		}
		return 0
	})
	var out []cut
	for _, c := range cuts {
		if n := len(out); n > 0 && p.same(out[n-1], c) {
			continue
		}
		out = append(out, c)
	}
	return out
}

// same reports whether b is the cut a over again: at the same corner, or found
// by two crossings of one place.
func (p *plane) same(a, b cut) bool {
	if a.part == b.part && a.t == b.t {
		return true
	}
	if a.node != b.node || b.part-a.part > 1 {
		return false
	}
	// As the parts between rise or fall all along, near ends mean a short way.
	return p.parts[a.part].c.At(a.t).Dist(p.parts[b.part].c.At(b.t)) <= 4*p.tol &&
		(a.part == b.part || p.parts[a.part].c.At(a.t).Dist(p.parts[a.part].c.End()) <= 4*p.tol)
}
