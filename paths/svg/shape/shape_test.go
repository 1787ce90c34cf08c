package shape

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

// What the transform functions do to the point (3, 5), from the matrices of CSS
// Transforms 1, 12.1.
func TestTransformFunctions(t *testing.T) {
	s := math.Sqrt(3) / 2
	for _, tt := range []struct {
		text string
		want paths.Point
	}{
		{"matrix(1 2 3 4 5 6)", paths.Point{X: 3 + 15 + 5, Y: 6 + 20 + 6}},
		{"translate(7)", paths.Point{X: 10, Y: 5}},
		{"translate(7,-1)", paths.Point{X: 10, Y: 4}},
		{"translateX(2)", paths.Point{X: 5, Y: 5}},
		{"translateY(2)", paths.Point{X: 3, Y: 7}},
		{"scale(2)", paths.Point{X: 6, Y: 10}},
		{"scale(2 3)", paths.Point{X: 6, Y: 15}},
		{"scaleX(2)", paths.Point{X: 6, Y: 5}},
		{"scaleY(2)", paths.Point{X: 3, Y: 10}},
		{"rotate(90)", paths.Point{X: -5, Y: 3}},
		{"rotate(60)", paths.Point{X: 1.5 - 5*s, Y: 3*s + 2.5}},
		{"rotate(180 1 1)", paths.Point{X: -1, Y: -3}},
		{"skewX(45)", paths.Point{X: 8, Y: 5}},
		{"skewY(45)", paths.Point{X: 3, Y: 8}},
		{"translate(1) scale(2)", paths.Point{X: 7, Y: 10}},
		{"rotate(0.25turn)", paths.Point{X: -5, Y: 3}},
	} {
		m, err := ParseTransform(tt.text)
		if got := m.Apply(paths.Point{X: 3, Y: 5}); err != nil || got.Dist(tt.want) > 1e-12 {
			t.Errorf("%s moves (3, 5) to %v, %v; want %v", tt.text, got, err, tt.want)
		}
	}
	for _, text := range []string{"matrix(1 2 3)", "translate()", "scale(1 2 3)", "rotate(1 2)", "skewx(1 2)", "translatey(1 2)", "spin(1)", "scale 2", "scale(2"} {
		if m, err := ParseTransform(text); err == nil {
			t.Errorf("%s is read as %v", text, m)
		}
	}
}

// Dashes and the gaps between them make up the line, and no dash is longer than
// the pattern says.
func TestDashesMakeUpTheLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := func(name string) paths.Point {
			return paths.Point{X: rapid.Float64Range(-50, 50).Draw(t, name), Y: rapid.Float64Range(-50, 50).Draw(t, name)}
		}
		s := paths.Stroke{paths.Cubic{A: at("a"), B: at("b"), C: at("c"), D: at("d")}}
		on, off := rapid.Float64Range(0.5, 20).Draw(t, "on"), rapid.Float64Range(0.5, 20).Draw(t, "off")
		from := rapid.Float64Range(-100, 100).Draw(t, "offset")
		dashes := Dash([]paths.Stroke{s}, []float64{on, off}, from)
		gaps := Dash([]paths.Stroke{s}, []float64{off, on}, from-on)
		if sum, want := paths.LengthOf(dashes)+paths.LengthOf(gaps), s.Length(); math.Abs(sum-want) > 1e-5*(1+want) {
			t.Fatalf("%.6f mm of dashes and gaps of %.6f mm", sum, want)
		}
		for _, d := range dashes {
			if d.Length() > on+1e-5 {
				t.Fatalf("a dash of %.6f mm, want at most %.6f", d.Length(), on)
			}
		}
	})
}

// A point is in an area by counting how often the polygon winds about it, done
// here by summing angles.
func TestAreaAgainstWindingByAngles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var pts []paths.Point
		for range rapid.IntRange(3, 9).Draw(t, "corners") {
			pts = append(pts, paths.Point{X: rapid.Float64Range(0, 10).Draw(t, "x"), Y: rapid.Float64Range(0, 10).Draw(t, "y")})
		}
		work := 0
		evenOdd := rapid.Bool().Draw(t, "even-odd")
		a := NewArea(nil, [][]paths.Point{pts}, evenOdd, 0, &work)
		p := paths.Point{X: rapid.Float64Range(-1, 11).Draw(t, "px"), Y: rapid.Float64Range(-1, 11).Draw(t, "py")}
		turns := 0.
		for i, q := range pts {
			u, v := q.Sub(p), pts[(i+1)%len(pts)].Sub(p)
			if math.Abs(u.Cross(v)) < 1e-6 && u.Dot(v) <= 0 {
				t.Skip("on an edge")
			}
			turns += math.Atan2(u.Cross(v), u.Dot(v)) / (2 * math.Pi)
		}
		winding := int(math.Round(turns))
		want := winding != 0
		if evenOdd {
			want = winding%2 != 0
		}
		clip := &Clip{Shapes: []ClipShape{{Area: a}}}
		if got := clip.Contains(p); got != want {
			t.Fatalf("contains %v: %v, but it winds %d times", p, got, winding)
		}
	})
}
