package paths

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Line.Nearest against many points of the line.
func TestLineNearestAgainstSampling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coord := rapid.Float64Range(-20, 20)
		p := func(name string) Point { return Point{coord.Draw(t, name+"x"), coord.Draw(t, name+"y")} }
		l, q := Line{p("a"), p("b")}, p("q")
		if rapid.IntRange(0, 9).Draw(t, "dot") == 0 {
			l.B = l.A
		}
		at, d := l.Nearest(q)
		if !(at >= 0 && at <= 1) || math.Abs(l.At(at).Dist(q)-d) > 1e-12 || l.Dist(q) != d {
			t.Fatalf("Nearest(%v) = %g, %g; the point there is %g away", q, at, d, l.At(at).Dist(q))
		}
		if sq := l.DistSq(q); math.Abs(math.Sqrt(sq)-d) > 1e-12*(1+l.A.Dist(l.B)+l.A.Dist(q)) {
			t.Fatalf("DistSq(%v) = %g, and the distance is %g", q, sq, d)
		}
		for i := range 1001 {
			if s := l.At(float64(i) / 1000).Dist(q); s < d-1e-9 {
				t.Fatalf("%g away, the point at %g is %g away", d, float64(i)/1000, s)
			}
		}
	})
}

// Rect.Overlaps against testing every half unit: corners are whole numbers, so
// rectangles with a point in common have one of those in common.
func TestOverlapsAgainstPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.IntRange(0, 6)
		p := func(name string) Point {
			return Point{float64(c.Draw(t, name+"x")), float64(c.Draw(t, name+"y"))}
		}
		r, s := RectOf(p("a"), p("b")), RectOf(p("c"), p("d"))
		if rapid.IntRange(0, 9).Draw(t, "empty") == 0 {
			s = EmptyRect()
		}
		want := false
		for x := range 13 {
			for y := range 13 {
				q := Point{float64(x) / 2, float64(y) / 2}
				want = want || r.Contains(q) && s.Contains(q)
			}
		}
		if r.Overlaps(s) != want || s.Overlaps(r) != want {
			t.Fatalf("%v and %v: %v, want %v", r, s, r.Overlaps(s), want)
		}
	})
}

func TestWithEnds(t *testing.T) {
	a, b := Point{1, 2}, Point{3, 4}
	for _, c := range []Curve{Line{Point{}, b}, ArcBulge(Point{}, b, 0.5), Cubic{Point{}, Point{1, 1}, Point{2, 5}, b}} {
		got := WithEnds(c, a, b)
		if got.Start() != a || got.End() != b {
			t.Errorf("WithEnds(%v) = %v", c, got)
		}
	}
}

// An arc that sweeps nothing, in a direction of a quarter turn, is one point.
func TestBoundsOfNoSweep(t *testing.T) {
	a := Arc{From: Point{5, 0}, To: Point{5, 0}}
	if b := a.Bounds(); b != (Rect{Point{5, 0}, Point{5, 0}}) {
		t.Errorf("bounds %v", b)
	}
	if ts := Turns(a); len(ts) != 0 {
		t.Errorf("turns at %v", ts)
	}
}
