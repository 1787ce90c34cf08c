package join

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

func line(x0, y0, x1, y1 float64) paths.Stroke { return paths.Polyline(pt(x0, y0), pt(x1, y1)) }

// drawn returns the straight-edged graph with the given nodes and edges.
func drawn(at []paths.Point, edges [][2]int) []paths.Stroke {
	out := make([]paths.Stroke, len(edges))
	for i, e := range edges {
		out[i] = paths.Polyline(at[e[0]], at[e[1]])
	}
	return out
}

// ring returns n points on a circle of radius r about the origin.
func ring(n int, r float64) []paths.Point {
	out := make([]paths.Point, n)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.1) / float64(n))
		out[i] = pt(r*cos, r*sin)
	}
	return out
}

func complete(n int) []paths.Stroke {
	var edges [][2]int
	for i := range n {
		for j := range i {
			edges = append(edges, [2]int{j, i})
		}
	}
	return drawn(ring(n, 100), edges)
}

// lattice returns the edges between neighbours among p by q points.
func lattice(p, q int) []paths.Stroke {
	var out []paths.Stroke
	for i := range p {
		for j := range q {
			x, y := 10*float64(i), 10*float64(j)
			if i+1 < p {
				out = append(out, line(x, y, x+10, y))
			}
			if j+1 < q {
				out = append(out, line(x, y, x, y+10))
			}
		}
	}
	return out
}

func petersen() []paths.Stroke {
	at := append(ring(5, 100), ring(5, 50)...)
	var edges [][2]int
	for i := range 5 {
		edges = append(edges, [2]int{i, (i + 1) % 5}, [2]int{i, i + 5}, [2]int{i + 5, (i+2)%5 + 5})
	}
	return drawn(at, edges)
}

// konigsberg is the seven bridges between two banks and two islands; the double
// bridges are bowed so that they are different lines.
func konigsberg() []paths.Stroke {
	north, south, west, east := pt(0, 50), pt(0, -50), pt(0, 0), pt(80, 0)
	bow := func(a, b paths.Point, k float64) paths.Stroke { return paths.Stroke{paths.ArcBulge(a, b, k)} }
	return []paths.Stroke{
		bow(north, west, 0.3), bow(north, west, -0.3), bow(south, west, 0.3), bow(south, west, -0.3),
		paths.Polyline(north, east), paths.Polyline(south, east), paths.Polyline(west, east),
	}
}

// Euler, "Solutio problematis ad geometriam situs pertinentis" (1736), for the
// bridges; Ore, Graphs and Their Uses, theorem 2.3, for 2k odd nodes and k
// trails; the degrees of the graphs from memory.
func TestStrokesTextbookGraphs(t *testing.T) {
	house := drawn([]paths.Point{pt(0, 0), pt(10, 0), pt(10, 10), pt(0, 10), pt(5, 17)},
		[][2]int{{0, 1}, {1, 2}, {2, 3}, {3, 0}, {0, 2}, {1, 3}, {2, 4}, {4, 3}})
	star := []paths.Stroke{line(0, 0, 10, 0), line(0, 0, -5, 8), line(0, 0, -5, -8)}
	tests := []struct {
		name    string
		strokes []paths.Stroke
		want    int
		closed  bool
	}{
		{"seven bridges", konigsberg(), 2, false},
		{"house with a roof", house, 1, false},
		{"star of three", star, 2, false},
		{"petersen", petersen(), 5, false},
		{"crossing with a node", []paths.Stroke{line(-9, 0, 0, 0), line(0, 0, 9, 0), line(0, -9, 0, 0), line(0, 0, 0, 9)}, 2, false},
		{"crossing without", []paths.Stroke{line(-9, 0, 9, 0), line(0, -9, 0, 9)}, 2, false},
		{"two parts", append(complete(5), line(500, 0, 600, 0)), 2, false},
		{"K4", complete(4), 2, false},
		{"K5", complete(5), 1, true},
		{"K6", complete(6), 3, false},
		{"K7", complete(7), 1, true},
		{"K8", complete(8), 4, false},
		{"K9", complete(9), 1, true},
	}
	for _, n := range [][2]int{{3, 3}, {3, 4}, {4, 5}, {5, 5}, {6, 9}, {20, 30}} {
		p, q := n[0], n[1]
		tests = append(tests, struct {
			name    string
			strokes []paths.Stroke
			want    int
			closed  bool
		}{fmt.Sprintf("lattice %dx%d", p, q), lattice(p, q), p + q - 4, false})
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, report := mustStrokes(t, tt.strokes, Options{Tolerance: 0.01})
			if len(got) != tt.want || report.Trails != tt.want {
				t.Errorf("%d strokes, report says %d, want %d", len(got), report.Trails, tt.want)
			}
			if tt.closed && !got[0].IsClosed() {
				t.Error("the one trail is not closed")
			}
			if report.MergedMM > 1e-9 {
				t.Errorf("merged %g mm where nothing is double", report.MergedMM)
			}
			sameLength(t, got, tt.strokes, 1e-9)
			checkValid(t, got)
		})
	}
}

func checkValid(t rapid.TB, strokes []paths.Stroke) {
	t.Helper()
	for i, s := range strokes {
		if err := s.Validate(); err != nil {
			t.Fatalf("stroke %d: %v", i, err)
		}
	}
}

func sameLength(t rapid.TB, got, want []paths.Stroke, tol float64) {
	t.Helper()
	if g, w := paths.LengthOf(got), paths.LengthOf(want); math.Abs(g-w) > tol*max(1, w) {
		t.Errorf("%.9f mm drawn, want %.9f", g, w)
	}
}

// TestStrokesRandomGraphs compares the number of trails with the number of odd
// nodes of random multigraphs, counted from the list of edges.
func TestStrokesRandomGraphs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 12).Draw(t, "nodes")
		m := rapid.IntRange(1, 30).Draw(t, "edges")
		at := ring(n, 50)
		parent := make([]int, n)
		for i := range parent {
			parent[i] = i
		}
		root := func(i int) int {
			for parent[i] != i {
				i = parent[i]
			}
			return i
		}
		degree := make([]int, n)
		var strokes []paths.Stroke
		for k := range m {
			a := rapid.IntRange(0, n-1).Draw(t, "a")
			b := rapid.IntRange(0, n-1).Draw(t, "b")
			if a == b {
				continue
			}
			parent[root(a)] = root(b)
			degree[a]++
			degree[b]++
			// Each edge bows its own way, so that none is double.
			strokes = append(strokes, paths.Stroke{paths.ArcBulge(at[a], at[b], 0.01*float64(k+1))})
		}
		odd := make([]int, n)
		for i, d := range degree {
			odd[root(i)] += d % 2
		}
		want := 0
		for i, d := range degree {
			if d > 0 && root(i) == i {
				want += max(1, odd[i]/2)
			}
		}
		got, _ := mustStrokes(t, strokes, Options{Tolerance: 0.01})
		if len(got) != want {
			t.Fatalf("%d trails, want %d", len(got), want)
		}
		if again, _ := mustStrokes(t, got, Options{Tolerance: 0.01}); len(again) != want {
			t.Errorf("joined again: %d trails, want %d", len(again), want)
		}
		sameLength(t, got, strokes, 1e-9)
		checkValid(t, got)
	})
}

func TestStrokesOverlaps(t *testing.T) {
	rect := func(x0, y0, x1, y1 float64) paths.Stroke {
		return paths.Polyline(pt(x0, y0), pt(x1, y0), pt(x1, y1), pt(x0, y1), pt(x0, y0))
	}
	arc := func(from, sweep float64) paths.Stroke {
		return paths.Stroke{paths.ArcAround(pt(5, 5), 10, from, sweep)}
	}
	circle := paths.Stroke{paths.Circle(pt(5, 5), 10)}
	tests := []struct {
		name    string
		strokes []paths.Stroke
		merged  float64
		want    int
	}{
		{"same line", []paths.Stroke{line(0, 0, 10, 0), line(0, 0, 10, 0)}, 10, 1},
		{"same line back", []paths.Stroke{line(0, 0, 10, 0), line(10, 0, 0, 0)}, 10, 1},
		{"inside", []paths.Stroke{line(0, 0, 10, 0), line(2, 0, 7, 0)}, 5, 1},
		{"staggered", []paths.Stroke{line(0, 0, 10, 0), line(4, 0, 15, 0)}, 6, 1},
		{"end to end", []paths.Stroke{line(0, 0, 10, 0), line(10, 0, 15, 0)}, 0, 1},
		{"within tolerance", []paths.Stroke{line(0, 0, 10, 0), line(0.004, 0.005, 10.003, -0.002)}, 10, 1},
		{"apart", []paths.Stroke{line(0, 0, 10, 0), line(0, 0.5, 10, 0.5)}, 0, 2},
		{"shared side", []paths.Stroke{rect(0, 0, 10, 10), rect(10, 0, 20, 10)}, 10, 1},
		{"part of a side", []paths.Stroke{rect(0, 0, 10, 10), rect(10, 3, 20, 6)}, 3, 1},
		{"offset sides", []paths.Stroke{rect(0, 0, 10, 10), rect(10, 4, 20, 14)}, 6, 1},
		{"same circle", []paths.Stroke{circle, circle}, 20 * math.Pi, 1},
		{"circle begun elsewhere", []paths.Stroke{circle, arc(2, -2*math.Pi)}, 20 * math.Pi, 1},
		{"arc on circle", []paths.Stroke{circle, arc(5, 3)}, 30, 1},
		{"arcs that overlap", []paths.Stroke{arc(0, 2), arc(1.5, 2)}, 5, 1},
		{"arcs that overlap at both ends", []paths.Stroke{arc(0, 4), arc(6.5, -3)}, 10 * (7 - 2*math.Pi), 1},
		{"three times", []paths.Stroke{line(0, 0, 10, 0), line(3, 0, 13, 0), line(12, 0, -1, 0)}, 19, 1},
		{"dots", []paths.Stroke{paths.Polyline(pt(1, 1)), paths.Polyline(pt(1, 1))}, 0, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, report := mustStrokes(t, tt.strokes, Options{Tolerance: 0.01})
			if math.Abs(report.MergedMM-tt.merged) > 0.02 {
				t.Errorf("merged %g mm, want %g", report.MergedMM, tt.merged)
			}
			if len(got) != tt.want {
				t.Errorf("%d strokes, want %d: %v", len(got), tt.want, got)
			}
			if l := paths.LengthOf(tt.strokes) - paths.LengthOf(got); math.Abs(l-tt.merged) > 0.05 {
				t.Errorf("%g mm fewer drawn, want %g", l, tt.merged)
			}
			checkValid(t, got)
			covers(t, got, tt.strokes, 0.011)
			kept, report := mustStrokes(t, tt.strokes, Options{Tolerance: 0.01, KeepDoubles: true})
			if report.MergedMM != 0 {
				t.Errorf("merged %g mm in spite of KeepDoubles", report.MergedMM)
			}
			sameLength(t, kept, tt.strokes, 1e-3)
		})
	}
}

// covers checks that a and b are the same set of points within tol.
func covers(t rapid.TB, a, b []paths.Stroke, tol float64) {
	t.Helper()
	const flat = 0.004 // mm; measured on polylines, not by the code under test
	for _, pair := range [][2][]paths.Stroke{{a, b}, {b, a}} {
		var others [][]paths.Point
		var boxes []paths.Rect
		for _, o := range pair[1] {
			for _, c := range o {
				pts := paths.Stroke{c}.Flatten(flat)
				others, boxes = append(others, pts), append(boxes, paths.RectOf(pts...).Grow(tol+flat))
			}
		}
		for i, s := range pair[0] {
			for _, p := range s.Flatten(flat) {
				least := math.Inf(1)
				for k, pts := range others {
					if !boxes[k].Contains(p) {
						continue
					}
					for j := 1; j < len(pts); j++ {
						_, d := paths.Line{A: pts[j-1], B: pts[j]}.Nearest(p)
						least = min(least, d)
					}
				}
				if least > tol+2*flat {
					t.Fatalf("stroke %d: %v is %g mm from the other drawing", i, p, least)
				}
			}
		}
	}
}

func TestStrokesTouching(t *testing.T) {
	tests := []struct {
		name    string
		strokes []paths.Stroke
		want    int
	}{
		{"T", []paths.Stroke{line(0, 0, 10, 0), line(5, 0, 5, 8)}, 2},
		{"T within tolerance", []paths.Stroke{line(0, 0, 10, 0), line(5, 0.009, 5, 8)}, 2},
		{"T short of it", []paths.Stroke{line(0, 0, 10, 0), line(5, 0.02, 5, 8)}, 2},
		{"bridge between two lines", []paths.Stroke{line(0, 0, 10, 0), line(0, 5, 10, 5), line(5, 0, 5, 5)}, 3},
		{"tail on a circle", []paths.Stroke{{paths.Circle(pt(0, 0), 10)}, line(0, 10, 0, 20)}, 1},
		{"chord of a circle", []paths.Stroke{{paths.Circle(pt(0, 0), 10)}, line(0, -10, 0, 10)}, 1},
		{"tail on a cubic", []paths.Stroke{
			{paths.Cubic{A: pt(0, 0), B: pt(5, 10), C: pt(10, 10), D: pt(15, 0)}, paths.Line{A: pt(15, 0), B: pt(0, 0)}},
			paths.Polyline(paths.Cubic{A: pt(0, 0), B: pt(5, 10), C: pt(10, 10), D: pt(15, 0)}.At(0.3), pt(0, 20)),
		}, 1},
		{"two touch from both sides", []paths.Stroke{line(0, 0, 10, 0), line(5, 0, 5, 8), line(5, 0, 5, -8)}, 2},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, report := mustStrokes(t, tt.strokes, Options{Tolerance: 0.01})
			if len(got) != tt.want {
				t.Errorf("%d strokes, want %d: %+v", len(got), tt.want, report)
			}
			checkValid(t, got)
			covers(t, got, tt.strokes, 0.011)
		})
	}
}

// TestStrokesFlowsThroughCrossings: of all ways to draw a cross of two bent lines
// with a common node, the pen goes straight on.
func TestStrokesFlowsThroughCrossings(t *testing.T) {
	arms := []paths.Stroke{line(0, 0, 10, 1), line(0, 0, 2, 10), line(-10, -1, 0, 0), line(-1, -10, 0, 0)}
	got, _ := mustStrokes(t, arms, Options{Tolerance: 0.01})
	if len(got) != 2 {
		t.Fatalf("%d strokes, want 2", len(got))
	}
	for _, s := range got {
		if bend := s[0].Tangent(1).Dot(s[1].Tangent(0)); bend < 0.99 {
			t.Errorf("the pen turns at the crossing: %v", s)
		}
	}
}

// TestStrokesKeepsTheDrawing throws random drawings at Strokes: what goes in comes
// out as a set of points within the tolerance.
func TestStrokesKeepsTheDrawing(t *testing.T) {
	const tol = 0.05
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		jitter := rapid.SampledFrom([]float64{0, 0.02}).Draw(t, "jitter")
		strokes := randomDrawing(r, rapid.IntRange(1, 14).Draw(t, "strokes"), jitter)
		got, report := mustStrokes(t, strokes, Options{Tolerance: tol})
		checkValid(t, got)
		covers(t, got, strokes, 2*tol)
		if l := paths.LengthOf(strokes) - paths.LengthOf(got); math.Abs(l-report.MergedMM) > 8*tol*float64(len(strokes)) {
			t.Errorf("%g mm fewer drawn, but %g mm merged", l, report.MergedMM)
		}
	})
}

// randomDrawing makes strokes of all kinds that often meet, nearly meet, touch
// and lie on one another.
func randomDrawing(r *rand.Rand, n int, jitter float64) []paths.Stroke {
	knot := func() paths.Point {
		p := pt(float64(5*r.IntN(5)), float64(5*r.IntN(5)))
		if r.IntN(3) == 0 {
			p = p.Add(pt(jitter*(r.Float64()-0.5), jitter*(r.Float64()-0.5)))
		}
		return p
	}
	out := make([]paths.Stroke, n)
	for i := range out {
		a, b := knot(), knot()
		switch r.IntN(6) {
		case 0:
			out[i] = paths.Stroke{paths.ArcBulge(a, b, float64(r.IntN(5)-2)/2)}
		case 1:
			out[i] = paths.Stroke{paths.Cubic{A: a, B: a.Add(pt(r.Float64()*8, r.Float64()*8)), C: b.Add(pt(-3, 4)), D: b}}
		case 2:
			out[i] = paths.Stroke{paths.ArcAround(a, 5, r.Float64()*6, 1+5*r.Float64())}
		default:
			out[i] = paths.Polyline(a, b, knot())
		}
	}
	return out
}

func mustStrokes(t rapid.TB, strokes []paths.Stroke, opt Options) ([]paths.Stroke, Report) {
	t.Helper()
	out, report, err := Strokes(strokes, opt)
	if err != nil {
		t.Fatal(err)
	}
	return out, report
}

// A curve and its reverse are one, whichever comes first, and no other is: compared pair
// by pair.
func TestOneWay(t *testing.T) {
	a, b, c := pt(1, 2), pt(1, 5), pt(4, 3)
	curves := []paths.Curve{
		paths.Line{A: a, B: b}, paths.Line{A: a, B: c}, paths.Line{A: a, B: a},
		paths.Arc{From: a, To: b, Centre: pt(1, 3.5), Sweep: math.Pi}, paths.Arc{From: a, To: b, Centre: pt(1, 3.5), Sweep: -math.Pi},
		paths.Circle(c, 2), paths.Arc{From: a, To: a, Centre: c, Sweep: 2 * math.Pi},
		paths.Cubic{A: a, B: b, C: c, D: a}, paths.Cubic{A: a, B: b, C: b, D: a}, paths.Cubic{A: a, B: c, C: b, D: b},
	}
	for _, k := range curves {
		curves = append(curves, k.Reverse())
	}
	for _, k := range curves {
		for _, l := range curves {
			if got, want := oneWay(k) == oneWay(l), k == l || k == l.Reverse(); got != want {
				t.Errorf("%v and %v: one curve is %v, want %v", k, l, got, want)
			}
		}
	}
}
