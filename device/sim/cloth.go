package sim

import (
	"slices"

	"weftplot/paths"
)

// Cloth is the record of what a simulated plotter did: what it drew, and what
// went wrong.
type Cloth struct {
	strokes []paths.Stroke
	open    paths.Stroke // the stroke being drawn
	dot     paths.Point  // where the pen touched
	drawing bool

	// Down is whether the pen is on the cloth, At where it is or last rested,
	// mm.
	Down bool
	At   paths.Point
	// RestMax and RestTotal are how long the pen rested on the cloth without
	// moving, s: the longest time, and the sum.
	RestMax, RestTotal float64
	// Drawn and Travelled are the lengths moved with the pen down and up, mm,
	// and Reach is the extent of both.
	Drawn, Travelled float64
	Reach            paths.Rect
	// MaxFeed is the greatest feed asked of a drawing move, mm/s.
	MaxFeed float64
	// Overruns counts the bytes that arrived when the buffer was full, and were
	// lost.
	Overruns int
	// Errors are the pieces of program that were refused, in order, and why.
	Errors []string
	// Alarms counts the times that the machine stopped on its own.
	Alarms int
	// Underruns counts the times that the planner's queue ran empty in the
	// middle of a stroke.
	Underruns int
}

// Strokes returns what was drawn: a stroke for each time that the pen was
// lowered and lifted, arcs as arcs. A pen lowered and lifted in place left a
// dot.
func (c Cloth) Strokes() []paths.Stroke {
	out := slices.Clone(c.strokes)
	if c.drawing {
		out = append(out, c.stroke())
	}
	return out
}

// stroke returns the open stroke, or a dot where the pen has not moved yet.
func (c *Cloth) stroke() paths.Stroke {
	if len(c.open) == 0 {
		return paths.Polyline(c.dot)
	}
	return slices.Clone(c.open)
}

// touch begins a stroke at p.
func (c *Cloth) touch(p paths.Point) { c.drawing, c.dot, c.open = true, p, nil }

// draw adds a curve to the stroke.
func (c *Cloth) draw(cv paths.Curve) {
	c.open = append(c.open, cv)
	c.Drawn += cv.Length()
}

// travel records a move of the lifted pen.
func (c *Cloth) travel(cv paths.Curve) { c.Travelled += cv.Length() }

// lift ends the stroke.
func (c *Cloth) lift() {
	if c.drawing {
		c.strokes = append(c.strokes, c.stroke())
	}
	c.drawing, c.open = false, nil
}

// rested records that the pen rested for some seconds. The first grace seconds
// are the time to lower the pen, and do not count.
func (c *Cloth) rested(seconds, grace float64) {
	seconds -= grace
	if seconds <= 0 {
		return
	}
	c.RestTotal += seconds
	c.RestMax = max(c.RestMax, seconds)
}
