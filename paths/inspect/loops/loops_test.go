package loops

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

// two is a row of loops that takes two channels of monk's cloth, 12 x 13 an inch.
var two = Gauge{Across: 2 * 25.4 / 12, Along: 2 * 25.4 / 13}

// box is a rectangle in rows of loops.
func box(x, y, w, h float64) paths.Stroke {
	at := func(x, y float64) paths.Point { return paths.Point{X: x * two.Across, Y: y * two.Along} }
	return paths.Polyline(at(x, y), at(x+w, y), at(x+w, y+h), at(x, y+h), at(x, y))
}

func line(pts ...float64) paths.Stroke {
	var out []paths.Point
	for i := 0; i < len(pts); i += 2 {
		out = append(out, paths.Point{X: pts[i] * two.Across, Y: pts[i+1] * two.Along})
	}
	return paths.Polyline(out...)
}

func shown(r Result) string {
	var list []string
	for _, f := range r.Found {
		kind := []string{"empty", "narrow"}[f.Kind]
		if f.Kind == Narrow && !f.Whole {
			kind = "narrow part"
		}
		list = append(list, fmt.Sprintf("%s %.1f rows at %.0f,%.0f", kind, f.Rows, f.At.X/two.Across, f.At.Y/two.Along))
	}
	return strings.Join(list, "; ")
}

// What is found in small drawings, worked out by hand, in rows of loops.
func TestFound(t *testing.T) {
	big := box(0, 0, 20, 20)
	for _, tt := range []struct {
		name    string
		strokes []paths.Stroke
		want    string
	}{
		{"nothing", nil, ""},
		{"an open line", []paths.Stroke{line(0, 0, 20, 20)}, ""},
		{"a large square", []paths.Stroke{big}, ""},
		{"a square that holds a loop exactly", []paths.Stroke{box(0, 0, 1, 1)}, "narrow 1.0 rows at 0,0"},
		{"a square too small for a loop", []paths.Stroke{box(0, 0, 0.9, 8)}, "empty 0.9 rows at 0,1"},
		{"a square of two rows exactly", []paths.Stroke{box(3.3, 5.7, 2, 2)}, ""},
		{"a bar of two rows exactly", []paths.Stroke{box(0.15, 0.4, 12, 2)}, ""},
		{"a bar narrower than two rows", []paths.Stroke{box(0, 0, 12, 1.5)}, "narrow 1.5 rows at 1,1"},
		{"a pane between lines of several strokes", []paths.Stroke{big, line(5, 0, 5, 20), line(0, 9, 20, 9), line(5.8, 0, 5.8, 20)},
			"empty 0.8 rows at 5,9; empty 0.8 rows at 5,0"},
		{"a neck between two rooms", []paths.Stroke{line(0, 0, 8, 0, 8, 3, 14, 3, 14, 0, 22, 0, 22, 8, 14, 8, 14, 4.4, 8, 4.4, 8, 8, 0, 8, 0, 0)},
			"narrow part 1.4 rows at 11,4"},
		{"corners of a square, a hexagon and a triangle", []paths.Stroke{big, ring(40, 0, 9, 6), ring(70, 0, 12, 3)}, ""},
		{"a sharp point, as far as no circle reaches", []paths.Stroke{line(0, 0, 20, -3, 20, 3, 0, 0)}, "narrow part 1.4 rows at 3,0"},
	} {
		r := Inspect(tt.strokes, two)
		got := shown(r)
		if tt.name == "a square that holds a loop exactly" && len(r.Found) == 1 { // anywhere near its middle
			got = strings.Split(got, " at ")[0]
			tt.want = "narrow 1.0 rows"
		}
		if !r.Whole {
			t.Errorf("%s: not looked at", tt.name)
		}
		if g, w := dropPlaces(got), dropPlaces(tt.want); g != w {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
}

// dropPlaces leaves out where a bar of even width is widest: anywhere along it.
func dropPlaces(text string) string {
	var out []string
	for _, part := range strings.Split(text, "; ") {
		what, _, _ := strings.Cut(part, " at ")
		out = append(out, what)
	}
	return strings.Join(out, "; ")
}

// ring is a regular polygon round x, y, in rows.
func ring(x, y, r float64, n int) paths.Stroke {
	var pts []float64
	for i := range n + 1 {
		a := 2 * math.Pi * float64(i%n) / float64(n)
		pts = append(pts, x+r*math.Cos(a), y+r*math.Sin(a))
	}
	return line(pts...)
}

// The circle that fits in a rectangle, a circle or a triangle is known from school:
// whatever place and turn a shape has, it is judged by that.
func TestInscribedCircle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := Gauge{rapid.Float64Range(1.5, 6).Draw(t, "across"), rapid.Float64Range(1.5, 6).Draw(t, "along")}
		width := rapid.Float64Range(0.3, 3).Draw(t, "width")
		var shape paths.Stroke // in rows
		switch rapid.IntRange(0, 2).Draw(t, "shape") {
		case 0:
			long := width * rapid.Float64Range(1, 6).Draw(t, "longer")
			shape = paths.Polyline(paths.Point{}, paths.Point{X: long}, paths.Point{X: long, Y: width}, paths.Point{Y: width}, paths.Point{})
		case 1:
			shape = paths.Stroke{paths.Circle(paths.Point{}, width/2)}
		case 2: // of equal sides, the circle's diameter being the side over the root of 3
			side := width * math.Sqrt(3)
			shape = paths.Polyline(paths.Point{}, paths.Point{X: side}, paths.Point{X: side / 2, Y: side * math.Sqrt(3) / 2}, paths.Point{})
		}
		turn := paths.Rotate(rapid.Float64Range(0, 6).Draw(t, "turn")).
			Then(paths.Translate(paths.Point{X: rapid.Float64Range(-50, 50).Draw(t, "x"), Y: rapid.Float64Range(-50, 50).Draw(t, "y")})).
			Then(paths.Scale(g.Across, g.Along))
		r := Inspect([]paths.Stroke{shape.Transform(turn)}, g)
		var want Kind = -1
		switch {
		case width < 0.96:
			want = Empty
		case width > 1.02 && width < 1.96:
			want = Narrow
		case width < 2.04:
			return // so near that either may be said
		}
		got := Kind(-1)
		for _, f := range r.Found {
			if f.Whole {
				got = f.Kind
				if math.Abs(f.Rows-width) > 0.03 {
					t.Fatalf("%g rows wide, said %g", width, f.Rows)
				}
			}
		}
		if width < 0.75 && got == -1 {
			return // it may be a point where lines meet, or vanish in them; a speck or close lines are told
		}
		if got != want {
			t.Fatalf("%g rows wide: %v, want %v", width, r.Found, want)
		}
	})
}

// A drawing too large for a picture is said not to be looked at.
func TestTooLarge(t *testing.T) {
	if r := Inspect([]paths.Stroke{box(0, 0, 5000, 5000)}, two); r.Whole || len(r.Found) > 0 {
		t.Errorf("%+v", r)
	}
	if r := Inspect([]paths.Stroke{box(0, 0, 1, 1)}, Gauge{}); !r.Whole || len(r.Found) > 0 {
		t.Errorf("%+v", r)
	}
}
