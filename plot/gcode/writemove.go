package gcode

import (
	"fmt"
	"math"
	"strconv"

	"weftplot/paths"
	"weftplot/plot/fit"
	"weftplot/plot/program"
)

// round returns the position of p in the controller's count, in thousandths of
// a mm: each coordinate with the fewest decimals that keep it within w.slip, and within
// the reach if p is. One that has not changed stays as it was written.
func (w *writer) round(p paths.Point) ([2]int64, error) {
	if !(math.Abs(p.X) <= 1e7 && math.Abs(p.Y) <= 1e7) {
		return [2]int64{}, fmt.Errorf("the position %g, %g cannot be written", p.X, p.Y)
	}
	to := [2]int64{
		inward(fewest(p.X, w.slip), p.X, w.reach.Min.X, w.reach.Max.X),
		inward(fewest(p.Y, w.slip), p.Y, w.reach.Min.Y, w.reach.Max.Y),
	}
	if w.said && math.Abs(p.X-w.exact.X) < unchanged {
		to[0] = w.at[0]
	}
	if w.said && math.Abs(p.Y-w.exact.Y) < unchanged {
		to[1] = w.at[1]
	}
	return to, nil
}

// unchanged is how far apart two coordinates may be and still count as equal, mm.
// It covers the rounding between two ways of computing the same place.
const unchanged = 1e-9

// fewest returns v in thousandths, rounded to the fewest decimals that keep it
// within slip, three at most.
func fewest(v, slip float64) int64 {
	for _, step := range []float64{1000, 100, 10} {
		if n := math.Round(v * 1000 / step); math.Abs(n*step/1000-v) <= slip {
			return int64(n * step)
		}
	}
	return int64(math.Round(v * 1000))
}

// inward returns n thousandths, which stand for v, or the next thousandth to v between lo
// and hi if v lies there and n does not.
func inward(n int64, v, lo, hi float64) int64 {
	switch at := mm(n); {
	case at > hi && v <= hi+unchanged:
		return int64(math.Floor(min(v, hi)*1000 + unchanged))
	case at < lo && v >= lo-unchanged:
		return int64(math.Ceil(max(v, lo)*1000 - unchanged))
	}
	return n
}

// commanded returns the map from true lengths to the controller's count.
func (w *writer) commanded() paths.Affine {
	return paths.Scale(1/w.m.Calib.Scale[0], 1/w.m.Calib.Scale[1])
}

// travel writes a rapid move, or one at a feed where the travel has one, with both
// coordinates, even one that does not change, so that a program can be resumed at
// any stroke.
func (w *writer) travel(b program.Block) error {
	if b.Curve == nil {
		return fmt.Errorf("a travel goes nowhere")
	}
	motion, feed := "G0", ""
	if b.Feed > 0 {
		var err error
		if feed, err = w.feedWord(b.Feed, float64(w.m.Speed.Travel)); err != nil {
			return err
		}
		motion = "G1"
	}
	end := w.commanded().Apply(b.Curve.End())
	to, err := w.round(end)
	if err != nil {
		return err
	}
	if !w.said || to != w.at {
		line := w.out.AvailableBuffer()
		if w.motion != motion {
			line = append(line, motion...)
		}
		line = w.appendWord(w.appendWord(line, 'X', to[0], 3), 'Y', to[1], 3)
		if feed != "" && w.feed != feed {
			line = append(line, feed...)
			w.feed = feed
		}
		w.out.Write(append(line, '\n'))
		w.motion = motion
	}
	w.at, w.exact, w.said = to, end, true
	return nil
}

// shapeTol is how far, mm, what is written may be from a curve that the language
// does not have.
const shapeTol = 0.005

// joint is how far from the pen a curve may start and still count as continuing
// the stroke, mm.
const joint = 0.002

// draw writes a curve with the pen down.
func (w *writer) draw(b program.Block) error {
	if b.Curve == nil {
		return fmt.Errorf("a drawn line goes nowhere")
	}
	feed, err := w.feedWord(b.Feed, float64(w.m.Speed.Draw))
	if err != nil {
		return err
	}
	feed = w.nearFeed(feed)
	m := w.commanded()
	if l, ok := b.Curve.(paths.Line); ok {
		if err := w.joins(m.Apply(l.A)); err != nil {
			return err
		}
		return w.straight(m.Apply(l.B), feed)
	}
	curves := b.Curve.Transform(m)
	if _, isCubic := curves[0].(paths.Cubic); isCubic {
		curves = fit.Arcs(curves, shapeTol)
	}
	if err := w.joins(curves[0].Start()); err != nil {
		return err
	}
	for _, c := range curves {
		if arc, ok := c.(paths.Arc); ok {
			err = w.arc(arc, feed, 6)
		} else {
			err = w.straight(c.End(), feed)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// joins returns the error of a curve that does not start where the pen is.
func (w *writer) joins(from paths.Point) error {
	if !(from.Dist(w.exact) <= joint) {
		return fmt.Errorf("it starts at %.3f, %.3f mm, but the pen is at %.3f, %.3f mm", from.X, from.Y, w.exact.X, w.exact.Y)
	}
	return nil
}

// feedWord returns the F word for a feed in mm/s of true length, or for the limit
// where that is lower or no feed is given: in mm of command a minute, to a tenth,
// and never more than asked on either axis.
func (w *writer) feedWord(feed, limit float64) (string, error) {
	if feed > 0 {
		limit = min(limit, feed)
	}
	per := 60 / max(w.m.Calib.Scale[0], w.m.Calib.Scale[1])
	tenths := math.Round(limit * per * 10)
	if tenths/10/per > limit {
		tenths--
	}
	if !(tenths >= 1) {
		return "", fmt.Errorf("a feed of %g mm/s is too slow to be written", limit)
	}
	if tenths != w.tenths || w.tenthsWord == "" { // most feeds are the one before
		w.tenths, w.tenthsWord = tenths, "F"+w.number(int64(tenths), 1)
	}
	return w.tenthsWord, nil
}

// nearFeed returns the feed in force where that is a little slower than the one asked
// for: a word for so little costs more than the time it saves.
func (w *writer) nearFeed(asked string) string {
	if w.feed == "" || w.feed == asked {
		return asked
	}
	now, next := feedOf(w.feed), feedOf(asked)
	if now > next || now < next*(1-w.slower()) {
		return asked
	}
	return w.feed
}

// slower returns the part of its feed that a curve may lose to the feed in force.
func (w *writer) slower() float64 {
	if w.m.GCode.Compact {
		return 0.1
	}
	return 0.05
}

// feedOf returns the number of an F word that was written here.
func feedOf(word string) float64 {
	v, err := strconv.ParseFloat(word[1:], 64)
	if err != nil {
		panic("gcode: not a feed: " + word)
	}
	return v
}

// straight writes a line to p, with only the coordinates that change. One too
// short to be written is left to the next.
func (w *writer) straight(p paths.Point, feed string) error {
	to, err := w.round(p)
	if err != nil {
		return err
	}
	if to != w.at {
		w.move("G1", to, "", feed)
	}
	w.exact = p
	return nil
}

// move writes one line of a motion: the words that are not in force already.
func (w *writer) move(motion string, to [2]int64, offsets, feed string) {
	line := w.out.AvailableBuffer()
	if w.motion != motion {
		line = append(line, motion...)
	}
	switch {
	case to[0] != w.at[0] && to[1] != w.at[1]:
		line = w.appendWord(w.appendWord(line, 'X', to[0], 3), 'Y', to[1], 3)
	case to[1] != w.at[1], to == w.at && w.m.GCode.Compact && len(w.number(to[1], 3)) < len(w.number(to[0], 3)):
		line = w.appendWord(line, 'Y', to[1], 3)
	default: // a circle is back where it began, and has to name an axis all the same
		line = w.appendWord(line, 'X', to[0], 3)
	}
	line = append(line, offsets...)
	if w.feed != feed {
		line = append(line, feed...)
	}
	w.out.Write(append(line, '\n'))
	w.motion, w.feed, w.at, w.said = motion, feed, to, true
}
