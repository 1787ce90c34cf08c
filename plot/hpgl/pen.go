package hpgl

import (
	"weftplot/paths"
	"weftplot/plot/program"
)

// add appends a block of the instruction under way.
func (r *reader) add(b program.Block) {
	if len(r.out.Blocks) >= r.most {
		r.full = true
		return
	}
	b.Line, b.End = r.startLine, r.pos
	r.out.Blocks = append(r.out.Blocks, b)
}

// endBlocks puts the end of the instruction into its blocks.
func (r *reader) endBlocks(from int) {
	for i := from; i < len(r.out.Blocks); i++ {
		r.out.Blocks[i].End = r.pos
	}
}

// lift puts the pen up or down, if the program does not have it there.
func (r *reader) lift(down bool) {
	if down == r.down {
		return
	}
	r.down = down
	switch {
	case r.inPolygon:
	case !down:
		r.set(false)
	case r.shows(r.at):
		r.goTo(r.at)
		r.set(true)
	}
}

// set lowers or lifts the pen itself.
func (r *reader) set(down bool) {
	if down == r.lowered {
		return
	}
	r.lowered = down
	kind := program.PenUp
	if down {
		kind = program.PenDown
	}
	r.add(program.Block{Kind: kind})
}

// shows reports whether a point is inside the window.
func (r *reader) shows(p paths.Point) bool { return r.window.IsEmpty() || r.window.Contains(p) }

// goTo moves the pen itself, lifted, to a point in plotter units.
func (r *reader) goTo(p paths.Point) {
	to := r.unit.Apply(p)
	if to.Dist(r.real) < 1e-9 { // a turn of the axes rounds
		return
	}
	r.set(false)
	r.add(program.Block{Kind: program.Travel, Curve: paths.Line{A: r.real, B: to}})
	r.real = to
}

// along goes a way given in plotter units. Of what is drawn, the parts outside
// the window are left out: 7470A, 2-9.
func (r *reader) along(c paths.Curve) {
	if l, ok := c.(paths.Line); ok && l.A == l.B {
		return
	}
	r.at = c.End()
	// Count steps and not blocks: what lies outside the window makes no block.
	if r.steps++; r.steps > r.most {
		r.full = true
		return
	}
	switch {
	case r.inPolygon:
		r.polygon.add(c, r.down)
		return
	case !r.down:
		if r.shows(r.at) {
			r.goTo(r.at)
		}
		return
	}
	spans := []paths.Span{{From: 0, To: 1}}
	if !r.window.IsEmpty() {
		spans = paths.Within(c, r.window)
	}
	end := 0.0
	for _, s := range spans {
		if s.From > 0 {
			r.cutOff()
		}
		part := paths.Sub(c, s.From, s.To)
		r.goTo(part.Start())
		r.set(true)
		r.draw(part)
		end = s.To
	}
	if end < 1 {
		r.cutOff()
	}
}

// cutOff lifts the pen where what follows is outside the window.
func (r *reader) cutOff() {
	r.set(false)
	r.notes.Once("outside-window", r.startLine, "what lies outside the window that IW sets is left out, as the plotter does")
}

// draw adds the blocks of a curve given in plotter units, from where the pen is.
func (r *reader) draw(c paths.Curve) {
	for _, piece := range c.Transform(r.unit) {
		piece = between(piece, r.real, piece.End())
		if piece == nil {
			continue
		}
		r.add(program.Block{Kind: program.Draw, Feed: r.feed, Curve: piece})
		r.real = piece.End()
	}
}

// between returns c with its ends moved to exact places, from which they are off
// only by rounding; nil for a line of no length.
func between(c paths.Curve, from, to paths.Point) paths.Curve {
	switch c := c.(type) {
	case paths.Arc:
		c.From, c.To = from, to
		return c
	case paths.Cubic:
		c.A, c.D = from, to
		return c
	}
	if from == to {
		return nil
	}
	return paths.Line{A: from, B: to}
}

// lineTo goes straight to a point in plotter units, if it can be numbered.
func (r *reader) lineTo(p paths.Point) {
	if r.inRange(p) {
		r.along(paths.Line{A: r.at, B: p})
	}
}

// inRange reports whether a position can be numbered, and notes it if not:
// 7470A, 3-4; in HP-GL/2 the range is 2^30: PCL 5, 20-36.
func (r *reader) inRange(p paths.Point) bool {
	limit := 32767.0
	if r.two {
		limit = 1 << 30
	}
	if max(p.X, p.Y) > limit || min(p.X, p.Y) < -limit-1 {
		r.notes.Beyond(r.unit.Apply(r.at), "out-of-range", r.startLine, "the position %.0f, %.0f is beyond what can be numbered, %.0f, and is left out", p.X, p.Y, limit)
		return false
	}
	return true
}
