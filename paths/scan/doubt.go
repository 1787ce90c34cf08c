package scan

import (
	"slices"

	"weftplot/paths"
)

// A line is darker than the paper at both of its sides. One that is darker by
// less than pale, as a share of the darkness of most lines, is doubtful. It is
// the edge of a shadow, and not a line, when one side is more than half as dark
// as it is, or when it is hardly darker than either.
const (
	pale   = 0.45
	hardly = 0.35
)

// contrast returns how dark a line is at point i, and by how much darker than
// the darker of its two sides, as shares of the usual darkness of lines.
func (k ink) contrast(pts []paths.Point, i int) (dark, rise float64) {
	n := direction(pts, i, 4, false).Left().Mul(k.width)
	p := pts[i]
	dark = (k.dark(p) + k.dark(p.Add(n.Mul(0.15))) + k.dark(p.Sub(n.Mul(0.15)))) / 3
	return dark / k.level, (dark - max(k.dark(p.Add(n)), k.dark(p.Sub(n)))) / k.level
}

// sample is the contrast of a line, averaged over about a width of it.
type sample struct{ dark, rise float64 }

func (s sample) isShadow() bool { return s.rise < hardly || s.rise < pale && s.rise < s.dark/2 }

// samples returns the contrast of a line at points that are every places apart.
func (k ink) samples(pts []paths.Point, every int) []sample {
	var raw []sample
	for i := 0; i < len(pts); i += every {
		dark, rise := k.contrast(pts, i)
		raw = append(raw, sample{dark, rise})
	}
	out := make([]sample, len(raw))
	for i := range raw {
		from, to := max(0, i-4), min(len(raw), i+5)
		for _, s := range raw[from:to] {
			out[i].dark += s.dark / float64(to-from)
			out[i].rise += s.rise / float64(to-from)
		}
	}
	return out
}

// dropShadows removes from the free ends of a chain the edges of shadows that
// the line ran into. It reports whether all of the chain was the edge of a
// shadow, and if not, whether it is doubtful.
func (k ink) dropShadows(c chain) (kept chain, shadow, doubtful bool) {
	every := max(1, int(k.width/4))
	shadow, doubtful = true, true
	kept = chain{closed: c.closed}
	for i, r := range c.runs {
		list := k.samples(r.pts, every)
		shadow = shadow && !slices.ContainsFunc(list, func(s sample) bool { return !s.isShadow() })
		doubtful = doubtful && !slices.ContainsFunc(list, func(s sample) bool { return s.rise >= pale })
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
		kept.runs = append(kept.runs, r)
	}
	return kept, shadow, doubtful && !shadow
}

// leadingShadow returns how many samples at the beginning are shadow.
func leadingShadow(list []sample) int {
	n := slices.IndexFunc(list, func(s sample) bool { return !s.isShadow() })
	if n < 0 {
		return len(list)
	}
	return n
}

// trailingShadow returns how many samples at the end are shadow.
func trailingShadow(list []sample) int {
	n := 0
	for n < len(list) && list[len(list)-1-n].isShadow() {
		n++
	}
	return n
}
