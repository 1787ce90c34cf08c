package scan

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/scan/fit"
)

// drafter makes strokes of chains.
type drafter struct {
	k ink
	b blobs
	// breadth is the width of the line in pixels at half of its darkness.
	breadth float64
	// tol is how far in pixels a curve may be from the middle of the ink.
	tol float64
}

// drafted is a chain as curves, and what it is taken for.
type drafted struct {
	s    paths.Stroke
	what verdict
}

// all returns chains as curves, each without what its ink tells are shadows at its ends: on
// all cores, since none depends on another.
func (d drafter) all(chains []chain, k ink) []drafted {
	out := make([]drafted, len(chains))
	never := func() bool { return false }
	cores.EachUntil(len(chains), never, func(i int) {
		c, what := k.dropShadows(chains[i])
		out[i] = drafted{d.stroke(c), what}
	})
	return out
}

// stroke returns a chain as curves.
func (d drafter) stroke(c chain) paths.Stroke {
	c = c.sharpen(d.k)
	if c.isLoop() {
		return d.loop(c.runs[0].pts)
	}
	d.settle(&c)
	var out paths.Stroke
	for _, r := range c.runs {
		out = append(out, d.run(r)...)
	}
	return out
}

// settle places the ends of the runs of a chain exactly: corners where the runs cross
// when they are extended, and free ends where the ink ends.
func (d drafter) settle(c *chain) {
	for i := range c.runs {
		r := &c.runs[i]
		if !r.a.fixed {
			x := rayOf(r.pts, d.k.width)
			r.a.at = d.tip(x)
		}
		if !r.b.fixed {
			x := rayOf(reversed(r.pts), d.k.width)
			r.b.at = d.tip(x)
		}
		next := i + 1
		if next == len(c.runs) {
			if !c.closed || len(c.runs) == 1 {
				continue
			}
			next = 0
		}
		s := &c.runs[next]
		at, ok := rayOf(reversed(r.pts), d.k.width).meet(rayOf(s.pts, d.k.width))
		if ok && at.Dist(r.b.at) < 0.4*d.k.width {
			r.b.at, s.a.at = at, at
		}
	}
}

// tip returns where a line that leaves along a ray ends: on an area, if there
// is one within two widths.
func (d drafter) tip(r ray) paths.Point {
	if at, ok := d.b.entered(r, max(2*d.k.width, 1.5*d.breadth)); ok {
		return at
	}
	return d.k.tip(r.at, r.dir, d.breadth)
}

// run returns a run as curves from its one end to its other.
func (d drafter) run(r run) paths.Stroke {
	if r.a.at == r.b.at && len(r.pts) < 4 {
		return nil
	}
	q, scatter := d.bins(r.pts)
	inner := q[:0]
	for _, p := range q {
		if clear := 0.25 * d.k.width; p.Dist(r.a.at) > clear && p.Dist(r.b.at) > clear {
			inner = append(inner, p)
		}
	}
	q = append(append([]paths.Point{r.a.at}, inner...), r.b.at)
	f := d.fitter(q, scatter)
	return f.Fit()
}

// bins divides the points into groups as long as a third of the line's width,
// or longer where they scatter. It returns the mean of each group, and how much
// the points scatter.
func (d drafter) bins(pts []paths.Point) (q []paths.Point, scatter float64) {
	scatter = scatterOf(pts, int(3*d.k.width))
	share := 1. / 3
	if scatter > d.tol/2 {
		share = 0.6
	}
	return binsOf(pts, max(3, int(math.Round(d.k.width*share)))), scatter
}

// binsOf returns the means of groups of size points, none of them across a gap.
func binsOf(pts []paths.Point, size int) []paths.Point {
	var out []paths.Point
	var sum paths.Point
	n := 0
	flush := func() {
		if n > 0 && n >= size/2 {
			out = append(out, sum.Mul(1/float64(n)))
		}
		sum, n = paths.Point{}, 0
	}
	for i, p := range pts {
		if n == size || i > 0 && p.Dist(pts[i-1]) > 3 {
			flush()
		}
		sum, n = sum.Add(p), n+1
	}
	flush()
	return out
}

// scatterOf returns how far points are from a smooth line: the standard
// deviation from the parabola nearest to each window of points. Only the
// straighter windows count, where it is not the line's own bending; it is 0 for
// a line shorter than a window.
func scatterOf(pts []paths.Point, window int) float64 {
	var list []float64
	for i := 0; i+window <= len(pts); i += window / 2 {
		_, _, _, off := fit.Parabola(pts[i : i+window])
		list = append(list, off)
	}
	if len(list) == 0 {
		return 0
	}
	slices.Sort(list)
	return 1.1 * list[len(list)/3]
}

// fitter returns the fitter for places that are nearly evenly apart. The more they
// scatter, the wider are its tolerances.
func (d drafter) fitter(q []paths.Point, scatter float64) fit.Fitter {
	apart := q[len(q)/2].Dist(q[len(q)/2-1])
	return fit.Fitter{
		Q:    q,
		Tol:  d.tol + min(3*scatter, 0.2*d.k.width),
		Kink: 4*degree + min(20*degree, 1.2*scatter/(fit.HeadingReach*max(apart, 1))),
	}
}

// loop returns a closed line without corners.
func (d drafter) loop(pts []paths.Point) paths.Stroke {
	q, scatter := d.bins(pts)
	if len(q) < 4 {
		return nil
	}
	tol := d.fitter(q, scatter).Tol
	if c, r, ok := fit.Circle(q); ok {
		far := 0.0
		for _, p := range q {
			far = max(far, math.Abs(p.Dist(c)-r))
		}
		// A slit also lies near a part of a huge circle, but does not go round
		// it.
		if round := 2 * math.Pi * r; far < 1.5*tol && math.Abs(round-float64(len(pts))) < round/5 {
			return paths.Stroke{paths.Circle(c, r)}
		}
	}
	// Begin where it bends least, because two curves meet best there.
	n := len(q)
	least, at := math.Inf(1), 0
	for i := range q {
		if t := turn(q[i].Sub(q[(i+n-2)%n]), q[(i+2)%n].Sub(q[i])); t < least {
			least, at = t, i
		}
	}
	q = append(append(slices.Clone(q[at:]), q[:at]...), q[at])
	dir := q[1].Sub(q[n-1]).Unit()
	f := d.fitter(q, scatter)
	f.First, f.Last = dir, dir
	return f.Fit()
}
