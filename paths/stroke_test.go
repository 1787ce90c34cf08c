package paths

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestStrokeStartingAt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStroke(t)
		if s.End() != s.Start() {
			s = append(s, Line{s.End(), s.Start()})
		}
		if s.IsDot() {
			return
		}
		i := rapid.IntRange(0, len(s)-1).Draw(t, "i")
		u := rapid.Float64Range(0, 1).Draw(t, "u")
		got := s.StartingAt(i, u)
		if err := got.Validate(); err != nil {
			t.Fatal(err)
		}
		if !got.IsClosed() {
			t.Fatalf("it is no longer closed: %v to %v", got.Start(), got.End())
		}
		near(t, got.Start(), s[i].At(u), "start")
		if d := got.Length() - s.Length(); math.Abs(d) > 1e-6 {
			t.Fatalf("length changed by %g", d)
		}
	})
}

func TestStrokeMapsKeepItWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStroke(t)
		for what, got := range map[string]Stroke{
			"reverse":   s.Reverse(),
			"mirror":    s.Transform(MirrorX(17)),
			"scale":     s.Transform(Scale(1.5, 0.7)),
			"transform": s.Transform(Rotate(0.3)),
		} {
			if err := got.Validate(); err != nil {
				t.Fatalf("%s: %v", what, err)
			}
		}
	})
}

func TestMirrorTwiceIsTheIdentity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStroke(t)
		m := MirrorX(rapid.Float64Range(-100, 100).Draw(t, "axis"))
		back := s.Transform(m).Transform(m)
		for i := range s {
			near(t, back[i].At(0.37), s[i].At(0.37), "twice mirrored")
		}
		if d := m.Det(); d != -1 {
			t.Fatalf("a mirror has determinant %g", d)
		}
	})
}

func TestPolylineDotsAndEmpty(t *testing.T) {
	if s := Polyline(); s != nil {
		t.Errorf("no points give %v", s)
	}
	dot := Polyline(Point{3, 4}, Point{3, 4})
	if !dot.IsDot() || dot.IsClosed() || dot.Length() != 0 {
		t.Errorf("a single point gives %v", dot)
	}
	if got := dot.Flatten(0.1); len(got) != 2 || got[0] != got[1] {
		t.Errorf("a dot flattens to %v", got)
	}
	if b := (Stroke{}).Bounds(); !b.IsEmpty() {
		t.Errorf("bounds of nothing: %v", b)
	}
}

func TestDeviation(t *testing.T) {
	a := Polyline(Point{0, 0}, Point{100, 0})
	b := Polyline(Point{0, 3}, Point{50, 3})
	if got, want := Deviation(b, a, 0.01), 3.0; math.Abs(got-want) > 0.01 {
		t.Errorf("Deviation(b, a) = %g, want %g", got, want)
	}
	if got, want := Deviation(a, b, 0.01), math.Hypot(50, 3); math.Abs(got-want) > 0.01 {
		t.Errorf("Deviation(a, b) = %g, want %g", got, want)
	}
	if got := Deviation(a, nil, 0.01); !math.IsInf(got, 1) {
		t.Errorf("Deviation from nothing = %g", got)
	}
	if got, want := Apart(b, a, 0.01), math.Hypot(50, 3); math.Abs(got-want) > 0.01 {
		t.Errorf("Apart(b, a) = %g, want %g", got, want)
	}
	if !math.IsInf(Apart(nil, a, 0.01), 1) || Apart(nil, nil, 0.01) != 0 || AreWithin(a, nil, 1e9, 0.01) || !AreWithin(nil, nil, 0, 0.01) {
		t.Error("nothing is infinitely far from something, and not apart from nothing")
	}
}

func TestDeviationAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawStroke(t), drawStroke(t)
		if rapid.Bool().Draw(t, "alike") {
			pts := a.Flatten(0.05)
			for i, p := range pts {
				pts[i].X += math.Sin(p.Y / 9)
			}
			b = Polyline(pts...)
		}
		const res = 0.5
		got := Deviation(a, b, res)
		far := max(got, Deviation(b, a, res))
		if d := Apart(a, b, res); d != far {
			t.Fatalf("Apart = %g, and the deviations are %g at most", d, far)
		}
		for _, tol := range []float64{far / 2, far - 1.1*res, far + 1e-9, far + 1.1*res, 2*far + 1.1*res} {
			if in := AreWithin(a, b, tol, res); tol >= 0 && in != (tol >= far) && math.Abs(tol-far) > res {
				t.Fatalf("AreWithin %g is %v, and they are %g apart", tol, in, far)
			}
		}
		flat := b.Flatten(0.01)
		want := 0.0
		for _, c := range a {
			for i := range 60 {
				want = max(want, distToPolyline(c.At(float64(i)/59), flat))
			}
		}
		// The brute force looks only at samples, so it may miss a little.
		if got < want-res {
			t.Fatalf("Deviation = %g, but a point lies %g away", got, want)
		}
		if got > want+res+a.Length()/59/2 {
			t.Fatalf("Deviation = %g, the farthest sample lies %g away", got, want)
		}
	})
}

func TestRectExcess(t *testing.T) {
	area := Rect{Max: Point{600, 900}}
	for _, c := range []struct {
		r    Rect
		by   float64
		side string
	}{
		{Rect{Point{1, 1}, Point{599, 899}}, 0, ""},
		{Rect{Point{-3, 1}, Point{604, 899}}, 4, "right"},
		{Rect{Point{0, -7}, Point{604, 901}}, 7, "bottom"},
		{EmptyRect(), 0, ""},
	} {
		if by, side := area.Excess(c.r); by != c.by || side != c.side {
			t.Errorf("Excess(%v) = %g, %q, want %g, %q", c.r, by, side, c.by, c.side)
		}
	}
}
