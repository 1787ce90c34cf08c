package tint

import (
	"math"

	"weftplot/paths"
)

// corners are where a stroke turns, in mm along it, and its length.
type corners struct {
	at     []float64
	length float64
	closed bool
}

// cornersOf finds the corners of a stroke.
func cornersOf(s paths.Stroke) (c corners) {
	const sharp = 15 * math.Pi / 180
	c.closed = s.IsClosed()
	for i, k := range s {
		if next := s[(i+1)%len(s)]; i+1 < len(s) || c.closed {
			u, v := k.Tangent(1), next.Tangent(0)
			if math.Abs(math.Atan2(u.Cross(v), u.Dot(v))) > sharp {
				c.at = append(c.at, c.length+k.Length())
			}
		}
		c.length += k.Length()
	}
	return c
}

// near returns the corner within some length of a place along the stroke, or the place: two
// inks that meet do so in a corner, if there is one. The ends of an open stroke stay: no
// two inks meet there.
func (c corners) near(place, within float64) float64 {
	turns := []float64{0}
	switch {
	case c.closed:
		// The place may lie beyond the end.
		turns = []float64{-c.length, 0, c.length}
	case place < 1e-9 || place > c.length-1e-9:
		return place
	}
	best, far := place, within
	for _, at := range c.at {
		for _, turn := range turns {
			if d := math.Abs(at + turn - place); d < far {
				best, far = at+turn, d
			}
		}
	}
	return best
}

// cut returns the part of a stroke between two places, in mm along it. That of a closed
// stroke may lie across its start.
func cut(s paths.Stroke, from, to float64) paths.Stroke {
	length := s.Length()
	if s.IsClosed() {
		shift := math.Floor(from/length) * length
		from, to = from-shift, to-shift
		if to > length {
			return append(cut(s, from, length), between(s, 0, to-length)...)
		}
	}
	return between(s, from, to)
}

// between is cut within the ends of a stroke.
func between(s paths.Stroke, from, to float64) paths.Stroke {
	const tiny = 1e-6
	var out paths.Stroke
	gone := 0.0
	for _, c := range s {
		l := c.Length()
		a, b := max(0, from-gone), min(l, to-gone)
		gone += l
		if b-a < tiny {
			continue
		}
		if b < l-tiny {
			c, _ = c.Split(paths.ParamAt(c, b))
		}
		if a > tiny {
			_, c = c.Split(paths.ParamAt(c, a))
		}
		out = append(out, c)
	}
	return out
}
