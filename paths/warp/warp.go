// Package warp bends strokes by a smooth map of the plane: cloth that is stretched,
// words on an arc, rational curves as the image of their parameter.
//
// Everything here is a pure function. The time grows with the curves and with the
// pieces that their images take.
package warp

import (
	"math"

	"weftplot/paths"
)

// Stroke returns the image of s under the smooth map f, within tol mm of the true
// image, both ways. Pieces whose image is straight to within a tenth of tol
// come out as lines, the rest as cubics. Ends that coincide stay coinciding
// exactly, because f gets the same argument for both.
//
// Each piece is compared with its image at seven places, so f must be smooth over
// some tenths of a curve. [Fine] is for maps that are not.
func Stroke(s paths.Stroke, f func(paths.Point) paths.Point, tol float64) paths.Stroke {
	return Fine(s, f, tol, 0)
}

// Fine is [Stroke] for a map that may bend anew every step mm: each piece is
// compared with its image at places no farther apart than that, at five of them
// at least. A step of 0 means the seven places of [Stroke].
func Fine(s paths.Stroke, f func(paths.Point) paths.Point, tol, step float64) paths.Stroke {
	out := make(paths.Stroke, 0, len(s))
	for _, c := range s {
		w := warper{c, f, tol, 0}
		if step > 0 {
			w.steps = stepsOf(c, step)
		}
		if c.Start() == c.End() && c.Length() == 0 {
			a := f(c.Start())
			out = append(out, paths.Line{A: a, B: a})
			continue
		}
		out = w.whole(out)
	}
	return out
}

// stepsOf returns how many steps long a curve is, or for a short one, which is compared at
// the fewest places anyway, how many it is at most: that takes a small part of the time.
func stepsOf(c paths.Curve, step float64) float64 {
	const short = 2 + fewestInside - 0.01
	if c, ok := c.(paths.Cubic); ok {
		if most := (c.A.Dist(c.B) + c.B.Dist(c.C) + c.C.Dist(c.D)) / step; most <= short {
			return most
		}
	}
	return c.Length() / step
}

// warper makes the image of one curve.
type warper struct {
	c     paths.Curve
	f     func(paths.Point) paths.Point
	tol   float64
	steps float64 // the length of the curve in steps of the map; 0: not known
}

// joint is a place of the curve at which pieces meet, with its image. The velocities
// of the image before and after it are by the parameter of the curve.
type joint struct {
	t             float64
	at            paths.Point
	before, after paths.Point
}

// mostHalvings is how often a curve is halved at most.
const mostHalvings = 16

// whole appends the image of the curve.
func (w warper) whole(out paths.Stroke) paths.Stroke {
	a, d := joint{t: 0, at: w.f(w.c.Start())}, joint{t: 1, at: w.f(w.c.End())}
	if _, isLine := w.c.(paths.Line); isLine {
		if w.straight(a, d) {
			return append(out, paths.Line{A: a.at, B: d.at})
		}
	}
	a.after, d.before = w.oneSided(a, little), w.oneSided(d, -little)
	return w.piece(out, a, d, mostHalvings)
}

// piece appends the image of the part between two joints, halving it until one
// line or one cubic serves.
func (w warper) piece(out paths.Stroke, a, d joint, depth int) paths.Stroke {
	if _, isLine := w.c.(paths.Line); depth == 0 || isLine && depth < mostHalvings && w.straight(a, d) {
		return append(out, paths.Line{A: a.at, B: d.at})
	}
	third := (d.t - a.t) / 3
	cubic := paths.Cubic{A: a.at, B: a.at.Add(a.after.Mul(third)), C: d.at.Sub(d.before.Mul(third)), D: d.at}
	m := joint{t: (a.t + d.t) / 2}
	m.at = w.image(m.t)
	if cubic.At(0.5).Dist(m.at) <= w.tol/2 && w.follows(cubic, a, d) {
		return append(out, cubic)
	}
	m.before, m.after = w.velocities(m, little*(d.t-a.t))
	out = w.piece(out, a, m, depth-1)
	return w.piece(out, m, d, depth-1)
}

// image returns the image of the place t of the curve.
func (w warper) image(t float64) paths.Point { return w.f(w.c.At(t)) }

// little is the step of the differences that stand for velocities, as a share of a
// piece.
const little = 1e-4

// oneSided returns the velocity at an end, by a difference of second order to one
// side.
func (w warper) oneSided(j joint, h float64) paths.Point {
	return w.image(j.t + h).Mul(4).Sub(w.image(j.t + 2*h)).Sub(j.at.Mul(3)).Mul(1 / (2 * h))
}

// velocities returns the velocities before and after a joint: their mean for both,
// unless the image has a corner there.
func (w warper) velocities(j joint, h float64) (before, after paths.Point) {
	const corner = 0.01 // a share of the velocity
	before, after = j.at.Sub(w.image(j.t-h)).Mul(1/h), w.image(j.t+h).Sub(j.at).Mul(1/h)
	if mean := before.Lerp(after, 0.5); before.Dist(after) <= corner*mean.Len() {
		return mean, mean
	}
	return before, after
}

// probes are where a piece is compared with its image, beside its middle: odd
// places, so that a symmetric error cannot hide at a zero.
var probes = [...]float64{0.21, 0.77, 0.34, 0.63, 0.09, 0.92}

// inside returns the number of places inside a piece, beside its middle, at which it
// is to be compared with its image.
func (w warper) inside(a, d joint) int {
	if w.steps == 0 {
		return len(probes)
	}
	return int(max(fewestInside, math.Ceil(w.steps*(d.t-a.t))-2))
}

// fewestInside is at how many places a piece is compared at least, where the steps are known.
const fewestInside = 4

// probe returns probe i of n, as a share of a piece. More than the table has stand
// evenly, a little off the places of a symmetric error.
func probe(i, n int) float64 {
	if n <= len(probes) {
		return probes[i]
	}
	return (float64(i) + 0.47) / float64(n)
}

func (w warper) straight(a, d joint) bool {
	l, n := paths.Line{A: a.at, B: d.at}, w.inside(a, d)
	if l.Dist(w.image((a.t+d.t)/2)) > w.tol/10 {
		return false
	}
	for i := range n {
		if l.Dist(w.image(a.t+(d.t-a.t)*probe(i, n))) > w.tol/10 {
			return false
		}
	}
	return true
}

// follows reports whether a cubic follows the image between two joints; its middle
// does.
func (w warper) follows(cubic paths.Cubic, a, d joint) bool {
	n := w.inside(a, d)
	for i := range n {
		u := probe(i, n)
		if cubic.At(u).Dist(w.image(a.t+(d.t-a.t)*u)) > w.tol/2 {
			return false
		}
	}
	return true
}
