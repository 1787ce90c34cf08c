package fit

import (
	"math"

	"weftplot/paths"
)

// maxBulge keeps an arc under three quarters of a circle, where its ends still
// determine its centre well. The bulge is the tangent of a quarter of the
// sweep.
var maxBulge = math.Tan(3 * math.Pi / 8)

// bent tries an arc between the first point and the last. A circle through both
// is given by its height over the middle of the chord. Each point between
// allows a range of heights: that of the circle through the point, plus or
// minus what moves the circle there by the tolerance. At x on a chord from -c
// to c, the circle moves by 1-(x/c)² times the change in height. The arc is the
// one in the middle of the range that all points allow, provided it then keeps
// the tolerance exactly.
func bent(pts []paths.Point, tol float64) (paths.Arc, bool) {
	low, high, ok := heights(pts, tol)
	if !ok {
		return paths.Arc{}, false
	}
	a, b := pts[0], pts[len(pts)-1]
	bulge := -(low + high) / 2 / (a.Dist(b) / 2) // an arc that is high on the left turns right
	arc, ok := paths.BulgedArc(a, b, bulge)
	if !ok || math.Abs(bulge) > maxBulge || !follows(arc, pts, tol) {
		return paths.Arc{}, false
	}
	return arc, true
}

// heights returns between which heights over the middle of the chord, on its left, an arc
// from the first point to the last is about within the tolerance of all others, in mm. It
// is not ok where there are none, or no point tells.
func heights(pts []paths.Point, tol float64) (low, high float64, ok bool) {
	a, b := pts[0], pts[len(pts)-1]
	c := a.Dist(b) / 2
	if c < 1e-9 {
		return 0, 0, false
	}
	may := over{middle: a.Lerp(b, 0.5), u: b.Sub(a).Unit(), c: c, tol: tol, tall: math.Inf(1), bows: anyBow}
	// Most tries fail, and a few points spread over the chain usually tell.
	if n := len(pts) - 1; n > 8 {
		for _, i := range [...]int{n / 2, n / 4, n * 3 / 4, n / 8, n * 7 / 8} {
			if !may.narrow(pts[i]) {
				return 0, 0, false
			}
		}
	}
	for _, p := range pts[1 : len(pts)-1] {
		if !may.narrow(p) {
			return 0, 0, false
		}
	}
	return may.low, may.high, !math.IsInf(may.low, 0)
}

// height returns the height of the circle through (-c, 0), (c, 0) and (x, y)
// above the middle of the chord, on the side of the third point.
func height(x, y, c float64) float64 {
	if y == 0 {
		return 0
	}
	if y < 0 {
		return -height(x, -y, c)
	}
	centre := (x*x + y*y - c*c) / (2 * y)
	r := math.Sqrt(c*c + centre*centre) // of mm, so that neither overflows
	if centre > 0 {
		return r + centre
	}
	return c * c / (r - centre) // the same without the difference
}

// follows reports whether the arc is within tol of the chain of points, and the
// chain within tol of the arc: the points and the lines between them are near
// its circle, and going along them turns about the centre by its sweep without
// going back.
func follows(arc paths.Arc, pts []paths.Point, tol float64) bool {
	r := arc.Radius()
	before := pts[0].Sub(arc.Centre)
	ring := newRing(r, tol)
	for _, p := range pts[1:] {
		d := p.Sub(arc.Centre)
		if !ring.surelyHolds(before, d) && (math.Abs(d.Len()-r) > tol || r-(paths.Line{A: before, B: d}).Dist(paths.Point{}) > tol) {
			return false
		}
		before = d
	}
	return onward(arc, pts) || turnsWith(arc, pts, tol)
}

// onward reports whether the chain turns about the centre of the arc the way the arc does,
// a little at each point, and in all by less than a whole turn. If its ends are those of
// the arc, it then turns by the sweep of the arc, and no more than rounding can be said
// against it. It may do so all the same where the answer is no.
func onward(arc paths.Arc, pts []paths.Point) bool {
	if arc.From != pts[0] || arc.To != pts[len(pts)-1] || arc.From == arc.To {
		return false
	}
	side := math.Copysign(1, arc.Sweep)
	first := pts[0].Sub(arc.Centre)
	before, beyond := first, false // beyond half a turn
	for _, p := range pts[1:] {
		d := p.Sub(arc.Centre)
		if side*before.Cross(d) <= 0 || before.Dot(d) <= 0 {
			return false
		}
		over := side*first.Cross(d) < 0
		if beyond && !over {
			return false // round once
		}
		before, beyond = d, over
	}
	return true
}

// turnsWith reports whether the chain, which is near the circle of the arc, turns about its
// centre by its sweep, and goes back or beyond the ends by no more than tol.
func turnsWith(arc paths.Arc, pts []paths.Point, tol float64) bool {
	r, sweep := arc.Radius(), math.Abs(arc.Sweep)
	side := math.Copysign(1, arc.Sweep)
	turned, far := 0.0, 0.0
	before := pts[0].Sub(arc.Centre)
	for _, p := range pts[1:] {
		d := p.Sub(arc.Centre)
		turned += side * math.Atan2(before.Cross(d), before.Dot(d))
		beyond := turned < 0 && p.Dist(arc.From) > tol || turned > sweep && p.Dist(arc.To) > tol
		if beyond || (far-turned)*r > tol {
			return false
		}
		far = max(far, turned)
		before = d
	}
	return math.Abs(turned-sweep)*r < 1e-6+1e-9*r
}

// A ring is what lies within the tolerance of a circle round the origin, a little less for
// rounding: between two squares of distances.
type ring struct{ least, most float64 }

func newRing(r, tol float64) ring {
	const rounding = 1e-12
	inner, outer := max(0, r-tol), r+tol
	return ring{inner * inner * (1 + rounding), outer * outer * (1 - rounding)}
}

// surelyHolds reports whether the point b and the line to it from a lie in the ring, as is
// told without a root: no point of the line is nearer to the origin than the square of the
// nearer end's distance less that of half its length says. Where it says no, they may do
// so all the same.
func (g ring) surelyHolds(a, b paths.Point) bool {
	ab := b.Sub(a)
	toB := b.Dot(b)
	return toB <= g.most && min(a.Dot(a), toB)-ab.Dot(ab)/4 >= g.least
}

// circle reports whether a closed chain of points is one whole circle, within
// tol.
func circle(pts []paths.Point, tol float64) (paths.Curve, bool) {
	n := len(pts)
	if n < 8 || pts[0] != pts[n-1] {
		return nil, false
	}
	centre, ok := centreOf(pts[0], pts[n/3], pts[2*n/3])
	if !ok {
		return nil, false
	}
	sweep := 2 * math.Pi
	if pts[n/3].Sub(pts[0]).Cross(pts[2*n/3].Sub(pts[0])) < 0 {
		sweep = -sweep
	}
	arc := paths.Arc{From: pts[0], To: pts[0], Centre: centre, Sweep: sweep}
	return arc, follows(arc, pts, tol)
}

// centreOf returns the centre of the circle through three points.
func centreOf(a, b, c paths.Point) (paths.Point, bool) {
	u, v := b.Sub(a), c.Sub(a)
	d := 2 * u.Cross(v)
	if math.Abs(d) < 1e-12 {
		return paths.Point{}, false
	}
	u2, v2 := u.Dot(u), v.Dot(v)
	return a.Add(paths.Point{X: (v.Y*u2 - u.Y*v2) / d, Y: (u.X*v2 - v.X*u2) / d}), true
}
