package scan

import (
	"slices"

	"weftplot/paths"
)

// A line is darker than the paper at both of its sides. What is so by less than
// pale, as a share of the darkness of most lines, is doubtful; and it is no line,
// but the edge of a shadow, when one side is more than half as dark as it is, or
// it is hardly darker than both.
const (
	pale   = 0.45
	hardly = 0.35
)

// contrast returns how dark a line is at point i, and by how much darker than the
// darker of its two sides, as shares of the darkness of lines on the whole.
func (k ink) contrast(pts []paths.Point, i int) (dark, rise float64) {
	n := direction(pts, i, 4, false).Left().Mul(k.width)
	p := pts[i]
	dark = (k.dark(p) + k.dark(p.Add(n.Mul(0.15))) + k.dark(p.Sub(n.Mul(0.15)))) / 3
	return dark / k.level, (dark - max(k.dark(p.Add(n)), k.dark(p.Sub(n)))) / k.level
}

// stretch is how a line is over about a width of it.
type stretch struct{ dark, rise float64 }

func (s stretch) isShadow() bool { return s.rise < hardly || s.rise < pale && s.rise < s.dark/2 }

// stretches returns how a line is about every so many of its points.
func (k ink) stretches(pts []paths.Point, every int) []stretch {
	var raw []stretch
	for i := 0; i < len(pts); i += every {
		dark, rise := k.contrast(pts, i)
		raw = append(raw, stretch{dark, rise})
	}
	out := make([]stretch, len(raw))
	for i := range raw {
		from, to := max(0, i-4), min(len(raw), i+5)
		for _, s := range raw[from:to] {
			out[i].dark += s.dark / float64(to-from)
			out[i].rise += s.rise / float64(to-from)
		}
	}
	return out
}

// dropShadows takes off a chain the edges of shadows that a line ran into at its
// free ends, and reports whether all of it was the edge of a shadow, or else
// whether it is doubtful.
func (k ink) dropShadows(c chain) (left chain, shadow, doubtful bool) {
	every := max(1, int(k.width/4))
	shadow, doubtful = true, true
	left = chain{closed: c.closed}
	for i, r := range c.runs {
		list := k.stretches(r.pts, every)
		shadow = shadow && !slices.ContainsFunc(list, func(s stretch) bool { return !s.isShadow() })
		doubtful = doubtful && !slices.ContainsFunc(list, func(s stretch) bool { return s.rise >= pale })
		from, to := 0, len(list)
		if i == 0 && !c.closed && !r.a.fixed {
			from = leadingShadow(list)
		}
		if i == len(c.runs)-1 && !c.closed && !r.b.fixed {
			to -= trailingShadow(list[from:])
		}
		if to > from {
			r.pts = r.pts[from*every : min(len(r.pts), to*every)]
		}
		left.runs = append(left.runs, r)
	}
	return left, shadow, doubtful && !shadow
}

// leadingShadow returns how many stretches at the beginning are shadow.
func leadingShadow(list []stretch) int {
	n := slices.IndexFunc(list, func(s stretch) bool { return !s.isShadow() })
	if n < 0 {
		return len(list)
	}
	return n
}

// trailingShadow returns how many stretches at the end are shadow.
func trailingShadow(list []stretch) int {
	n := 0
	for n < len(list) && list[len(list)-1-n].isShadow() {
		n++
	}
	return n
}
