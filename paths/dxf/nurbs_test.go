package dxf

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/interp"
	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

// basis is the B-spline basis function by its definition (C. de Boor, "A
// Practical Guide to Splines", chapter IX: the recurrence of Cox and de Boor),
// on the half-open knot intervals, the last one closed.
func basis(knots []float64, i, p int, u float64) float64 {
	if p == 0 {
		last := knots[i+1] == knots[len(knots)-1] && knots[i] < knots[i+1] && u == knots[i+1]
		if knots[i] <= u && u < knots[i+1] || last {
			return 1
		}
		return 0
	}
	var sum float64
	if d := knots[i+p] - knots[i]; d > 0 {
		sum += (u - knots[i]) / d * basis(knots, i, p-1, u)
	}
	if d := knots[i+p+1] - knots[i+1]; d > 0 {
		sum += (knots[i+p+1] - u) / d * basis(knots, i+1, p-1, u)
	}
	return sum
}

// byDefinition is the point of a spline at u as the weighted sum of its control
// points.
func byDefinition(n nurbs, u float64) paths.Point {
	var sum paths.Point
	var weight float64
	for i, p := range n.control {
		w := basis(n.knots, i, n.degree, u)
		if n.weights != nil {
			w *= n.weights[i]
		}
		sum, weight = sum.Add(p.Mul(w)), weight+w
	}
	return sum.Mul(1 / weight)
}

func drawNURBS(t *rapid.T, degrees []int, rational bool) nurbs {
	n := nurbs{degree: rapid.SampledFrom(degrees).Draw(t, "degree")}
	count := n.degree + 1 + rapid.IntRange(0, 6).Draw(t, "more points")
	coord := rapid.Float64Range(-100, 100)
	for range count {
		n.control = append(n.control, paths.Point{X: coord.Draw(t, "x"), Y: coord.Draw(t, "y")})
		if rational {
			n.weights = append(n.weights, rapid.Float64Range(0.1, 10).Draw(t, "weight"))
		}
	}
	// Clamped or not, with knots that coincide now and then.
	at := 0.
	clamped := rapid.Bool().Draw(t, "clamped")
	for i := range count + n.degree + 1 {
		inner := i > n.degree && i < count
		if i > 0 && (inner || !clamped || i == count) {
			at += rapid.SampledFrom([]float64{1, 0.5, 2, 0.01, 0}).Draw(t, "step")
		}
		n.knots = append(n.knots, at)
	}
	if n.knots[n.degree] == n.knots[count] {
		for i := count; i < len(n.knots); i++ {
			n.knots[i]++
		}
	}
	return n
}

// Splines up to degree three are exactly what their definition says, parameter
// for parameter.
func TestSplinesAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNURBS(t, []int{1, 2, 3}, false)
		curves := n.curves(1e-3)
		i := 0
		for k := n.degree; k < len(n.control); k++ {
			a, b := n.knots[k], n.knots[k+1]
			if a == b {
				continue
			}
			for _, s := range []float64{0.0001, 0.25, 0.5, 0.9} {
				if got, want := curves[i].At(s), byDefinition(n, a+s*(b-a)); got.Dist(want) > 1e-9 {
					t.Fatalf("piece %d at %g: %v, want %v", i, s, got, want)
				}
			}
			i++
		}
		if i != len(curves) {
			t.Fatalf("%d curves for %d pieces", len(curves), i)
		}
	})
}

// The points of other splines are nowhere farther than the tolerance from the curves.
func TestSplinesKeepTheTolerance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNURBS(t, []int{2, 3, 4, 5, 7}, rapid.Bool().Draw(t, "rational"))
		tol := rapid.SampledFrom([]float64{0.1, 0.001}).Draw(t, "tolerance")
		curves := n.curves(tol)
		var run paths.Stroke
		for i, c := range curves {
			if i > 0 && curves[i-1].End() != c.Start() {
				return // torn: the pieces are tested above
			}
			run = append(run, c)
		}
		lo, hi := n.knots[n.degree], n.knots[len(n.control)]
		const steps = 150
		flat := run.Flatten(tol / 10)
		for i := range steps {
			p := byDefinition(n, lo+(hi-lo)*float64(i)/steps)
			if d := fromPolyline(p, flat); d > 1.1*tol {
				t.Fatalf("%v is %g from the curves, tolerance %g", p, d, tol)
			}
		}
	})
}

// fromPolyline is the distance of a point from a polyline.
func fromPolyline(p paths.Point, line []paths.Point) float64 {
	best := p.Dist(line[0])
	for i := 1; i < len(line); i++ {
		a, d := line[i-1], line[i].Sub(line[i-1])
		k := min(1, max(0, p.Sub(a).Dot(d)/max(d.Dot(d), 1e-300)))
		best = min(best, p.Dist(a.Add(d.Mul(k))))
	}
	return best
}

// A circle by weights, as in The NURBS Book (section 7.5): nine points, every
// second one with the weight √½. It becomes four quarter arcs.
func TestCircleBySpline(t *testing.T) {
	c := math.Sqrt(0.5)
	n := nurbs{degree: 2, knots: []float64{0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4}, weights: []float64{1, c, 1, c, 1, c, 1, c, 1}}
	for _, p := range [][2]float64{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}, {1, 0}} {
		n.control = append(n.control, paths.Point{X: 50 * p[0], Y: 50 * p[1]})
	}
	got := paths.Stroke(n.curves(0.001))
	if len(got) != 4 || !got.IsClosed() || math.Abs(got.Length()-100*math.Pi) > 1e-9 {
		t.Fatalf("%d curves, closed %v, length %v", len(got), got.IsClosed(), got.Length())
	}
	for _, c := range got {
		if a, ok := c.(paths.Arc); !ok || a.Centre.Len() > 1e-12 || math.Abs(a.Radius()-50) > 1e-12 || math.Abs(a.Sweep-math.Pi/2) > 1e-12 {
			t.Errorf("%#v is no quarter of the circle", c)
		}
	}
	// Raised to degree three by hand it is the same circle, but by cubics.
	n = nurbs{degree: 3, knots: []float64{0, 0, 0, 0, 1, 1, 1, 1}, weights: []float64{1, (1 + 2*c) / 3, (1 + 2*c) / 3, 1}}
	k := 2 * c / (1 + 2*c)
	n.control = []paths.Point{{X: 50}, {X: 50, Y: 50 * k}, {X: 50 * k, Y: 50}, {Y: 50}}
	for _, curve := range n.curves(0.001) {
		for i := range 50 {
			if p := curve.At(float64(i) / 50); math.Abs(p.Len()-50) > 0.001 {
				t.Errorf("%v is %g from the centre of a circle of 50", p, p.Len())
			}
		}
	}
}

// An open spline through points has no curvature at its ends: gonum's natural
// cubic is the same function, coordinate by coordinate.
func TestThroughPointsAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pts := drawPoints(t, 3)
		var xs, ys, at []float64
		sum := 0.
		for i, p := range pts {
			if i > 0 {
				sum += p.Dist(pts[i-1])
			}
			xs, ys, at = append(xs, p.X), append(ys, p.Y), append(at, sum)
		}
		var fx, fy interp.NaturalCubic
		if fx.Fit(at, xs) != nil || fy.Fit(at, ys) != nil {
			t.Skip("gonum does not fit these")
		}
		for i, c := range through(pts, paths.Point{}, paths.Point{}, false) {
			for _, s := range []float64{0, 0.3, 0.5, 0.8, 1} {
				u := at[i] + s*(at[i+1]-at[i])
				if want := (paths.Point{X: fx.Predict(u), Y: fy.Predict(u)}); c.At(s).Dist(want) > 1e-7 {
					t.Fatalf("piece %d at %g: %v, want %v", i, s, c.At(s), want)
				}
			}
		}
	})
}

func drawPoints(t *rapid.T, least int) []paths.Point {
	var pts []paths.Point
	for range rapid.IntRange(least, 9).Draw(t, "points") {
		p := paths.Point{X: rapid.Float64Range(0, 100).Draw(t, "x"), Y: rapid.Float64Range(0, 100).Draw(t, "y")}
		if !slices.ContainsFunc(pts, func(q paths.Point) bool { return p.Dist(q) < 0.1 }) {
			pts = append(pts, p)
		}
	}
	if len(pts) < least {
		t.Skip("too few points")
	}
	return pts
}

// A closed spline through points keeps its direction and curvature across its
// seam, as at every other point; one with directions given keeps them.
func TestThroughPointsClosedAndClamped(t *testing.T) {
	velocity := func(c paths.Cubic, end bool, h float64) (v, a paths.Point) {
		p := [4]paths.Point{c.A, c.B, c.C, c.D}
		if end {
			p = [4]paths.Point{c.D, c.C, c.B, c.A}
			h = -h
		}
		return p[1].Sub(p[0]).Mul(3 / h), p[0].Sub(p[1].Mul(2)).Add(p[2]).Mul(6 / (h * h))
	}
	smooth := func(t *rapid.T, c, d paths.Curve) {
		a, b := c.(paths.Cubic), d.(paths.Cubic)
		v, k := velocity(a, true, a.A.Dist(a.D))
		w, l := velocity(b, false, b.A.Dist(b.D))
		if v.Dist(w) > 1e-7 || k.Dist(l) > 1e-6*(1+k.Len()) {
			t.Fatalf("velocities %v and %v, accelerations %v and %v", v, w, k, l)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		pts := drawPoints(t, 3)
		ring := through(pts, paths.Point{}, paths.Point{}, true)
		if len(ring) != len(pts) || ring[len(ring)-1].End() != ring[0].Start() {
			t.Fatalf("%d curves through %d points, not closed", len(ring), len(pts))
		}
		for i := range ring {
			smooth(t, ring[i], ring[(i+1)%len(ring)])
		}
		leave, arrive := paths.Point{X: 3, Y: 4}, paths.Point{Y: -2}
		open := through(pts, leave, arrive, false)
		for i := 1; i < len(open); i++ {
			smooth(t, open[i-1], open[i])
		}
		if d := open[0].Tangent(0).Dist(leave.Unit()); d > 1e-9 {
			t.Fatalf("it leaves %g off the direction given", d)
		}
		if d := open[len(open)-1].Tangent(1).Dist(arrive.Unit()); d > 1e-9 {
			t.Fatalf("it arrives %g off the direction given", d)
		}
	})
}
