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
