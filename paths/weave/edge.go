package weave

import (
	"math"

	"weftplot/paths"
)

// Edge is a rectangle of whole channels, such as a rug's edge.
type Edge struct{ Left, Right, Bottom, Top int }

// whole is how far off a channel, in channels, an edge may be that counts as in it.
const whole = 1e-6

// EdgeRound returns the least edge that holds a rectangle of the drawn frame.
func EdgeRound(r paths.Rect, g Grid) Edge {
	lo, hi := g.PlaceOf(r.Min), g.PlaceOf(r.Max)
	return Edge{
		Left: int(math.Floor(lo.Across + whole)), Right: int(math.Ceil(hi.Across - whole)),
		Bottom: int(math.Floor(lo.Along + whole)), Top: int(math.Ceil(hi.Along - whole)),
	}
}

// EdgeWithin returns the greatest edge that lies in a rectangle of the drawn frame.
func EdgeWithin(r paths.Rect, g Grid) Edge {
	lo, hi := g.PlaceOf(r.Min), g.PlaceOf(r.Max)
	return Edge{
		Left: int(math.Ceil(lo.Across - whole)), Right: int(math.Floor(hi.Across + whole)),
		Bottom: int(math.Ceil(lo.Along - whole)), Top: int(math.Floor(hi.Along + whole)),
	}
}

// Outside returns the edge that leaves so many rows of holes empty between itself and
// e: no rows put it one channel out.
func (e Edge) Outside(rows int) Edge {
	n := rows + 1
	return Edge{e.Left - n, e.Right + n, e.Bottom - n, e.Top + n}
}

// Rect returns the edge in mm of the drawn frame.
func (e Edge) Rect(g Grid) paths.Rect {
	return paths.Rect{
		Min: g.At(Place{float64(e.Left), float64(e.Bottom)}),
		Max: g.At(Place{float64(e.Right), float64(e.Top)}),
	}
}

// Line returns the closed stroke along the edge, counter-clockwise from the lower
// left.
func (e Edge) Line(g Grid) paths.Stroke {
	s, _ := rectangle(e.Left, e.Right, e.Bottom, e.Top, g)
	return s
}

// Ticks returns short lines that run outwards from the edge in channels, at the middle
// of each side and at its quarters, the middle ones longer; long and short are their
// lengths in channels. They are symmetric: where no channel runs through the middle, a
// line stands in both beside it, and quarters are counted from both ends, to the
// nearest channel.
func (e Edge) Ticks(long, short int, g Grid) []paths.Stroke {
	var out []paths.Stroke
	put := func(axis Axis, channel, at, length int) {
		a, b := axis.place(channel, at), axis.place(channel, at+length)
		out = append(out, paths.Polyline(g.At(a), g.At(b)))
	}
	for _, side := range []struct {
		axis             Axis
		from, to, lo, hi int
	}{{Across, e.Left, e.Right, e.Bottom, e.Top}, {Along, e.Bottom, e.Top, e.Left, e.Right}} {
		for _, t := range tickChannels(side.from, side.to) {
			length := short
			if t.isMiddle {
				length = long
			}
			put(side.axis, t.channel, side.lo, -length)
			put(side.axis, t.channel, side.hi, length)
		}
	}
	return out
}

// place is the crossing of a channel of the axis with another one.
func (a Axis) place(channel, other int) Place {
	if a == Across {
		return Place{float64(channel), float64(other)}
	}
	return Place{float64(other), float64(channel)}
}

type tick struct {
	channel  int
	isMiddle bool
}

// tickChannels returns where ticks stand on a side from one channel to another.
func tickChannels(from, to int) []tick {
	n := to - from
	quarter := int(math.Ceil(float64(n)/4 - 0.5))
	out := []tick{{from + quarter, false}, {from + n/2, true}}
	if n%2 != 0 {
		out = append(out, tick{from + n/2 + 1, true})
	}
	return append(out, tick{to - quarter, false})
}
