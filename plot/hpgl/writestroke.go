package hpgl

import (
	"fmt"
	"math"
	"strconv"

	"weftplot/paths"
	"weftplot/plot/fit"
	"weftplot/plot/program"
)

// penUp ends a stroke. One without a line is a dot, which has to be set down.
func (w *writer) penUp() {
	if w.down && !w.inking {
		w.begin()
	}
	w.list.end(w)
	w.down, w.inking = false, false
}

// rest lifts the pen and writes a travel that is still due.
func (w *writer) rest() {
	w.penUp()
	if w.due {
		w.list.travel(w, w.at)
		w.due, w.low = false, false
	}
	if w.low {
		w.line("PU;")
		w.low = false
	}
}

// travel notes the move; it is written when something happens at its end.
func (w *writer) travel(p paths.Point) error {
	w.penUp()
	to, err := w.round(p)
	if err != nil || to == w.at && w.moved {
		return err
	}
	if w.due {
		w.list.travel(w, w.at)
		w.low = false
	}
	w.at, w.due, w.moved = to, true, true
	return nil
}

// begin brings the pen down where it is.
func (w *writer) begin() {
	if !w.moved { // before the first move the pen may be anywhere
		w.due, w.moved = true, true
	}
	if w.low && !w.due { // two strokes that meet are two
		w.line("PU;")
	}
	w.list.begin(w)
	w.due, w.down, w.low, w.inking = false, true, true, true
}

// draw appends a curve to the stroke.
func (w *writer) draw(b program.Block) error {
	if b.Curve == nil {
		return fmt.Errorf("a drawn line goes nowhere")
	}
	if err := (paths.Stroke{b.Curve}).Validate(); err != nil {
		return err
	}
	start := b.Curve.Start()
	if from, err := w.round(start); err != nil {
		return err
	} else if dx, dy := from[0]-w.at[0], from[1]-w.at[1]; len(w.ahead) == 0 && dx*dx+dy*dy > 4 {
		return fmt.Errorf("it starts at %g, %g mm, and the pen is elsewhere", start.X, start.Y)
	}
	if len(w.ahead) > 0 && !(start.Dist(w.ahead.End()) <= joint) {
		return fmt.Errorf("it starts at %g, %g mm, and the pen is at %g, %g mm", start.X, start.Y, w.ahead.End().X, w.ahead.End().Y)
	}
	speed, err := w.speedFor(b.Feed)
	if err != nil {
		return err
	}
	if speed != w.speed {
		if err := w.catchUp(); err != nil {
			return err
		}
		w.list.end(w)
		w.line(speed)
		w.speed = speed
	}
	if !w.inking {
		w.begin()
	}
	w.ahead = append(w.ahead, b.Curve)
	return nil
}

// joint is how far from the end of a curve the next may start, mm.
const joint = 0.002

// catchUp writes the way that is drawn so far, as chords.
func (w *writer) catchUp() error {
	ahead := w.ahead
	w.ahead = nil
	pts := w.chords(ahead)
	for i := 1; i < len(pts); i++ {
		if err := w.to(paths.Line{A: pts[i-1], B: pts[i]}); err != nil {
			return err
		}
	}
	return nil
}

// chords returns the points of a stroke's chords in order. With tolerance 0 every
// curve keeps its own ends, so that a program that was read is written as it was.
func (w *writer) chords(s paths.Stroke) []paths.Point {
	if len(s) == 0 {
		return nil
	}
	if !w.eachCurve {
		s = fit.LinesOn(s, w.tol, fit.Grid{Round: w.rounded, Off: w.m.Rounding(), Longest: longestMove})
	}
	return s.Flatten(w.tol) // lines have no chords but themselves
}

// rounded returns the point nearest to p that can be written.
func (w *writer) rounded(p paths.Point) paths.Point {
	q := w.grid.Apply(p)
	return w.back.Apply(paths.Point{X: math.Round(q.X), Y: math.Round(q.Y)})
}

// to draws a line, if it is not too short to have one: in equal parts, if it is
// too long for one move. The ends of the parts lie on the line itself but for
// rounding, wherever its own ends are rounded to.
func (w *writer) to(l paths.Line) error {
	last, err := w.round(l.B)
	if err != nil {
		return err
	}
	parts := math.Ceil(w.length(position{last[0] - w.at[0], last[1] - w.at[1]}) / longestMove)
	for i := 1.0; i <= parts; i++ {
		next := last
		if i < parts {
			if next, err = w.round(l.At(i / parts)); err != nil {
				return err
			}
		}
		w.list.to(w, next)
		w.at = next
	}
	return nil
}

// speedFor returns the instruction for a feed in mm/s of true length: in cm/s
// of command, rounded down to a hundredth. From 97 on it is an error on some
// machines: 7470A, 3-3.
func (w *writer) speedFor(feed float64) (string, error) {
	limit := float64(w.m.Speed.Draw)
	if feed > 0 {
		limit = min(limit, feed)
	}
	per := 0.1 / max(w.m.Calib.Scale[0], w.m.Calib.Scale[1])
	hundredths := math.Round(min(96, limit*per) * 100)
	if hundredths/100/per > limit {
		hundredths--
	}
	if !(hundredths >= 1) {
		return "", fmt.Errorf("a feed of %g mm/s is too slow to be written", limit)
	}
	return "VS" + strconv.FormatFloat(hundredths/100, 'f', -1, 64) + ";", nil
}
