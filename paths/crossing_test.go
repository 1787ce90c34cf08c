package paths

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestCrossings(t *testing.T) {
	pt := func(x, y float64) Point { return Point{x, y} }
	hill := Cubic{pt(0, 0), pt(0, 4), pt(4, 4), pt(4, 0)} // 3 high in its middle
	for _, tt := range []struct {
		name string
		a, b Curve
		want []Point
	}{
		{"lines", Line{pt(0, 0), pt(4, 4)}, Line{pt(0, 4), pt(4, 0)}, []Point{{2, 2}}},
		{"lines apart", Line{pt(0, 0), pt(4, 4)}, Line{pt(0, 4), pt(1, 3.5)}, nil},
		{"line ending on a line", Line{pt(0, 0), pt(4, 0)}, Line{pt(1, 0), pt(1, 5)}, []Point{{1, 0}}},
		{"lines along one another", Line{pt(0, 0), pt(4, 0)}, Line{pt(5, 0), pt(1, 0)}, []Point{{1, 0}, {4, 0}}},
		{"the same line", Line{pt(0, 0), pt(4, 0)}, Line{pt(4, 0), pt(0, 0)}, []Point{{0, 0}, {4, 0}}},
		{"line and circle", Line{pt(-9, 0), pt(9, 0)}, Circle(pt(0, 0), 5), []Point{{-5, 0}, {5, 0}}},
		{"line and half circle", Line{pt(0, -9), pt(0, 9)}, ArcAround(pt(0, 0), 5, 0, math.Pi), []Point{{0, 5}}},
		{"line touching a circle", Line{pt(-9, 5), pt(9, 5)}, Circle(pt(0, 0), 5), []Point{{0, 5}}},
		{"circles", Circle(pt(0, 0), 5), Circle(pt(6, 0), 5), []Point{{3, 4}, {3, -4}}},
		{"circles inside one another", Circle(pt(0, 0), 5), Circle(pt(1, 0), 3), nil},
		{"the same circle", ArcAround(pt(0, 0), 5, 0, math.Pi), ArcAround(pt(0, 0), 5, math.Pi/2, math.Pi), []Point{{0, 5}, {-5, 0}}},
		{"line and cubic", hill, Line{pt(2, -1), pt(2, 9)}, []Point{{2, 3}}},
		{"cubic and circle", hill, Circle(pt(2, 3), 1), nil}, // checked below
		{"cubic and its own copy", hill, hill.Reverse(), []Point{{0, 0}, {4, 0}}},
	} {
		if tt.name == "cubic and circle" {
			if n := len(Crossings(tt.a, tt.b, 1e-6)); n != 2 {
				t.Errorf("%s cross %d times, want 2", tt.name, n)
			}
			continue
		}
		got := Crossings(tt.a, tt.b, 1e-6)
		if len(got) != len(tt.want) {
			t.Errorf("%s: crossings %v, want at %v", tt.name, got, tt.want)
			continue
		}
		for i, c := range got {
			if p := tt.a.At(c.S); p.Dist(tt.want[i]) > 1e-6 || tt.b.At(c.T).Dist(p) > 2e-6 {
				t.Errorf("%s: crossing %d at %v and %v, want %v", tt.name, i, p, tt.b.At(c.T), tt.want[i])
			}
		}
	}
}

// drawMeeting draws a curve of any kind in a square of 20 mm.
func drawMeeting(t *rapid.T, name string) Curve {
	pt := func(n string) Point {
		return Point{rapid.Float64Range(-10, 10).Draw(t, name+n+"x"), rapid.Float64Range(-10, 10).Draw(t, name+n+"y")}
	}
	switch rapid.IntRange(0, 2).Draw(t, name) {
	case 0:
		return Line{pt("a"), pt("b")}
	case 1:
		return ArcAround(pt("c"), rapid.Float64Range(0.5, 10).Draw(t, name+"r"), rapid.Float64Range(0, 6).Draw(t, name+"from"), rapid.Float64Range(-6.28, 6.28).Draw(t, name+"sweep"))
	}
	return Cubic{pt("a"), pt("b"), pt("c"), pt("d")}
}

// Crossings lie on both curves, and none is missed: each crossing of two fine
// polylines, found by trying all pairs, is near one of them.
func TestCrossingsAgainstPolylines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawMeeting(t, "a"), drawMeeting(t, "b")
		const near = 1e-5
		got := Crossings(a, b, near)
		for i, c := range got {
			if d := a.At(c.S).Dist(b.At(c.T)); !(d <= near) || i > 0 && c.S < got[i-1].S {
				t.Fatalf("crossing %+v of %v: the points are %g apart", c, got, d)
			}
		}
		const n = 150
		for i := range n {
			p, q := a.At(float64(i)/n), a.At(float64(i+1)/n)
			for j := range n {
				r, s := b.At(float64(j)/n), b.At(float64(j+1)/n)
				u, v := q.Sub(p), s.Sub(r)
				k, l := r.Sub(p).Cross(v)/u.Cross(v), r.Sub(p).Cross(u)/u.Cross(v)
				if !(k >= 0.2 && k <= 0.8 && l >= 0.2 && l <= 0.8) || math.Abs(u.Cross(v)) < 0.2*u.Len()*v.Len() {
					continue // flat, or at a corner of the polyline
				}
				at, found := p.Lerp(q, k), false
				for _, c := range got {
					found = found || a.At(c.S).Dist(at) < 0.2
				}
				if !found {
					t.Fatalf("the crossing near %v is not among %v", at, got)
				}
			}
		}
	})
}

// A cubic can be a straight line and run along it at an uneven speed.
func TestCrossingsOfUnevenCubics(t *testing.T) {
	straight := Cubic{Point{0, 0}, Point{0, 0}, Point{0, 0}, Point{11, 3}}
	arc := ArcAround(Point{0.4, 0.6}, 2.3, 0, 1)
	got := Crossings(arc, straight, 1e-6)
	if len(got) != 1 || arc.At(got[0].S).Dist(straight.At(got[0].T)) > 1e-6 {
		t.Errorf("crossings %v of %v and %v, want one", got, arc, straight)
	}
}

// A line that ends on a cubic meets it there, also where the cubic is straight and its
// parameter runs unevenly, or back and forth.
func TestEndOnACubicIsFound(t *testing.T) {
	const near = 1e-6
	rapid.Check(t, func(t *rapid.T) {
		num := func(name string) float64 { return rapid.Float64Range(-10, 10).Draw(t, name) }
		c := Cubic{Point{num("ax"), num("ay")}, Point{num("bx"), num("by")}, Point{num("cx"), num("cy")}, Point{num("dx"), num("dy")}}
		if rapid.Bool().Draw(t, "straight") {
			for _, p := range []*Point{&c.B, &c.C} {
				*p = c.A.Lerp(c.D, rapid.Float64Range(-1, 2).Draw(t, "along"))
			}
		}
		end := c.At(rapid.Float64Range(0, 1).Draw(t, "t"))
		line := Line{end, Point{num("x"), num("y")}}
		for _, x := range Crossings(c, line, near) {
			if c.At(x.S).Dist(end) <= 2*near {
				return
			}
		}
		t.Fatalf("%v ends on %v, and no crossing there is found: %v", line, c, Crossings(c, line, near))
	})
}

// A point a little farther from a straight cubic than the distance asked is told so
// soon, whether the cubic is long, short or a single place.
func TestPointBesideACubicIsSoonDecided(t *testing.T) {
	const near = 1e-6
	for _, long := range []float64{0, 1e-9, 1e-6, 1e-3, 10} {
		for _, off := range []float64{0.9, 1, 1.05, 1.2, 1.4, 1.6} {
			c := Cubic{Point{0, 0}, Point{long, long}, Point{0, 0}, Point{long, long}}
			p := Point{long / 3, long / 3}.Add(Point{-off * near, off * near}.Mul(math.Sqrt2 / 2))
			got := paramsNear(c, p, near)
			if len(got) > 100 {
				t.Errorf("%g mm long, %g times as far off: %d places", long, off, len(got))
			}
			if (len(got) > 0) != (off <= 1) && long != 0 && off != 1 {
				t.Errorf("%g mm long, %g times as far off: found at %v", long, off, got)
			}
		}
	}
}
