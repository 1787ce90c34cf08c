// Package fit replaces curves by the lines and circular arcs that machines
// draw, as few as keep a tolerance. It neither joins nor orders strokes, and
// knows nothing of machines; package plot decides how the tolerance is shared
// among the steps.
//
// Cost: see [Arcs].
package fit

import (
	"math"
	"slices"

	"weftplot/paths"
)

const (
	// corner is the least turn between two curves, in radians, that makes their
	// joint a corner, which stays where it is.
	corner = 10 * math.Pi / 180
	// crumb is how many tolerances long a line or an arc must be to be kept as
	// it is.
	crumb = 4
	// finest is the least tolerance worked with, in mm.
	finest = 1e-5
)

// Arcs returns s as lines and arcs, within tol mm of it and it within tol of
// them. Its ends are exact, what was closed stays closed, and so do corners.
//
// Lines and arcs of s stay as they are, except that lines in one direction and
// arcs of one circle are joined. Cubics, and the chords of a curve that came as
// a chain of short lines, are replaced by a chain with its joints on the curve:
// each piece is the line or the arc that reaches farthest, which gives the
// fewest pieces with such joints. Then the tolerance is reduced as far as the
// number of pieces allows, which evens out the errors. The error of an arc with
// its ends on the curve is a cubic, odd about its middle, so two arcs of
// similar length meet with almost no kink. Biarcs would meet with none, but
// need half as many pieces again.
//
// The cost is about n·log n in the length of s over the square root of tol. A
// tol under 1e-5 mm counts as that.
func Arcs(s paths.Stroke, tol float64) paths.Stroke {
	out, _, _ := pieces(s, work{tol: tol, kind: arcs})
	return out
}

// ArcsUntil is [Arcs] for strokes so long that someone may not want to wait for
// them: it asks stop at every few pieces whether to go on, and returns its error. It
// also returns how far each piece is from s at most, in mm: nothing for what stays as
// it is, and less than tol where the same number of pieces comes nearer.
func ArcsUntil(stop func() error, s paths.Stroke, tol float64) (out paths.Stroke, off []float64, err error) {
	return pieces(s, work{tol: tol, kind: arcs, asker: asker{stop: stop}})
}

// Lines returns s as lines, within tol mm of it and it within tol of them. Its
// ends are exact, what was closed stays closed, and so do corners.
//
// Lines of s stay as they are, except that lines in one direction are joined.
// Arcs, cubics, and the chords of a curve that came as a chain of short lines,
// are replaced by a chain of chords that reach as far as possible. Joints lie
// beside the curve where chords reach farther from there; on an even bend that
// takes two thirds as many chords as with all joints on the curve. The cost,
// and the least tol, are those of [Arcs].
func Lines(s paths.Stroke, tol float64) paths.Stroke {
	out, _, _ := pieces(s, work{tol: tol, kind: lines})
	return out
}

// Grid is the points that a language can name.
type Grid struct {
	Round   func(paths.Point) paths.Point // the nearest of them
	Off     float64                       // how far that is at most, mm
	Longest float64                       // a longer chord is cut, at points that are rounded again, mm
}

// LinesOn is [Lines] for chords whose ends will be rounded to a grid: they stay
// within tol with the rounding, which must be less. The ends of those that replace
// curves are rounded already. Lines that stay keep their own, so two neighbours may
// be apart by the rounding.
func LinesOn(s paths.Stroke, tol float64, g Grid) paths.Stroke {
	out, _, _ := pieces(s, work{tol: tol, kind: lines, grid: &g})
	return out
}

// work is how curves are to be replaced.
type work struct {
	tol  float64 // mm
	kind kind
	grid *Grid // nil: the ends of pieces may be anywhere
	asker
	spots []spot
}

// pieces replaces s as w says, and says how far each piece is from it at most.
func pieces(s paths.Stroke, w work) (paths.Stroke, []float64, error) {
	if len(s) == 0 {
		return nil, nil, nil
	}
	if !(w.tol >= finest) {
		w.tol = finest
	}
	given, cleaned := s, w.tol*sampled // how far an arc may be that was taken for a line
	if s = clean(s, cleaned); len(s) == 0 {
		dot := paths.Polyline(given.Start())
		return dot, make([]float64, len(dot)), nil
	}
	out, offs := make(paths.Stroke, 0, len(s)), make([]float64, 0, len(s))
	for _, r := range split(s, w.tol, w.kind) {
		part, off := r.fit(&w)
		for _, c := range part {
			out, offs = append(out, c), append(offs, off+cleaned)
		}
		if w.stopped() {
			return nil, nil, w.err
		}
	}
	if out, offs = join(out, offs); slices.Equal(out, given) {
		out = given // of a large drawing most strokes stay as they are, and need not be kept twice
	}
	return out, offs, nil
}

// clean leaves out lines without length, and turns arcs that are at most flat
// off their chord into lines, because the centre of such an arc is too far away
// to be written.
func clean(s paths.Stroke, flat float64) paths.Stroke {
	out := make(paths.Stroke, 0, len(s))
	for _, c := range s {
		if a, ok := c.(paths.Arc); ok && a.From.Dist(a.To)/2*math.Abs(math.Tan(a.Sweep/4)) <= flat && math.Abs(a.Sweep) < math.Pi {
			c = paths.Line{A: a.From, B: a.To}
		}
		if l, ok := c.(paths.Line); ok && l.A == l.B {
			continue
		}
		out = append(out, c)
	}
	return out
}

// run is a part of a stroke without corners.
type run struct {
	curves paths.Stroke
	// loose runs are fitted again; the others stay as they are.
	loose bool
}

// split cuts s into runs: at corners, and around what stays.
func split(s paths.Stroke, tol float64, k kind) []run {
	stays := make([]bool, len(s))
	for i := 0; i < len(s); {
		n := chained(s[i:])
		for j := i; j < i+n; j++ {
			stays[j] = keeps(s[j], n, tol, k)
		}
		i += n
	}
	runs := make([]run, 0, len(s))
	for i, c := range s {
		last := len(runs) - 1
		if i > 0 && !stays[i] && !stays[i-1] && turn(s[i-1], c) < corner {
			n := len(runs[last].curves) + 1
			runs[last].curves = s[i+1-n : i+1 : i+1]
		} else {
			runs = append(runs, run{s[i : i+1 : i+1], !stays[i]})
		}
	}
	return runs
}

// chained returns how many lines s opens with that follow each other without a
// corner, at least 1.
func chained(s paths.Stroke) int {
	n := 1
	for ; n < len(s); n++ {
		_, before := s[n-1].(paths.Line)
		_, here := s[n].(paths.Line)
		if !before || !here || turn(s[n-1], s[n]) >= corner {
			break
		}
	}
	return n
}

// keeps reports whether c stays as it is. Several lines in a chain are taken as
// chords of a curve; two are just lines.
func keeps(c paths.Curve, chained int, tol float64, k kind) bool {
	switch c.(type) {
	case paths.Cubic:
		return false
	case paths.Arc:
		if k == lines {
			return false
		}
	}
	return chained < 3 && c.Length() > crumb*tol
}

// turn returns the angle in [0, π] between the end of a and the start of b.
func turn(a, b paths.Curve) float64 {
	u, v := a.Tangent(1), b.Tangent(0)
	return math.Abs(math.Atan2(u.Cross(v), u.Dot(v)))
}

// join joins lines in one direction, and arcs on one circle. A whole circle is
// not joined with an arc that goes over it again. What is joined is as far off as the
// farther of both. It takes over the room of s and off.
func join(s paths.Stroke, off []float64) (out paths.Stroke, offs []float64) {
	out, offs = s[:0], off[:0]
	for i, c := range s {
		if n := len(out); n > 0 {
			if both, ok := joined(out[n-1], c); ok {
				out[n-1], offs[n-1] = both, max(offs[n-1], off[i])
				continue
			}
		}
		out, offs = append(out, c), append(offs, off[i])
	}
	return out, offs
}

// hair is how far apart two pieces may be and still be joined, in mm: the
// rounding of coordinates that were computed separately.
const hair = 1e-6

func joined(a, b paths.Curve) (paths.Curve, bool) {
	switch a := a.(type) {
	case paths.Line:
		b, ok := b.(paths.Line)
		if !ok || a.B.Sub(a.A).Dot(b.B.Sub(b.A)) <= 0 || (paths.Line{A: a.A, B: b.B}).Dist(a.B) > hair {
			return nil, false
		}
		return paths.Line{A: a.A, B: b.B}, true
	case paths.Arc:
		b, ok := b.(paths.Arc)
		whole := a.Sweep + bSweep(b, ok)
		if !ok || a.Sweep*b.Sweep <= 0 || math.Abs(whole) > 2*math.Pi+1e-9 ||
			a.Centre.Dist(b.Centre) > hair || math.Abs(a.Radius()-b.Radius()) > hair {
			return nil, false
		}
		if a.From == b.To {
			whole = math.Copysign(2*math.Pi, whole)
		}
		return paths.Arc{From: a.From, To: b.To, Centre: a.Centre, Sweep: whole}, true
	}
	return nil, false
}

func bSweep(b paths.Arc, ok bool) float64 {
	if !ok {
		return 0
	}
	return b.Sweep
}
