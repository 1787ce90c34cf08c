package paths

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	_ "weftplot/paths/samecases"
)

// Curves of every kind are checked against brute force: many points along them.

// distToPolyline returns the distance from p to the polyline through pts.
func distToPolyline(p Point, pts []Point) float64 {
	best := p.Dist(pts[0])
	for i := 1; i < len(pts); i++ {
		best = min(best, Line{pts[i-1], pts[i]}.Dist(p))
	}
	return best
}

func drawPoint(t *rapid.T, name string) Point {
	return Point{rapid.Float64Range(-500, 500).Draw(t, name+".x"), rapid.Float64Range(-500, 500).Draw(t, name+".y")}
}

func drawCurveFrom(t *rapid.T, from Point) Curve {
	switch rapid.IntRange(0, 5).Draw(t, "kind") {
	case 0:
		return Line{from, drawPoint(t, "b")}
	case 1:
		return ArcBulge(from, drawPoint(t, "b"), rapid.Float64Range(-8, 8).Draw(t, "bulge"))
	case 2:
		r, a := rapid.Float64Range(0.01, 300).Draw(t, "r"), rapid.Float64Range(-3, 3).Draw(t, "a")
		arc := ArcAround(from.Sub(polar(r, a)), r, a, rapid.Float64Range(-7, 7).Draw(t, "sweep"))
		if arc.To == arc.From {
			arc.To = from
		}
		arc.From = from
		return arc
	case 3: // a retracted handle
		return Cubic{from, from, drawPoint(t, "c"), drawPoint(t, "d")}
	case 4: // a loop that comes back to its start
		return Cubic{from, drawPoint(t, "b"), drawPoint(t, "c"), from}
	}
	return Cubic{from, drawPoint(t, "b"), drawPoint(t, "c"), drawPoint(t, "d")}
}

func drawCurve(t *rapid.T) Curve { return drawCurveFrom(t, drawPoint(t, "a")) }

func drawStroke(t *rapid.T) Stroke {
	at := drawPoint(t, "start")
	var s Stroke
	for range rapid.IntRange(1, 5).Draw(t, "curves") {
		c := drawCurveFrom(t, at)
		s, at = append(s, c), c.End()
	}
	return s
}

const bruteSteps = 2000

func brute(c Curve) []Point {
	pts := make([]Point, bruteSteps+1)
	for i := range pts {
		pts[i] = c.At(float64(i) / bruteSteps)
	}
	return pts
}

func TestFlattenKeepsItsToleranceBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCurve(t)
		tol := rapid.SampledFrom([]float64{0.5, 0.1, 0.025}).Draw(t, "tol")
		flat := Stroke{c}.Flatten(tol)
		if flat[0] != c.Start() || flat[len(flat)-1] != c.End() {
			t.Fatalf("ends %v, %v of the polyline are not those of %v", flat[0], flat[len(flat)-1], c)
		}
		pts := brute(c)
		for _, p := range pts {
			if d := distToPolyline(p, flat); d > tol*(1+1e-9)+1e-9 {
				t.Fatalf("point %v of %v lies %g from its polyline, tolerance %g", p, c, d, tol)
			}
		}
		// The other way is measured against samples, which are themselves apart.
		gap := 0.0
		for i := 1; i < len(pts); i++ {
			gap = max(gap, pts[i].Dist(pts[i-1]))
		}
		for _, p := range flat {
			if d := distToPolyline(p, pts); d > tol+gap*gap/8+gap*1e-3+1e-9 {
				t.Fatalf("vertex %v lies %g from %v, tolerance %g", p, d, c, tol)
			}
		}
	})
}

// A retracted handle, a closed loop and an overshoot are where flatteners fail.
func TestFlattenOfAwkwardCubics(t *testing.T) {
	for _, c := range []Cubic{
		{Point{0, 0}, Point{-5, 0}, Point{-5, 0}, Point{10, 0}},
		{Point{0, 0}, Point{0, 0}, Point{30, 40}, Point{50, 0}},
		{Point{0, 0}, Point{50, 50}, Point{-50, 50}, Point{0, 0}},
		{Point{0, 0}, Point{100, 0}, Point{-50, 0}, Point{50, 0}},
	} {
		flat := Stroke{c}.Flatten(0.01)
		for _, p := range brute(c) {
			if d := distToPolyline(p, flat); d > 0.01 {
				t.Errorf("%v: point %v is %g mm from the polyline", c, p, d)
				break
			}
		}
	}
}

func TestBoundsAreTight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCurve(t)
		got, want := c.Bounds(), RectOf(brute(c)...)
		gap := 0.0
		pts := brute(c)
		for i := 1; i < len(pts); i++ {
			gap = max(gap, pts[i].Dist(pts[i-1]))
		}
		if by, side := got.Excess(want); by > 1e-9 {
			t.Fatalf("%v sticks out of its bounds %v by %g at the %s", c, got, by, side)
		}
		if by, side := want.Grow(gap).Excess(got); by > 0 {
			t.Fatalf("bounds %v of %v are %g too wide at the %s", got, c, by, side)
		}
	})
}

func TestLengthAgainstChords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCurve(t)
		pts := brute(c)
		sum := 0.0
		for i := 1; i < len(pts); i++ {
			sum += pts[i].Dist(pts[i-1])
		}
		if got := c.Length(); got < sum-1e-7 || got > sum*(1+1e-4)+1e-6 {
			t.Fatalf("length of %v = %.9g, its chords measure %.9g", c, got, sum)
		}
	})
}

// The quarter circle as the usual cubic has length 1.5708 within 3e-4 of π/2;
// a parabola's arc length has a closed form (any calculus text): y = x², 0 to 1:
// √5/2 + asinh(2)/4.
func TestLengthClosedForms(t *testing.T) {
	parabola := Quadratic(Point{0, 0}, Point{0.5, 0}, Point{1, 1})
	if got, want := parabola.Length(), math.Sqrt(5)/2+math.Asinh(2)/4; math.Abs(got-want) > 1e-10 {
		t.Errorf("parabola: %.12g, want %.12g", got, want)
	}
	if got, want := Circle(Point{3, 4}, 10).Length(), 20*math.Pi; math.Abs(got-want) > 1e-9 {
		t.Errorf("circle: %g, want %g", got, want)
	}
	// A curve that goes 1 mm beyond its end and back has a cusp in its speed.
	there := Cubic{Point{0, 0}, Point{-5, 0}, Point{-5, 0}, Point{10, 0}}
	lo := there.Bounds().Min.X
	if got, want := there.Length(), 10-2*lo; math.Abs(got-want) > 1e-8 {
		t.Errorf("overshoot: %.12g, want %.12g", got, want)
	}
}

func TestSplitReverseAndSubGiveTheSamePoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCurve(t)
		at := rapid.Float64Range(0, 1).Draw(t, "t")
		a, b := c.Split(at)
		if a.Start() != c.Start() || b.End() != c.End() || a.End() != b.Start() {
			t.Fatalf("split of %v at %g does not meet", c, at)
		}
		if d := a.Length() + b.Length() - c.Length(); math.Abs(d) > 1e-6 {
			t.Fatalf("split of %v at %g changes its length by %g", c, at, d)
		}
		u := rapid.Float64Range(0, 1).Draw(t, "u")
		near(t, a.At(u), c.At(at*u), "first part")
		near(t, b.At(u), c.At(at+(1-at)*u), "second part")
		r := c.Reverse()
		if r.Start() != c.End() || r.End() != c.Start() {
			t.Fatalf("reverse of %v has other ends", c)
		}
		near(t, r.At(u), c.At(1-u), "reverse")
		lo, hi := min(at, u), max(at, u)
		near(t, Sub(c, lo, hi).At(0.5), c.At((lo+hi)/2), "sub")
	})
}

func near(t interface{ Fatalf(string, ...any) }, got, want Point, what string) {
	if got.Dist(want) > 1e-6 {
		t.Fatalf("%s: %v, want %v", what, got, want)
	}
}

func TestTransformAgainstPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCurve(t)
		f := func(n string) float64 { return rapid.Float64Range(-3, 3).Draw(t, n) }
		m := Affine{f("a"), f("b"), f("c"), f("d"), 10 * f("e"), 10 * f("f")}
		if rapid.Bool().Draw(t, "similar") {
			m = Rotate(f("turn")).Then(Scale(f("s"), 1)).Then(Translate(Point{f("e"), f("f")}))
			m.C, m.D = -m.B, m.A
		}
		out := Stroke(c.Transform(m))
		if err := out.Validate(); err != nil {
			t.Fatal(err)
		}
		if out.Start() != m.Apply(c.Start()) || out.End() != m.Apply(c.End()) {
			t.Fatalf("ends of %v moved otherwise than the map says", c)
		}
		flat := out.Flatten(0.01)
		for i := range 50 {
			p := m.Apply(c.At(float64(i) / 49))
			if d := distToPolyline(p, flat); d > 0.0105 {
				t.Fatalf("image of %v is %g from where the map puts %v", c, d, p)
			}
		}
	})
}

func TestTangentAgainstDifference(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCurve(t)
		if c.Length() < 1 {
			return
		}
		for _, u := range []float64{0, 0.3, 1} {
			lo, hi := max(0, u-1e-6), min(1, u+1e-6)
			d := c.At(hi).Sub(c.At(lo))
			if d.Len() < 1e-6 {
				continue // the curve is too slow here for differences
			}
			if got := c.Tangent(u).Dot(d.Unit()); got < 0.99 {
				t.Fatalf("tangent of %v at %g is %v, it moves %v", c, u, c.Tangent(u), d.Unit())
			}
		}
	})
}

func TestArcConstructors(t *testing.T) {
	half := ArcBulge(Point{0, 0}, Point{10, 0}, 1).(Arc)
	near(t, half.Centre, Point{5, 0}, "centre of a half circle")
	near(t, half.At(0.5), Point{5, -5}, "a positive bulge turns counter-clockwise")
	// Bulge b, chord c: radius c(1+b²)/(4|b|), sagitta |b|c/2 (the DXF reference).
	a := ArcBulge(Point{0, 0}, Point{8, 0}, 0.25).(Arc)
	if got, want := a.Radius(), 8*(1+0.0625)/1; math.Abs(got-want) > 1e-9 {
		t.Errorf("radius %g, want %g", got, want)
	}
	near(t, a.At(0.5), Point{4, -1}, "sagitta")
	c := Circle(Point{1, 2}, 3)
	if c.From != c.To {
		t.Errorf("a circle does not end where it starts: %v, %v", c.From, c.To)
	}
	if !(Stroke{c}).IsClosed() {
		t.Error("a circle is not closed")
	}
}

// TestLengthOfATinyCubicFarOut takes no longer than any other: the points are
// rounded, so that no amount of halving makes whole and halves agree better.
func TestLengthOfATinyCubicFarOut(t *testing.T) {
	c := Cubic{
		Point{38.1288841991676, 14.519414889462642}, Point{38.12888420118697, 14.519414893295963},
		Point{38.128884126776626, 14.519414897111718}, Point{38.128883893203586, 14.519414900909968},
	}
	chords := 0.0
	for i := range 1000 {
		chords += c.At(float64(i) / 1000).Dist(c.At(float64(i+1) / 1000))
	}
	if got := c.Length(); math.Abs(got-chords) > 1e-9 {
		t.Errorf("Length() = %v, want %v", got, chords)
	}
}

// TestSpanned moves the ends of each kind of curve: it keeps its kind, and begins and ends
// where it is told.
func TestSpanned(t *testing.T) {
	a, b := Point{X: 1, Y: 2}, Point{X: 9, Y: 3}
	for _, c := range []Curve{
		Line{A: Point{}, B: Point{X: 8}},
		ArcBulge(Point{}, Point{X: 8}, 0.5),
		Cubic{A: Point{}, B: Point{X: 2, Y: 2}, C: Point{X: 6, Y: 2}, D: Point{X: 8}},
	} {
		got := Spanned(c, a, b)
		if fmt.Sprintf("%T", got) != fmt.Sprintf("%T", c) || got.Start().Dist(a) > 1e-9 || got.End().Dist(b) > 1e-9 {
			t.Errorf("%v became %v", c, got)
		}
		if got := Spanned(c, c.Start(), c.End()); got != c {
			t.Errorf("%v became %v between its own ends", c, got)
		}
	}
}

// The part of a curve up to the parameter of a length has that length.
func TestParamAt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCurve(t)
		whole := c.Length()
		length := whole * rapid.Float64Range(-.1, 1.1).Draw(t, "share")
		u := ParamAt(c, length)
		want := min(max(length, 0), whole)
		if got := Sub(c, 0, u).Length(); math.Abs(got-want) > 1e-6+1e-9*whole {
			t.Errorf("%.9f of %.9f mm: the parameter %v is at %.9f", length, whole, u, got)
		}
	})
}
