package outline

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/near"
)

// Where many fills lie over one another, most of their edges lie deep under others, and
// the places where hidden edges meet are far more than those that are seen. So the
// plane is divided into square cells, and a piece of an edge whose cells are all hidden
// is neither cut nor cuts another: where an edge that is seen goes out of sight, it does
// so at an edge that is seen there too.

// covers tells, by cell, what hides all that lies lower there.
type covers struct {
	box    paths.Rect
	side   float64
	nx, ny int
	top    []int32 // by cell: the highest opaque fill that covers all of it, or -1
	mixed  []bool  // by cell: above that, or where there is none, other colours may be seen
}

// cellsAcross is about how many cells a fill is wide.
const cellsAcross = 12

// piece is a short piece of a part that may be seen.
type piece struct {
	part int32
	box  paths.Rect
}

// cover works out which cells hide what, and which pieces of the parts are not hidden.
func (p *plane) cover() {
	c := &p.covers
	*c = p.newCovers()
	p.stacks = near.NewCells(c.box, c.side, len(p.boundaries), func(i int, put func(paths.Rect)) { put(p.boundaries[i].box) })
	p.hidden = make([]bool, len(p.parts))
	if len(p.fills) > 1 {
		p.layCovers()
	}
	for i := range p.parts {
		w, first := p.boundaries[p.parts[i].boundary].winder, len(p.pieces)
		c.pieces(&p.parts[i], cellsInPiece, p.beside(), func(box paths.Rect) {
			if p.budget--; w >= len(p.fills) || !c.hides(int32(w), box) {
				p.pieces = append(p.pieces, piece{int32(i), box})
			}
		})
		p.hidden[i] = len(p.pieces) == first
	}
}

// layCovers lays the fills over one another, in order.
func (p *plane) layCovers() {
	for from := 0; from < len(p.boundaries) && p.boundaries[from].winder < len(p.fills) && p.budget >= 0; {
		to := from + 1
		for to < len(p.boundaries) && p.boundaries[to].winder == p.boundaries[from].winder {
			to++
		}
		p.covers.add(p, from, to)
		from = to
	}
}

// cellsInPiece is how many cells a piece may be long.
const cellsInPiece = 3

// pieces calls f with the boxes, grown, of pieces of a part that are at most so many
// cells long.
func (c *covers) pieces(s *part, most int, grown float64, f func(paths.Rect)) {
	var halve func(a, b float64, depth int)
	halve = func(a, b float64, depth int) {
		// A part rises or falls all along.
		box := paths.RectOf(s.c.At(a), s.c.At(b)).Grow(grown)
		x0, y0, x1, y1 := c.span(box)
		if depth == 0 || x1-x0 <= most && y1-y0 <= most {
			f(box)
			return
		}
		halve(a, (a+b)/2, depth-1)
		halve((a+b)/2, b, depth-1)
	}
	halve(0, 1, 12)
}

// isHidden reports whether one of two parts, and so that they meet, is out of sight at
// a place.
func (p *plane) isHidden(i, j int, at paths.Point) bool {
	lower := min(p.boundaries[p.parts[i].boundary].winder, p.boundaries[p.parts[j].boundary].winder)
	return lower < len(p.fills) && p.covers.hides(int32(lower), paths.RectOf(at, at).Grow(p.beside()))
}

// beside is how far from an edge the places lie that decide whether it is seen.
func (p *plane) beside() float64 { return 2 * aside * p.tol }

// newCovers returns cells so large that fills cover about a hundred each, and that there
// are no more than a few to each fill.
func (p *plane) newCovers() covers {
	c := covers{box: paths.EmptyRect()}
	sum := 0.
	for i := range p.boundaries {
		b := p.boundaries[i].box
		c.box = c.box.Union(b)
		sum += (b.Width() + b.Height()) * (b.Width() + b.Height()) / 4
	}
	n := float64(max(1, len(p.boundaries)))
	c.box = c.box.Grow(p.beside())
	w, h := c.box.Width(), c.box.Height()
	c.side = max(math.Sqrt(sum/n)/cellsAcross, math.Sqrt(w*h/(64*n)), (w+h)/(64*n), 8*p.beside())
	if !(c.side > 0) || math.IsInf(c.side, 0) {
		c.side = 1
	}
	c.nx, c.ny = int(w/c.side)+1, int(h/c.side)+1
	c.top, c.mixed = make([]int32, c.nx*c.ny), make([]bool, c.nx*c.ny)
	for i := range c.top {
		c.top[i], c.mixed[i] = -1, true
	}
	return c
}

// span returns the columns and rows of the cells that a box touches.
func (c *covers) span(b paths.Rect) (x0, y0, x1, y1 int) {
	at := func(v, least float64, n int) int { return min(n-1, max(0, int((v-least)/c.side))) }
	return at(b.Min.X, c.box.Min.X, c.nx), at(b.Min.Y, c.box.Min.Y, c.ny), at(b.Max.X, c.box.Min.X, c.nx), at(b.Max.Y, c.box.Min.Y, c.ny)
}

// hides reports whether no part of a box shows an edge of a fill: in each cell a higher
// one covers it, or there is but one colour.
func (c *covers) hides(fill int32, b paths.Rect) bool {
	x0, y0, x1, y1 := c.span(b)
	for y := y0; y <= y1; y++ {
		for cell := y*c.nx + x0; cell <= y*c.nx+x1; cell++ {
			if c.top[cell] <= fill && c.mixed[cell] {
				return false
			}
		}
	}
	return true
}

// add lays a fill, whose boundaries are those from one number to another, over what is
// there.
func (c *covers) add(p *plane, from, to int) {
	fill := p.boundaries[from].winder
	f := &p.fills[fill]
	box := paths.EmptyRect()
	for i := from; i < to; i++ {
		box = box.Union(p.boundaries[i].box)
	}
	x0, y0, x1, y1 := c.span(box.Grow(p.beside()))
	w := x1 - x0 + 1
	p.budget -= w * (y1 - y0 + 1) / 4
	edge := make([]bool, w*(y1-y0+1))
	for i := p.boundaries[from].from; i < p.boundaries[to-1].to; i++ {
		c.pieces(&p.parts[i], 1, p.beside(), func(box paths.Rect) {
			ax, ay, bx, by := c.span(box)
			for y := ay; y <= by; y++ {
				for x := ax; x <= bx; x++ {
					edge[(y-y0)*w+x-x0] = true
				}
			}
		})
	}
	plain := !f.Sheer && f.Window == nil
	for y := y0; y <= y1; y++ {
		inside, known := false, false
		for x := x0; x <= x1; x++ {
			cell := y*c.nx + x
			if edge[(y-y0)*w+x-x0] {
				c.mixed[cell] = c.mixed[cell] || !plain || c.top[cell] < 0 || p.fills[c.top[cell]].Colour != f.Colour
				known = false
				continue
			}
			if !known { // the same all along, up to the next edge
				inside, known = p.winds(from, to, c.middle(x, y)), true
			}
			switch {
			case inside && plain:
				c.top[cell], c.mixed[cell] = int32(fill), false
			case inside:
				c.mixed[cell] = true
			}
		}
	}
}

// middle returns the middle of a cell.
func (c *covers) middle(x, y int) paths.Point {
	return c.box.Min.Add(paths.Point{X: (float64(x) + 0.5) * c.side, Y: (float64(y) + 0.5) * c.side})
}

// winds reports whether the boundaries of one fill wind round a place so that it is
// inside.
func (p *plane) winds(from, to int, q paths.Point) bool {
	w := winder{evenOdd: p.fills[p.boundaries[from].winder].EvenOdd}
	for i := from; i < to; i++ {
		w.turns += p.turns(i, q)
	}
	return w.isInside()
}

// turns returns how often a boundary winds round a place.
func (p *plane) turns(boundary int, q paths.Point) (turns int32) {
	c := &p.boundaries[boundary]
	if !c.box.Contains(q) {
		return 0
	}
	ray := paths.Rect{Min: paths.Point{X: math.Inf(-1), Y: q.Y}, Max: q}
	p.touching(&c.tree, ray, func(i int) { turns += p.parts[i].crosses(q) })
	return turns
}
