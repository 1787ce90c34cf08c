package motion

import (
	"math"

	"weftplot/paths"
)

// OnAxes returns the greatest speed along c at which neither axis goes faster
// than it can, wherever on c: the least, over both axes, of the axis limit
// divided by the axis' share of the direction; on a cubic a little less. It is
// +Inf where the axes have no limits of their own, and on a curve without
// length.
func (l Limits) OnAxes(c paths.Curve) float64 {
	if l.Axes == ([2]float64{}) || c.Length() == 0 {
		return math.Inf(1)
	}
	share := shares(c)
	v := math.Inf(1)
	for i, limit := range l.Axes {
		if s := [2]float64{share.X, share.Y}[i]; limit > 0 && s > 0 {
			v = min(v, limit/s)
		}
	}
	return v
}

// shares returns bounds on |dx/ds| and |dy/ds| on c, exact on a line or an arc.
// Where the extreme directions of the curve lie on both sides of an axis, that
// axis has the whole speed somewhere between.
func shares(c paths.Curve) paths.Point {
	var share paths.Point
	widen := func(d paths.Point) {
		share = paths.Point{X: max(share.X, math.Abs(d.X)), Y: max(share.Y, math.Abs(d.Y))}
	}
	widen(c.Tangent(0))
	widen(c.Tangent(1))
	switch c := c.(type) {
	case paths.Arc:
		from := c.Tangent(0).Angle()
		if crosses(from, c.Sweep, 0) {
			share.X = 1
		}
		if crosses(from, c.Sweep, math.Pi/2) {
			share.Y = 1
		}
	case paths.Cubic:
		// The directions of a cubic lie between those of its control polygon.
		low, high := paths.Point{}, paths.Point{}
		for _, leg := range []paths.Point{c.B.Sub(c.A), c.C.Sub(c.B), c.D.Sub(c.C)} {
			widen(leg.Unit())
			low = paths.Point{X: min(low.X, leg.X), Y: min(low.Y, leg.Y)}
			high = paths.Point{X: max(high.X, leg.X), Y: max(high.Y, leg.Y)}
		}
		if low.Y < 0 && high.Y > 0 {
			share.X = 1
		}
		if low.X < 0 && high.X > 0 {
			share.Y = 1
		}
	}
	return share
}

// crosses reports whether a direction that turns by sweep passes that of an
// axis, either way along it.
func crosses(from, sweep, axis float64) bool {
	a, b := (from-axis)/math.Pi, (from+sweep-axis)/math.Pi
	return math.Floor(a) != math.Floor(b) || a == math.Floor(a)
}
