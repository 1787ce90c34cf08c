package sim

import (
	"slices"

	"weftplot/paths"
)

// Cloth is what lies under the pen of a simulated plotter, and the record of
// how it was treated.
type Cloth struct {
	strokes []paths.Stroke
	open    paths.Stroke // the stroke being drawn
	dot     paths.Point  // where the pen touched
	drawing bool

	// Down tells whether the pen is on the cloth, At where it is or was last at
	// rest, mm.
	Down bool
	At   paths.Point
	// RestMax and RestTotal tell how long the pen stood on the cloth without
	// moving, s: at the longest, and in all.
	RestMax, RestTotal float64
	// Drawn and Travelled are the ways of the pen down and up, mm, and Reach the
	// extent of both.
	Drawn, Travelled float64
	Reach            paths.Rect
	// MaxFeed is the greatest feed asked of a drawing move, mm/s.
	MaxFeed float64
	// Overruns counts the bytes that came when the buffer was full, and were
	// lost.
	Overruns int
	// Errors are the pieces of program that were refused, in order, and why.
	Errors []string
	// Alarms counts the times the machine stopped by itself.
	Alarms int
	// Underruns counts the times the planner ran dry in the middle of a stroke.
	Underruns int
}

// Strokes returns what was drawn: every way of the pen from when it came down
// until it was lifted, arcs as arcs. A pen that came down and went up in place
// left a dot.
func (c Cloth) Strokes() []paths.Stroke {
	out := slices.Clone(c.strokes)
	if c.drawing {
		out = append(out, c.stroke())
	}
	return out
}

// stroke returns the open stroke, or the dot that it still is.
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

// travel notes a way of the pen over the cloth.
func (c *Cloth) travel(cv paths.Curve) { c.Travelled += cv.Length() }

// lift ends the stroke.
func (c *Cloth) lift() {
	if c.drawing {
		c.strokes = append(c.strokes, c.stroke())
	}
	c.drawing, c.open = false, nil
}

// rested notes that the pen stood for some seconds, of which the first few are
// the pen's own way down.
func (c *Cloth) rested(seconds, grace float64) {
	seconds -= grace
	if seconds <= 0 {
		return
	}
	c.RestTotal += seconds
	c.RestMax = max(c.RestMax, seconds)
}
