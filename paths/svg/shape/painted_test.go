package shape

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
)

// With round ends and corners what is painted of a stroke are the points within half the
// width of it (SVG 2, Painting, "computing the shape of the stroke"), judged by the
// nearest of many places along it.
func TestPaintedIsWhatIsNear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coordinate := rapid.Float64Range(-20, 20)
		point := func(label string) paths.Point {
			return paths.Point{X: coordinate.Draw(t, label+".x"), Y: coordinate.Draw(t, label+".y")}
		}
		at := point("start")
		var s paths.Stroke
		for range rapid.IntRange(1, 4).Draw(t, "curves") {
			to := point("to")
			if to.Dist(at) < 0.01 {
				continue
			}
			switch rapid.IntRange(0, 2).Draw(t, "kind") {
			case 0:
				s = append(s, paths.Line{A: at, B: to})
			case 1:
				s = append(s, paths.ArcBulge(at, to, rapid.Float64Range(-3, 3).Draw(t, "bulge")))
			default:
				s = append(s, paths.Cubic{A: at, B: point("b"), C: point("c"), D: to})
			}
			at = to
		}
		if len(s) == 0 {
			return
		}
		half := rapid.Float64Range(0.5, 8).Draw(t, "half")
		budget := 1_000_000
		painted := Painted([]paths.Stroke{s}, Brush{Map: paths.Scale(half, half), Cap: RoundCap, Join: RoundJoin, MiterLimit: 4}, 0.005, &budget)
		work := 0
		polygons := make([][]paths.Point, len(painted))
		for i, p := range painted {
			polygons[i] = p.Flatten(0.001)
		}
		area := NewArea(painted, polygons, false, 1e-9, &work)
		along := s.Flatten(0.0005)
		for range 20 {
			p := point("probe")
			off := math.Inf(1)
			for i := 1; i < len(along); i++ {
				_, d := paths.Line{A: along[i-1], B: along[i]}.Nearest(p)
				off = min(off, d)
			}
			if math.Abs(off-half) < 0.02*max(1, half) {
				continue
			}
			if got := area.contains(p, true); got != (off < half) {
				t.Fatalf("%v is %.4f off %v; painted %v with half a width of %.4f", p, off, s, got, half)
			}
		}
	})
}

// Ends and corners of straight lines, by their areas in the plane (SVG 2, stroke-linecap
// and stroke-linejoin): half widths of 1.
func TestPaintedEndsAndCorners(t *testing.T) {
	pt := func(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }
	line := paths.Polyline(pt(0, 0), pt(10, 0))
	right := paths.Polyline(pt(0, 0), pt(10, 0), pt(10, 10))
	ring := paths.Stroke{paths.Circle(pt(0, 0), 5)}
	small := paths.Stroke{paths.Circle(pt(0, 0), 0.5)}
	for _, tt := range []struct {
		name    string
		s       paths.Stroke
		cap     Cap
		join    Join
		limit   float64
		in, out []paths.Point
	}{
		{"butt", line, ButtCap, MiterJoin, 4, []paths.Point{pt(0.01, 0.99), pt(9.99, -0.99)}, []paths.Point{pt(-0.01, 0), pt(10.01, 0), pt(5, 1.01)}},
		{"square", line, SquareCap, MiterJoin, 4, []paths.Point{pt(-0.99, 0.99), pt(10.99, -0.99)}, []paths.Point{pt(-1.01, 0), pt(11.01, 0)}},
		{"round", line, RoundCap, MiterJoin, 4, []paths.Point{pt(-0.99, 0), pt(10.7, 0.7)}, []paths.Point{pt(-0.72, 0.72), pt(11.01, 0)}},
		{"mitred", right, ButtCap, MiterJoin, 4, []paths.Point{pt(10.99, -0.99)}, []paths.Point{pt(11.01, -0.5)}},
		{"mitred to the limit", right, ButtCap, MiterJoin, 1.4143, []paths.Point{pt(10.99, -0.99)}, nil},
		{"beyond the limit", right, ButtCap, MiterJoin, 1.4142, []paths.Point{pt(10.49, -0.49)}, []paths.Point{pt(10.51, -0.51)}},
		{"bevelled", right, ButtCap, BevelJoin, 4, []paths.Point{pt(10.49, -0.49)}, []paths.Point{pt(10.51, -0.51)}},
		{"rounded", right, ButtCap, RoundJoin, 4, []paths.Point{pt(10.7, -0.7)}, []paths.Point{pt(10.72, -0.72)}},
		{"a ring", ring, ButtCap, MiterJoin, 4, []paths.Point{pt(4.01, 0), pt(0, 5.99)}, []paths.Point{pt(0, 0), pt(3.99, 0), pt(-6.01, 0)}},
		{"a ring narrower than its line", small, ButtCap, MiterJoin, 4, []paths.Point{pt(0, 0), pt(0.3, 0), pt(1.49, 0)}, []paths.Point{pt(1.51, 0)}},
		{"a round dot", paths.Polyline(pt(3, 3)), RoundCap, MiterJoin, 4, []paths.Point{pt(3, 3.99)}, []paths.Point{pt(3.72, 3.72)}},
		{"a square dot", paths.Polyline(pt(3, 3)), SquareCap, MiterJoin, 4, []paths.Point{pt(3.99, 3.99)}, []paths.Point{pt(3, 4.01)}},
		{"a dot of no end", paths.Polyline(pt(3, 3)), ButtCap, MiterJoin, 4, nil, []paths.Point{pt(3, 3)}},
	} {
		budget := 1_000_000
		painted := Painted([]paths.Stroke{tt.s}, Brush{Map: paths.Identity(), Cap: tt.cap, Join: tt.join, MiterLimit: tt.limit}, 0.001, &budget)
		work := 0
		polygons := make([][]paths.Point, len(painted))
		for i, p := range painted {
			polygons[i] = p.Flatten(0.0005)
		}
		area := NewArea(painted, polygons, false, 1e-9, &work)
		for _, p := range tt.in {
			if !area.contains(p, true) {
				t.Errorf("%s: %v is not painted", tt.name, p)
			}
		}
		for _, p := range tt.out {
			if area.contains(p, true) {
				t.Errorf("%s: %v is painted", tt.name, p)
			}
		}
	}
}
