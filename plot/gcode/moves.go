package gcode

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/plot/program"
)

// motionOf does the motion of a line, if it has one.
func (r *reader) motionOf() error {
	moves, err := r.motionWords()
	if err != nil || !moves {
		return err
	}
	_, x := r.w.get('X')
	_, y := r.w.get('Y')
	_, z := r.w.get('Z')
	arc := r.motion == 20 || r.motion == 30
	if !x && !y && !z && !(arc && r.hasOffsets()) {
		return nil
	}
	r.reportFeed()
	switch {
	case r.motion == 0 || r.motion == 10:
		r.move(r.straight)
		return nil
	case arc:
		return r.moveArc(x || y)
	case r.motion == noMotion:
		return fmt.Errorf("a coordinate stands where no motion is in force")
	case r.isCycle():
		return r.cycle()
	}
	r.doubt("motion-not-followed", "the motion of G%g is not followed", float64(r.motion)/10)
	return nil
}

// reportFeed notes a move at a feed that is not known.
func (r *reader) reportFeed() {
	if r.motion != 0 && r.motion != noMotion && r.feed == 0 && r.perMinute {
		r.doubt("no-feed", "a move at a feed comes before any F says how fast")
	}
}

// motionWords takes in the G words that have to do with motion, and reports
// whether the coordinates of the line are a motion's: they may belong to another
// word.
func (r *reader) motionWords() (moves bool, err error) {
	moves = true
	for _, g := range r.w.g {
		switch groups.of(g) {
		case 1:
			r.motion = g
		case 20:
			its, err := r.once(g)
			if err != nil {
				return false, err
			}
			moves = moves && its
		case 0: // a word that is not known: its coordinates are its own
			moves = false
		}
	}
	return moves, nil
}

func (r *reader) hasOffsets() bool {
	_, i := r.w.get('I')
	_, j := r.w.get('J')
	_, rad := r.w.get('R')
	return i || j || rad
}

// target returns where the line goes; NaN for a height that it does not say.
func (r *reader) target() (paths.Point, float64) {
	to, z := r.at, math.NaN()
	x, hasX := r.w.get('X')
	y, hasY := r.w.get('Y')
	h, hasZ := r.w.get('Z')
	if r.incremental {
		to = to.Add(paths.Point{X: x * r.unit, Y: y * r.unit})
		if hasZ {
			z = r.z + h*r.unit
		}
		return to, z
	}
	from := r.zero.point()
	if r.w.hasG(530) {
		from = paths.Point{}
	}
	if hasX {
		to.X = x*r.unit + from.X
	}
	if hasY {
		to.Y = y*r.unit + from.Y
	}
	if hasZ {
		z = h * r.unit
	}
	return to, z
}

// move goes to the line's target along the way that shape makes. The pen is up
// while it goes aslant between up and down.
func (r *reader) move(shape func(to paths.Point) paths.Curve) {
	to, z := r.target()
	r.rule.before(r)
	down := r.penDown
	rises := !math.IsNaN(z) && !r.rule.low(z)
	if rises {
		r.penAt(z)
	}
	if c := shape(to); c != nil {
		if !math.IsNaN(z) && down == rises && r.rule.byHeight() {
			r.doubt("aslant", "the pen moves up or down aslant; that is shown as travel")
		}
		r.along(c)
	}
	if !rises {
		r.penAt(z)
	}
	r.at = to
}

func (r *reader) straight(to paths.Point) paths.Curve {
	if to == r.at {
		return nil
	}
	return paths.Line{A: r.at, B: to}
}

// along adds the blocks of a way: a travel or a draw.
func (r *reader) along(c paths.Curve) {
	b := program.Block{Kind: program.Travel, Feed: r.feed * r.slow}
	rapid := r.motion == 0
	if rapid {
		b.Feed = 0
	}
	r.moves.count(r, rapid)
	if r.penDown {
		b.Kind = program.Draw
		if rapid {
			r.notes.Beyond(r.scale.Apply(r.at), "rapid-draw", r.line, "a rapid move is made with the pen down%s", r.pen.fast)
		}
	}
	if b.Kind == program.Travel {
		c = paths.Line{A: c.Start(), B: c.End()}
		if c.Start() == c.End() {
			return
		}
	}
	if l, ok := c.(paths.Line); ok {
		b.Curve = paths.Line{A: r.scale.Apply(l.A), B: r.scale.Apply(l.B)}
		r.add(b)
		return
	}
	for _, piece := range c.Transform(r.scale) {
		b.Curve = piece
		r.add(b)
	}
}

// moveArc goes along an arc. Its centre is given by offsets from the start, or
// its radius is: NISTIR 6556, 3.5.3.
func (r *reader) moveArc(hasEnd bool) error {
	if r.plane != 170 {
		r.doubt("plane", "an arc in another plane than XY is shown as a straight move")
		r.move(r.straight)
		return nil
	}
	to, _ := r.target()
	var c paths.Curve
	var err error
	if rad, ok := r.w.get('R'); ok {
		c, err = r.arcByRadius(to, rad*r.unit)
	} else if r.hasOffsets() {
		c, err = r.arcByCentre(to, hasEnd)
	} else {
		err = fmt.Errorf("an arc needs I and J, or R")
	}
	if err != nil {
		r.doubt("impossible-arc", "the arc cannot be: %v; it is shown as a straight line", err)
		c = r.straight(to)
	}
	r.move(func(paths.Point) paths.Curve { return c })
	return nil
}

func (r *reader) arcByCentre(to paths.Point, hasEnd bool) (paths.Curve, error) {
	centre := r.at.Add(paths.Point{X: r.w.or('I', 0) * r.unit, Y: r.w.or('J', 0) * r.unit})
	if r.fromZero {
		from := r.zero.point()
		i, okI := r.w.get('I')
		j, okJ := r.w.get('J')
		if !okI || !okJ {
			return nil, fmt.Errorf("with G90.1 an arc needs both I and J")
		}
		centre = from.Add(paths.Point{X: i * r.unit, Y: j * r.unit})
	}
	if !hasEnd {
		r.doubt("arc-without-end", "an arc needs X or Y even when it is a whole circle")
	}
	rule := radiusRule
	if r.unit != 1 {
		rule = 0.0002 * 25.4
	}
	from := r.at.Dist(centre)
	if off := math.Abs(from - to.Dist(centre)); off > rule {
		r.notes.DoubtAt(r.scale.Apply(to), "arc-radius", r.w.text, r.line, "the ends of the arc are %.4f mm and %.4f mm from its centre; %.4g mm of difference are allowed",
			from, to.Dist(centre), rule)
		centre = evened(r.at, to, centre)
		from = r.at.Dist(centre)
	}
	if from == 0 {
		return r.straight(to), nil
	}
	return paths.Arc{From: r.at, To: to, Centre: centre, Sweep: sweepBetween(r.at, to, centre, r.motion == 30)}, nil
}

// evened returns the place nearest to a centre that is as far from both ends of
// an arc, so that the arc that is shown is one. Ends that coincide keep it.
func evened(from, to, centre paths.Point) paths.Point {
	middle, across := from.Lerp(to, 0.5), to.Sub(from).Left().Unit()
	if from == to {
		return centre
	}
	return middle.Add(across.Mul(centre.Sub(middle).Dot(across)))
}

// arcByRadius finds the centre on the right of the chord or on the left: a
// radius above 0 makes at most half a circle, one below 0 more.
func (r *reader) arcByRadius(to paths.Point, rad float64) (paths.Curve, error) {
	chord := to.Sub(r.at)
	d := chord.Len()
	if d == 0 {
		return nil, fmt.Errorf("an arc by its radius cannot end where it starts")
	}
	h2 := rad*rad - d*d/4
	if h2 < 0 {
		if d/2-math.Abs(rad) > radiusRule {
			return nil, fmt.Errorf("a radius of %g mm does not reach over %g mm", math.Abs(rad), d)
		}
		h2 = 0
	}
	h := math.Sqrt(h2)
	if (r.motion == 30) != (rad > 0) {
		h = -h
	}
	centre := r.at.Lerp(to, 0.5).Add(chord.Left().Mul(h / d))
	return paths.Arc{From: r.at, To: to, Centre: centre, Sweep: sweepBetween(r.at, to, centre, r.motion == 30)}, nil
}
