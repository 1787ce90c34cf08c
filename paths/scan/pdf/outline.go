package pdf

import (
	"math"

	"weftplot/paths"
)

// outline is the path that is being built (8.5.2), in mm on the page.
type outline struct {
	done  []subpath
	now   subpath
	clips bool // it becomes a clip path when it is drawn
	plain bool // all of it is one rectangle along the axes
}

type subpath struct {
	stroke     paths.Stroke
	start, end paths.Point
	begun      bool
	closed     bool
}

func (o *outline) at(p *painter, a []float64) paths.Point {
	return p.state.m.Apply(paths.Point{X: a[0], Y: a[1]})
}

func (o *outline) finish() {
	if o.now.begun {
		o.done = append(o.done, o.now)
	}
	o.now = subpath{}
}

func (o *outline) move(p *painter, a []float64) {
	if len(a) != 2 {
		return
	}
	if len(o.now.stroke) == 0 {
		o.now = subpath{}
	}
	o.finish()
	q := o.at(p, a)
	o.now = subpath{start: q, end: q, begun: true}
}

func (o *outline) line(p *painter, a []float64) {
	if len(a) != 2 || !o.now.begun {
		return
	}
	o.reopen()
	q := o.at(p, a)
	o.now.stroke = append(o.now.stroke, paths.Line{A: o.now.end, B: q})
	o.now.end = q
	p.curve++
}

// bend adds a cubic of six numbers, or of four whose first control point is where
// the pen is.
func (o *outline) bend(p *painter, a []float64, n int) {
	if len(a) != n || !o.now.begun {
		return
	}
	o.reopen()
	b := o.now.end
	if n == 6 {
		b = o.at(p, a)
		a = a[2:]
	}
	c, d := o.at(p, a), o.at(p, a[2:])
	o.now.stroke = append(o.now.stroke, paths.Cubic{A: o.now.end, B: b, C: c, D: d})
	o.now.end = d
	p.curve++
}

// reopen begins a new part of the path where the last was closed.
func (o *outline) reopen() {
	if o.now.closed {
		start := o.now.start
		o.finish()
		o.now = subpath{start: start, end: start, begun: true}
	}
}

func (o *outline) close() {
	if !o.now.begun || o.now.closed {
		return
	}
	if o.now.end.Dist(o.now.start) > 0 {
		o.now.stroke = append(o.now.stroke, paths.Line{A: o.now.end, B: o.now.start})
		o.now.end = o.now.start
	}
	o.now.closed = true
}

func (o *outline) rectangle(p *painter, a []float64) {
	if len(a) != 4 {
		return
	}
	x, y, w, h := a[0], a[1], a[2], a[3]
	empty := len(o.done) == 0 && !o.now.begun
	o.move(p, []float64{x, y})
	o.line(p, []float64{x + w, y})
	o.line(p, []float64{x + w, y + h})
	o.line(p, []float64{x, y + h})
	o.close()
	m := p.state.m
	o.plain = empty && (m.B == 0 && m.C == 0 || m.A == 0 && m.D == 0)
}

// draw ends the path: it is stroked, filled, or neither.
func (p *painter) draw(stroke, fill, closing bool) {
	o := p.path
	p.path = outline{}
	if closing {
		o.close()
	}
	o.finish()
	if o.clips && !o.isPage(p.page) {
		p.count.clips++
	}
	line, seen := p.lineOf(stroke, fill)
	if !seen {
		return
	}
	if stroke && p.state.dashed {
		p.count.dashes++
	}
	for _, s := range o.done {
		p.add(line, s)
	}
}

// lineOf says how a path is seen: by its line, or, where that is white or none, by
// its fill; or not at all.
func (p *painter) lineOf(stroke, fill bool) (l Line, seen bool) {
	lined, filled := stroke && !p.state.stroke.white, fill && !p.state.fill.white
	if (stroke || fill) && !lined && !filled {
		p.count.whites++
	}
	return Line{Width: p.state.width * p.state.m.MeanScale(), Filled: !lined}, lined || filled
}

// add adds one part of a path to the page.
func (p *painter) add(line Line, s subpath) {
	if line.Stroke = s.drawn(line.Filled); len(line.Stroke) == 0 {
		return
	}
	b := line.Stroke.Bounds()
	page := paths.Rect{Max: paths.Point{X: p.page.W, Y: p.page.H}}
	far, _ := page.Grow(max(p.page.W, p.page.H) / 5).Excess(b)
	switch {
	case line.Stroke.Validate() != nil || math.IsNaN(line.Width) || math.IsInf(line.Width, 0):
		p.count.broken++
		return
	case far > 0 || !page.Overlaps(b):
		p.count.off++
		return
	case line.Filled:
		p.count.fills++
	}
	p.page.Lines = append(p.page.Lines, line)
}

// drawn is the stroke of a part of a path, closed where it is filled. A part of one
// place is a dot, if it is drawn with a line and closed (8.5.3.2).
func (s subpath) drawn(filled bool) paths.Stroke {
	if filled && len(s.stroke) > 0 && !s.closed && s.end.Dist(s.start) > 0 {
		s.stroke = append(s.stroke, paths.Line{A: s.end, B: s.start})
	}
	var out paths.Stroke
	for _, c := range s.stroke {
		if c.Start().Dist(c.End()) > 0 || c.Length() > 1e-9 {
			out = append(out, c)
		}
	}
	if len(out) == 0 && !filled && (len(s.stroke) > 0 || s.closed) {
		return paths.Polyline(s.start)
	}
	return out
}

// isPage reports whether a clip path is a rectangle round all of the page, as
// drawing programs write at its beginning.
func (o *outline) isPage(page *Page) bool {
	if !o.plain || len(o.done) != 1 {
		return false
	}
	b := o.done[0].stroke.Bounds()
	const slack = 0.5 // mm
	return b.Min.X < slack && b.Min.Y < slack && b.Max.X > page.W-slack && b.Max.Y > page.H-slack
}
