package motion

import (
	"math"

	"weftplot/paths"
	"weftplot/plot/program"
)

// LimitFeeds returns the blocks with the feed of each as [LimitFeed] has it.
func LimitFeeds(blocks []program.Block, l Limits) []program.Block {
	out := make([]program.Block, len(blocks))
	for i, b := range blocks {
		out[i] = LimitFeed(b, l)
	}
	return out
}

// LimitFeed returns a block, with the feed of a Draw lowered to what the
// limits and its shape allow along all of it: each axis stays within its own
// speed, and on a curve the acceleration towards the centre, v²/r, stays within
// the machine's. A lowered feed is rounded down, to a whole mm/s from 5 on and
// to a tenth below, so that neighbours share one. Even a controller that does
// not slow down for curves then keeps the limits.
func LimitFeed(b program.Block, l Limits) program.Block {
	if b.Kind != program.Draw || b.Curve == nil {
		return b
	}
	b.Feed = l.feed(b)
	if v := min(l.OnAxes(b.Curve), l.onRadius(leastRadius(b.Curve))); v < b.Feed {
		b.Feed = rounded(v)
	}
	return b
}

// leastRadius returns the least radius of curvature of c, +Inf on a line. A
// curve without length has no bend.
func leastRadius(c paths.Curve) float64 {
	switch c := c.(type) {
	case paths.Arc:
		if c.Length() > 0 {
			return c.Radius()
		}
	case paths.Cubic:
		least := math.Inf(1)
		if c.Length() > 0 {
			eachSpan(c, func(_ paths.Curve, radius float64) { least = min(least, radius) })
		}
		return least
	}
	return math.Inf(1)
}

// slowest is the least feed that a curve is lowered to, mm/s: a sharper bend is
// treated as a corner.
const slowest = 0.5

func rounded(v float64) float64 {
	if v >= 5 {
		return math.Floor(v)
	}
	return max(slowest, math.Floor(v*10)/10)
}
