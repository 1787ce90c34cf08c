package svg

import (
	"fmt"

	"weftplot/paths"
)

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// place makes the design: it turns the y axis up (nothing else does), puts the
// lower left corner of the page at the origin, and sorts the strokes into
// layers.
func (r *reader) place(pg page) paths.Design {
	d := paths.Design{Name: r.name, Page: paths.EmptyRect(), HasSize: pg.hasSize}
	turn := paths.Affine{A: 1, D: -1, F: pg.h}
	switch {
	case pg.w > 0 && pg.h > 0:
		d.Page = paths.RectOf(paths.Point{}, paths.Point{X: pg.w, Y: pg.h})
	case len(r.drawn) > 0:
		all := paths.EmptyRect()
		for _, s := range r.drawn {
			all = all.Union(s.Bounds())
		}
		turn.E, turn.F = -all.Min.X, all.Max.Y
	}
	ink := paths.EmptyRect()
	for _, s := range r.drawn {
		for i, c := range s.Stroke {
			s.Stroke[i] = turned(c, turn)
		}
		ink = ink.Union(s.Bounds())
	}
	if by, side := d.Page.Excess(ink); by > leastExcess && !d.Page.IsEmpty() {
		r.notes.add(r.root, "outside-page", "Lines go beyond the page, by up to %.4g mm on the %s; they are drawn all the same.", by, side)
	}
	d.Layers, d.Words = r.layers(), r.words(turn)
	d.Notes = r.notes.all(func(n *node) (paths.Point, bool) {
		at, ok := r.placeOf(n, pg)
		return turn.Apply(at), ok
	})
	return d
}

// leastExcess is how far in mm lines must go beyond the page to be noted: less is a
// rounding of the drawing program, and far below the width of a pen.
const leastExcess = 0.05

// turned returns the image of c under a map that keeps shapes.
func turned(c paths.Curve, m paths.Affine) paths.Curve {
	switch c := c.(type) {
	case paths.Line:
		return paths.Line{A: m.Apply(c.A), B: m.Apply(c.B)}
	case paths.Arc:
		return paths.Arc{From: m.Apply(c.From), To: m.Apply(c.To), Centre: m.Apply(c.Centre), Sweep: -c.Sweep}
	case paths.Cubic:
		return paths.Cubic{A: m.Apply(c.A), B: m.Apply(c.B), C: m.Apply(c.C), D: m.Apply(c.D)}
	}
	panic("svg: a curve of no known kind")
}
