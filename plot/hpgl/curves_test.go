package hpgl

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

// TestArcThroughPoints: every point of the arc is as far from the centre of the
// circle round the three points, by the formula of coordinate geometry, and the
// arc goes from the first through the second to the third.
func TestArcThroughPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coordinate := rapid.IntRange(-2000, 2000)
		var p [3]paths.Point
		for i := range p {
			p[i] = paths.Point{X: float64(coordinate.Draw(t, "x")), Y: float64(coordinate.Draw(t, "y"))}
		}
		d := 2 * (p[0].X*(p[1].Y-p[2].Y) + p[1].X*(p[2].Y-p[0].Y) + p[2].X*(p[0].Y-p[1].Y))
		if d == 0 {
			return
		}
		a, b, c := p[0].Dot(p[0]), p[1].Dot(p[1]), p[2].Dot(p[2])
		centre := paths.Point{
			X: (a*(p[1].Y-p[2].Y) + b*(p[2].Y-p[0].Y) + c*(p[0].Y-p[1].Y)) / d,
			Y: (a*(p[2].X-p[1].X) + b*(p[0].X-p[2].X) + c*(p[1].X-p[0].X)) / d,
		}
		prog, err := Read(context.Background(), "test", []byte(fmt.Sprintf("PU%g,%g;PD;AT%g,%g,%g,%g;", p[0].X, p[0].Y, p[1].X, p[1].Y, p[2].X, p[2].Y)), nil)
		if err != nil {
			t.Fatal(err)
		}
		s := prog.Strokes()[0].Transform(paths.Scale(40, 40))
		radius := centre.Dist(p[0])
		nearest := math.Inf(1)
		for i := range 2001 {
			q := s[0].At(float64(i) / 2000)
			if off := math.Abs(q.Dist(centre) - radius); off > 1e-6*(1+radius) {
				t.Fatalf("at %v it is %v off the circle of radius %v", q, off, radius)
			}
			nearest = min(nearest, q.Dist(p[1]))
		}
		if step := s.Length() / 2000; nearest > step || s.Start().Dist(p[0]) > 1e-9 || s.End().Dist(p[2]) > 1e-9 {
			t.Fatalf("it goes from %v to %v and misses the middle point by %v", s.Start(), s.End(), nearest)
		}
	})
}

// TestBezier: halfway along a cubic the point is (a + 3b + 3c + d)/8.
func TestBezier(t *testing.T) {
	s := read(t, "PU100,100;PD;BZ100,300,400,500,800,100;").Strokes()[0]
	want := pt((100+300+1200+800)/8., (100+900+1500+100)/8.).Mul(0.025)
	if got := s[0].At(0.5); got.Dist(want) > 1e-9 {
		t.Errorf("halfway it is at %v, want %v", got, want)
	}
}

// anyInstructions draws some that draw.
func anyInstructions(t *rapid.T) string {
	var text string
	for range rapid.IntRange(1, 12).Draw(t, "instructions") {
		form := rapid.SampledFrom([]string{"PU%d,%d;", "PD%d,%d;", "PD%d,%d;", "AA%d,%d,%d;", "CI%d;", "EA%d,%d;", "PD;BZ%d,%d,%d,%d,%d,%d;"}).Draw(t, "form")
		var n []any
		for range strings.Count(form, "%d") {
			n = append(n, rapid.IntRange(-500, 500).Draw(t, "n"))
		}
		text += fmt.Sprintf(form, n...)
	}
	return text
}

// TestWindowIsKept: whatever is drawn, nothing of it is outside the window, and
// what is drawn without one and lies inside is there.
func TestWindowIsKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := anyInstructions(t)
		all, err := Read(context.Background(), "test", []byte(text), nil)
		if err != nil {
			t.Fatal(err)
		}
		cut, err := Read(context.Background(), "test", []byte("IW-100,-50,200,300;"+text), nil)
		if err != nil {
			t.Fatal(err)
		}
		window := paths.RectOf(pt(-2.5, -1.25), pt(5, 7.5))
		var want, got float64
		for _, s := range all.Strokes() {
			for _, c := range s {
				for _, span := range paths.Within(c, window) {
					want += paths.Sub(c, span.From, span.To).Length()
				}
			}
		}
		for _, s := range cut.Strokes() {
			got += s.Length()
			if by, side := window.Excess(s.Bounds()); by > 1e-6 {
				t.Fatalf("%s: it leaves the window by %v at the %s", text, by, side)
			}
		}
		if math.Abs(got-want) > 1e-6*(1+want) {
			t.Fatalf("%s: %v mm are drawn of %v in the window", text, got, want)
		}
	})
}
