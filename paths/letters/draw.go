package letters

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// frame holds the guides of one letter at one height, in which its paths are
// drawn.
type frame struct {
	rows rows
	cols columns
	grid weave.Grid
	cut  int // greatest number of channels that a cut corner cuts off
}

// vertex is an anchor in its place.
type vertex struct {
	weave.Place
	paths.Point
	turn corner
}

// draw returns the strokes of paths. All cut corners of a letter cut off the
// same number of holes: as many as the tightest of them can.
func (f frame) draw(ps []path) ([]paths.Stroke, error) {
	for _, p := range ps {
		vs, err := f.vertices(p)
		if err != nil {
			return nil, err
		}
		_, holes := f.room(vs, f.turns(vs, p.closed), p.closed)
		f.cut = min(f.cut, holes)
	}
	var out []paths.Stroke
	for _, p := range ps {
		s, err := f.path(p)
		if err != nil {
			return nil, err
		}
		if len(s) > 0 {
			out = append(out, s)
		}
	}
	return out, nil
}

// vertices returns the anchors of a path in their places.
func (f frame) vertices(p path) ([]vertex, error) {
	vs := make([]vertex, len(p.anchors))
	for i, a := range p.anchors {
		var before weave.Place
		if i > 0 {
			before = vs[i-1].Place
		}
		place, err := f.place(a, before)
		if err != nil {
			return nil, err
		}
		vs[i] = vertex{place, f.grid.At(place), a.turn}
	}
	return vs, nil
}

// turns returns how a path turns at its vertices; at the ends of an open path
// there is no turn.
func (f frame) turns(vs []vertex, closed bool) []turn {
	n := len(vs)
	turns := make([]turn, n)
	for i := range vs {
		if closed || i > 0 && i < n-1 {
			turns[i] = turnAt(vs[(i+n-1)%n], vs[i], vs[(i+1)%n])
		}
	}
	return turns
}

// path returns the stroke of a path, nil where nothing of it is drawn.
func (f frame) path(p path) (paths.Stroke, error) {
	vs, err := f.vertices(p)
	if err != nil {
		return nil, err
	}
	last := p.anchors[len(p.anchors)-1]
	s := f.curves(vs, p.closed, p.anchors[0].end == spring, last.end == spring)
	if p.closed {
		return s, nil
	}
	s, err = f.shorten(s, p.anchors[0])
	if err == nil && len(s) > 0 {
		s, err = f.shorten(s.Reverse(), last)
		s = s.Reverse()
	}
	return s, err
}

// place returns where an anchor lies.
func (f frame) place(a anchor, before weave.Place) (weave.Place, error) {
	if a.from != nil {
		return f.onLine(a)
	}
	col, ok := f.cols.at(a.col)
	if !ok {
		return weave.Place{}, fmt.Errorf("there is no column %q", a.col.name)
	}
	p := weave.Place{Across: float64(col)}
	run := math.Abs(p.Across - before.Across)
	switch a.diagonal {
	case '/':
		p.Along = before.Along + run
	case '\\':
		p.Along = before.Along - run
	case '=':
		p.Along = before.Along
	default:
		row, err := f.row(a.row)
		if err != nil {
			return p, err
		}
		p.Along = row
	}
	return p, nil
}

// row returns the row of a guide.
func (f frame) row(g guide) (float64, error) {
	row, ok := f.rows[g.name]
	h, w := f.rows['h'], f.cols.width
	switch g.name {
	case 'D':
		row, ok = min(h, (h+w+1)/2), true
	case 'E':
		row, ok = h-w, true
	case 'F':
		row, ok = w, true
	}
	if !ok {
		return 0, fmt.Errorf("there is no row %q", g.name)
	}
	return float64(row + g.off), nil
}

// onLine returns where the line between two anchors crosses a row.
func (f frame) onLine(a anchor) (weave.Place, error) {
	p, err := f.place(*a.from, weave.Place{})
	if err != nil {
		return p, err
	}
	q, err := f.place(*a.to, p)
	if err != nil {
		return q, err
	}
	along, err := f.row(a.row)
	if err != nil || p.Along == q.Along {
		return p, fmt.Errorf("no line has row %q there", a.row.name)
	}
	t := (along - p.Along) / (q.Along - p.Along)
	return weave.Place{Across: p.Across + t*(q.Across-p.Across), Along: along}, nil
}

// curves joins the vertices by lines, and turns marked corners into arcs that
// all have one radius, or cuts that all have one number of holes. At an end
// that springs from a stem the line is left out.
func (f frame) curves(vs []vertex, closed, springs, springsBack bool) paths.Stroke {
	n, turns := len(vs), f.turns(vs, closed)
	radius, holes := f.room(vs, turns, closed)
	var s paths.Stroke
	at := vs[0].Point // the path's end so far
	if closed {
		_, at = f.corner(vs[0], turns[0], radius, holes)
	}
	line := func(to paths.Point) {
		if at.Dist(to) > 1e-9 {
			s = append(s, paths.Line{A: at, B: to})
			at = to
		}
	}
	last := n - 1
	if closed {
		last = n
	} else if springsBack {
		last = n - 2
	}
	for k := 1; k <= last; k++ {
		i := k % n
		in, out := f.corner(vs[i], turns[i], radius, holes)
		if k == 1 && springs {
			at = in
		}
		line(in)
		switch {
		case vs[i].turn == rounded && in != out:
			s = append(s, paths.ArcBulge(at, out, math.Tan(turns[i].angle/4)))
			at = out
		default:
			line(out)
		}
	}
	if closed && len(s) > 0 {
		s = closeUp(s)
	}
	return s
}

// closeUp makes the last curve end exactly where the first starts.
func closeUp(s paths.Stroke) paths.Stroke {
	start := s.Start()
	switch c := s[len(s)-1].(type) {
	case paths.Line:
		s[len(s)-1] = paths.Line{A: c.A, B: start}
	case paths.Arc:
		c.To = start
		s[len(s)-1] = c
	}
	return s
}

// turn is how a path turns at a vertex: the angle, positive to the left, and the
// unit directions of coming and going.
type turn struct {
	angle   float64
	in, out paths.Point
}

func turnAt(a, b, c vertex) turn {
	in, out := b.Point.Sub(a.Point).Unit(), c.Point.Sub(b.Point).Unit()
	return turn{math.Atan2(in.Cross(out), in.Dot(out)), in, out}
}

// room returns the greatest radius in mm that all round corners can have, and
// how many holes all cut corners cut off. Two corners share the line between
// them; at an end of the path the one corner has the whole line.
func (f frame) room(vs []vertex, turns []turn, closed bool) (radius float64, holes int) {
	n := len(vs)
	radius, holes = math.Inf(1), f.cut
	for i, v := range vs {
		if v.turn == sharp || !closed && (i == 0 || i == n-1) {
			continue
		}
		for _, w := range []vertex{vs[(i+n-1)%n], vs[(i+1)%n]} {
			k := 1.
			if w.turn != sharp {
				k = 0.5
			}
			if tan := math.Tan(math.Abs(turns[i].angle) / 2); v.turn == rounded && tan > 1e-9 {
				radius = min(radius, k*v.Point.Dist(w.Point)/tan)
			}
			span := max(math.Abs(v.Across-w.Across), math.Abs(v.Along-w.Along))
			if v.turn == cut {
				holes = min(holes, cutRoom(int(span+0.5), w.turn != sharp))
			}
		}
	}
	return radius, holes
}

// cutRoom returns how many holes of a side a cut corner may cut off, with one
// end of the side cut, or both. Where both are cut, a channel of the side is
// left if it has three.
func cutRoom(side int, both bool) int {
	switch {
	case !both:
		return side
	case side >= 3:
		return (side - 1) / 2
	}
	return side / 2
}

// corner returns where the turn at v begins and ends.
func (f frame) corner(v vertex, t turn, radius float64, holes int) (in, out paths.Point) {
	switch v.turn {
	case rounded:
		d := radius * math.Tan(math.Abs(t.angle)/2)
		return v.Point.Sub(t.in.Mul(d)), v.Point.Add(t.out.Mul(d))
	case cut:
		step := func(d paths.Point) paths.Point {
			return paths.Point{X: d.X * f.grid.Across, Y: d.Y * f.grid.Along}.Mul(float64(holes))
		}
		return v.Point.Sub(step(t.in)), v.Point.Add(step(t.out))
	}
	return v.Point, v.Point
}

// shorten removes from the start of s the part that anchor a does not draw.
func (f frame) shorten(s paths.Stroke, a anchor) (paths.Stroke, error) {
	if a.end != trimmed {
		return s, nil
	}
	row, err := f.row(a.trim)
	return fromHeight(s, row*f.grid.Along), err
}

// fromHeight returns s from the first point at height y on.
func fromHeight(s paths.Stroke, y float64) paths.Stroke {
	for i, c := range s {
		b := c.Bounds()
		if y < b.Min.Y-1e-9 || y > b.Max.Y+1e-9 {
			continue
		}
		t := heightAt(c, y)
		if t > 1-1e-9 {
			return s[i+1:]
		}
		if t > 1e-9 {
			_, c = c.Split(t)
		}
		return append(paths.Stroke{c}, s[i+1:]...)
	}
	return s
}

// heightAt returns the parameter where a curve of a letter has height y. The
// curve must only rise or only fall.
func heightAt(c paths.Curve, y float64) float64 {
	lo, hi := 0., 1.
	rising := c.End().Y > c.Start().Y
	for range 60 {
		mid := (lo + hi) / 2
		if (c.At(mid).Y < y) == rising {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}
