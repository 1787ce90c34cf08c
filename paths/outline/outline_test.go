package outline

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

func box(x, y, w, h float64) []paths.Stroke {
	return []paths.Stroke{paths.Polyline(pt(x, y), pt(x+w, y), pt(x+w, y+h), pt(x, y+h), pt(x, y))}
}

func disc(x, y, r float64) []paths.Stroke { return []paths.Stroke{{paths.Circle(pt(x, y), r)}} }

func all(t interface{ Fatal(...any) }, fills []Fill) []paths.Stroke {
	seen, err := Seen(fills, Options{})
	if err != nil {
		t.Fatal(err)
	}
	var list []paths.Stroke
	for _, v := range seen {
		list = append(list, v.Lines...)
	}
	return list
}

// What is seen of simple fills, by the count of strokes and curves, and by
// lengths from elementary geometry.
func TestSeen(t *testing.T) {
	two := func(a, b []paths.Stroke) []Fill { return []Fill{{Area: a}, {Area: b}} }
	colours := func(fills []Fill, names ...string) []Fill {
		for i := range fills {
			fills[i].Colour = names[i]
		}
		return fills
	}
	sheer := func(fills []Fill, i int) []Fill {
		fills[i].Sheer = true
		return fills
	}
	for _, tt := range []struct {
		name            string
		fills           []Fill
		strokes, curves int
		length          float64
	}{
		{"none", nil, 0, 0, 0},
		{"a disc", []Fill{{Area: disc(0, 0, 10)}}, 1, 1, 20 * math.Pi},
		{"apart", two(disc(0, 0, 10), disc(30, 0, 10)), 2, 2, 40 * math.Pi},
		// Centres r apart: each circle shows two thirds of itself.
		{"discs over one another", two(disc(0, 0, 10), disc(10, 0, 10)), 1, 2, 2 * 20 * math.Pi * 2 / 3},
		{"a disc in a disc", two(disc(0, 0, 10), disc(0, 0, 5)), 1, 1, 20 * math.Pi},
		{"a disc under a disc", two(disc(0, 0, 5), disc(0, 0, 10)), 1, 1, 20 * math.Pi},
		{"the same twice", two(disc(0, 0, 10), disc(0, 0, 10)), 1, 1, 20 * math.Pi},
		{"the same turned", two(disc(0, 0, 10), []paths.Stroke{{paths.ArcAround(pt(0, 0), 10, 1, -2*math.Pi)}}), 1, 1, 20 * math.Pi},
		{"side by side", two(box(0, 0, 10, 10), box(10, 0, 10, 10)), 1, 4, 60},
		{"side by side, one lower", two(box(0, 0, 10, 10), box(10, 2, 10, 5)), 1, 8, 60},
		{"at a corner", two(box(0, 0, 10, 10), box(10, 10, 10, 10)), 2, 8, 80},
		{"a cross", two(box(0, 10, 30, 10), box(10, 0, 10, 30)), 1, 12, 120},
		{"a hole", []Fill{{Area: append(box(0, 0, 30, 30), box(10, 10, 10, 10)...), EvenOdd: true}}, 2, 8, 160},
		{"no hole", []Fill{{Area: append(box(0, 0, 30, 30), box(10, 10, 10, 10)...)}}, 1, 4, 120},
		{"two colours", colours(two(disc(0, 0, 10), disc(10, 0, 10)), "red", "blue"), 2, 2, 20*math.Pi*2/3 + 20*math.Pi},
		{"an eye", colours([]Fill{{Area: disc(0, 0, 10)}, {Area: disc(0, 0, 6)}, {Area: disc(0, 0, 2)}}, "black", "white", "black"), 3, 3, 2 * math.Pi * 18},
		{"hidden by another colour", colours(two(disc(0, 0, 5), disc(0, 0, 10)), "red", "blue"), 1, 1, 20 * math.Pi},
		{"under a sheer colour", sheer(colours(two(disc(0, 0, 5), disc(0, 0, 10)), "red", "blue"), 1), 2, 2, 30 * math.Pi},
		{"an edge of two colours", colours(two(box(0, 0, 10, 10), box(10, 0, 10, 10)), "red", "blue"), 2, 7, 70},
		{"a figure of eight", []Fill{{Area: []paths.Stroke{paths.Polyline(pt(0, 0), pt(10, 10), pt(10, 0), pt(0, 10), pt(0, 0))}}}, 1, 4, 20 + 4*math.Sqrt(50)},
		{"not closed", []Fill{{Area: []paths.Stroke{paths.Polyline(pt(0, 0), pt(10, 0), pt(10, 10))}}}, 1, 3, 20 + math.Sqrt(200)},
		{"without area", []Fill{{Area: []paths.Stroke{paths.Polyline(pt(0, 0), pt(10, 0))}}}, 0, 0, 0},
		{"straight cubics along lines", two(box(0, 0, 10, 10), []paths.Stroke{{
			paths.Cubic{A: pt(2, 0), B: pt(4, 0), C: pt(4, 0), D: pt(8, 0)}, paths.Line{A: pt(8, 0), B: pt(5, -5)}, paths.Line{A: pt(5, -5), B: pt(2, 0)},
		}}), 1, 7, 40 - 6 + 2*math.Sqrt(34)},
		{"a loop of a cubic", []Fill{{Area: []paths.Stroke{{paths.Cubic{A: pt(0, 0), B: pt(30, 30), C: pt(-20, 30), D: pt(10, 0)}}}}}, 0, 0, -1},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := all(t, tt.fills)
			curves := 0
			for _, s := range got {
				if !s.IsClosed() && !strings.HasPrefix(tt.name, "two c") && !strings.HasPrefix(tt.name, "an edge") {
					t.Errorf("%v is not closed", s)
				}
				curves += len(s)
			}
			if tt.length < 0 {
				checkAgainstPoints(t, tt.fills, got, 2000, pt(-10, -5), pt(20, 30))
				return
			}
			if l := paths.LengthOf(got); len(got) != tt.strokes || curves != tt.curves || math.Abs(l-tt.length) > 1e-3 {
				t.Errorf("%d strokes of %d curves, %.4f mm long; want %d of %d, %.4f mm:\n%v", len(got), curves, l, tt.strokes, tt.curves, tt.length, got)
			}
		})
	}
}

// What no other edge touches is the same stroke, to the last bit.
func TestSeenLeavesAlone(t *testing.T) {
	s := paths.Stroke{paths.Cubic{A: pt(0, 0), B: pt(1.1, 7), C: pt(9, 7), D: pt(11.3, 0)}, paths.Line{A: pt(11.3, 0), B: pt(0, 0)}}
	got := all(t, []Fill{{Area: []paths.Stroke{s}}, {Area: disc(40, 0, 3)}})
	if len(got) != 2 || !slices.Equal(got[0], s) {
		t.Errorf("seen as %v, want %v", got, s)
	}
}

// Through a window the edge of the window is drawn where it ends a fill. Lengths
// are from elementary geometry.
func TestSeenThroughAWindow(t *testing.T) {
	window := func(edges ...[]paths.Stroke) *Window {
		w := &Window{}
		for _, e := range edges {
			w.Shapes = append(w.Shapes, WindowShape{Region: &Region{Edge: e}})
		}
		return w
	}
	within := func(w, next *Window) *Window { return &Window{Shapes: w.Shapes, Next: next} }
	right := window(box(0, -100, 100, 200))
	ring := &Window{Shapes: []WindowShape{{Region: &Region{Edge: append(disc(0, 0, 8), disc(0, 0, 4)...), EvenOdd: true}}}}
	for _, tt := range []struct {
		name            string
		fills           []Fill
		strokes, curves int
		length          float64
	}{
		{"half a disc", []Fill{{Area: disc(0, 0, 5), Window: right}}, 1, 2, 5*math.Pi + 10},
		{"all of a disc", []Fill{{Area: disc(50, 0, 5), Window: right}}, 1, 1, 10 * math.Pi},
		{"none of a disc", []Fill{{Area: disc(-50, 0, 5), Window: right}}, 0, 0, 0},
		{"a window within a fill", []Fill{{Area: box(-50, -50, 100, 100), Window: window(disc(0, 0, 5))}}, 1, 1, 10 * math.Pi},
		{"a ring of a fill", []Fill{{Area: box(-50, -50, 100, 100), Window: ring}}, 2, 2, 24 * math.Pi},
		{"two windows over one another", []Fill{{Area: box(-50, -50, 100, 100), Window: window(disc(0, 0, 10), disc(10, 0, 10))}}, 1, 2, 2 * 20 * math.Pi * 2 / 3},
		{"one window within another", []Fill{{Area: box(-50, -50, 100, 100), Window: within(window(disc(0, 0, 10)), window(disc(10, 0, 10)))}}, 1, 2, 2 * 20 * math.Pi / 3},
		{"a shape of a window within another", []Fill{{Area: box(-50, -50, 100, 100), Window: &Window{Shapes: []WindowShape{{Region: &Region{Edge: disc(0, 0, 10)}, Within: right}}}}}, 1, 2, 10*math.Pi + 20},
		{"a window of no shapes", []Fill{{Area: disc(0, 0, 5), Window: &Window{}}}, 0, 0, 0},
		// The upper half disc hides the edge of the lower disc in it, and the lower
		// disc is seen beside it.
		{"half a disc over a disc", []Fill{{Area: disc(0, 0, 3), Colour: "red"}, {Area: disc(0, 0, 5), Colour: "blue", Window: right}}, 2, -1, 3*math.Pi + 5*math.Pi + 10},
		{"the line of a window once", []Fill{{Area: box(-9, 0, 18, 9), Colour: "red", Window: right}, {Area: box(-9, 0, 18, 9), Colour: "red", Window: right}}, 1, 4, 36},
		{"two colours in one window", []Fill{{Area: box(-9, 0, 18, 9), Colour: "red", Window: right}, {Area: box(-9, 9, 18, 9), Colour: "blue", Window: right}}, 2, -1, 9*7 - 0},
		{"undrawn through a window", []Fill{{Area: disc(0, 0, 5), Window: right, Undrawn: true}}, 0, 0, 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := all(t, tt.fills)
			curves := 0
			for _, s := range got {
				curves += len(s)
			}
			if l := paths.LengthOf(got); len(got) != tt.strokes || tt.curves >= 0 && curves != tt.curves || math.Abs(l-tt.length) > 1e-3 {
				t.Errorf("%d strokes of %d curves, %.4f mm long; want %d of %d, %.4f mm:\n%v", len(got), curves, l, tt.strokes, tt.curves, tt.length, got)
			}
		})
	}
}

// A window's edge almost on a fill's, a hair inside or outside, cuts as it should.
func TestSeenThroughAWindowAlmostOnTheEdge(t *testing.T) {
	for _, hair := range []float64{0, 1e-5, 1e-4, 5e-4, 1e-3, 2e-3, 1e-2, -1e-5, -1e-4, -1e-3, -2e-3, -1e-2} {
		for _, turn := range []float64{0, 0.3, math.Pi / 2, 2, math.Pi} {
			m := paths.Rotate(turn)
			moved := func(list []paths.Stroke) []paths.Stroke {
				var out []paths.Stroke
				for _, s := range list {
					out = append(out, s.Transform(m))
				}
				return out
			}
			fill := Fill{Area: moved(box(0, 0, 150, 100))}
			fill.Window = &Window{Shapes: []WindowShape{{Region: &Region{Edge: moved(box(hair, -hair, 100, 200))}}}}
			want := 2 * (100 + hair - max(0, hair) + 100 - max(0, -hair))
			got := all(t, []Fill{fill})
			if l := paths.LengthOf(got); len(got) != 1 || math.Abs(l-want) > 1e-6 {
				t.Errorf("hair %g, turned by %g: %d strokes, %.7f mm, want %.7f", hair, turn, len(got), l, want)
			}
		}
		oval := func(rx, ry float64) []paths.Stroke {
			return []paths.Stroke{paths.Stroke{paths.Circle(pt(0, 0), 1)}.Transform(paths.Scale(rx, ry))}
		}
		small, large := oval(50, 30), oval(50+hair, 30+hair)
		got := all(t, []Fill{{Area: small, Window: &Window{Shapes: []WindowShape{{Region: &Region{Edge: large}}}}}})
		if l, want := paths.LengthOf(got), min(paths.LengthOf(small), paths.LengthOf(large)); len(got) != 1 || math.Abs(l-want) > 1e-3 {
			t.Errorf("ovals a hair of %g apart: %d strokes, %.6f mm, want %.6f", hair, len(got), l, want)
		}
	}
}

func TestSeenKeepsGroupsApart(t *testing.T) {
	fills := []Fill{{Area: disc(0, 0, 10), Group: "a"}, {Area: disc(10, 0, 10), Group: "b"}}
	seen, err := Seen(fills, Options{})
	if err != nil || len(seen[0].Lines) != 1 || len(seen[1].Lines) != 1 {
		t.Errorf("seen %v, %v; want one arc of each", seen, err)
	}
}

func TestSeenGivesUp(t *testing.T) {
	var fills []Fill
	for i := range 300 {
		fills = append(fills, Fill{Area: box(float64(i), 0, 1, 1000)}, Fill{Area: box(0, float64(i), 1000, 1)})
	}
	if seen, err := Seen(fills, Options{Work: 10_000}); err != ErrIntricate || seen != nil {
		t.Errorf("seen %v, %v; want ErrIntricate", seen, err)
	}
}

// drawFill draws a fill of any kind in a square of about 20 mm. Coordinates
// often lie on a coarse grid, so that corners and edges meet, and always on a
// fine one, as in files.
func drawFill(t *rapid.T, i int) Fill {
	name := fmt.Sprint("f", i)
	grid := rapid.Bool().Draw(t, name+"grid")
	num := func(n string, lo, hi float64) float64 {
		if grid {
			return math.Round(rapid.Float64Range(lo, hi).Draw(t, name+n))
		}
		return math.Round(1000*rapid.Float64Range(lo, hi).Draw(t, name+n)) / 1000
	}
	point := func(n string) paths.Point { return pt(num(n+"x", 0, 20), num(n+"y", 0, 20)) }
	f := Fill{
		EvenOdd: rapid.Bool().Draw(t, name+"rule"),
		Colour:  rapid.SampledFrom([]string{"red", "red", "blue"}).Draw(t, name+"colour"),
		Sheer:   rapid.IntRange(0, 4).Draw(t, name+"sheer") == 0,
	}
	switch rapid.IntRange(0, 3).Draw(t, name+"kind") {
	case 0:
		p := point("p")
		f.Area = box(p.X, p.Y, 1+num("w", 0, 9), 1+num("h", 0, 9))
	case 1:
		p := point("p")
		f.Area = disc(p.X, p.Y, 1+num("r", 0, 6))
	case 2:
		var pts []paths.Point
		for k := range rapid.IntRange(3, 6).Draw(t, name+"corners") {
			pts = append(pts, point(fmt.Sprint("p", k)))
		}
		f.Area = []paths.Stroke{paths.Polyline(append(pts, pts[0])...)}
	case 3:
		a, b := point("a"), point("b")
		f.Area = []paths.Stroke{{
			paths.Cubic{A: a, B: point("c"), C: point("d"), D: b},
			paths.Cubic{A: b, B: point("e"), C: point("f"), D: a},
		}}
	}
	return f
}

// Of fills of one colour the result bounds what they cover together: a point
// lies inside an odd number of the resulting rings when it lies in a fill, and
// in an even number when not. A ring that a sliver leaves open is closed by a line
// across it.
func TestSeenOfOneColourIsTheUnion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var fills []Fill
		for i := range rapid.IntRange(1, 6).Draw(t, "fills") {
			f := drawFill(t, i)
			f.Colour, f.Sheer = "red", false
			fills = append(fills, f)
		}
		got := all(t, fills)
		checkAgainstPoints(t, fills, got, 150, pt(-7, -7), pt(30, 30))
	})
}

// checkAgainstPoints holds rings against the fills they bound, at points of a
// lattice that lie on no edge.
func checkAgainstPoints(t interface{ Fatalf(string, ...any) }, fills []Fill, rings []paths.Stroke, n int, lo, hi paths.Point) {
	truth := newBrute(fills, 1e-3)
	var flat [][]paths.Point
	for _, s := range rings {
		if err := s.Validate(); err != nil {
			t.Fatalf("%v", err)
		}
		flat = append(flat, closed(s).Flatten(1e-3))
	}
	for i := range n {
		// A lattice without a pattern (Roberts' sequence).
		q := pt(lo.X+math.Mod(0.5+0.7548776662466927*float64(i), 1)*(hi.X-lo.X), lo.Y+math.Mod(0.5+0.5698402909980532*float64(i), 1)*(hi.Y-lo.Y))
		if length, _ := truth.near(q, 0.01); length > 0 {
			continue
		}
		turns := 0
		for _, ring := range flat {
			turns += winding(ring, q) & 1
		}
		if want := len(truth.colours(q)) > 0; want != (turns&1 == 1) {
			t.Fatalf("at %v the fills cover: %v, the rings: %v\n%v", q, want, !want, rings)
		}
	}
}

// Every line of the result parts two colours, and every place where two
// colours part has a line of the result.
func TestSeenIsWhereColoursPart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var fills []Fill
		for i := range rapid.IntRange(1, 6).Draw(t, "fills") {
			fills = append(fills, drawFill(t, i))
		}
		truth := newBrute(fills, 1e-4)
		got := all(t, fills)
		parts := func(c paths.Curve, at float64) (bool, bool) { // whether, and whether that is clear
			p, side := c.At(at), c.Tangent(at).Left().Mul(2e-3)
			a, b := p.Add(side), p.Sub(side)
			if !truth.onOneEdge(p) {
				return false, false
			}
			return strings.Join(truth.colours(a), "+") != strings.Join(truth.colours(b), "+"), true
		}
		for _, s := range got {
			for _, c := range s {
				for _, at := range []float64{0.11, 0.37, 0.51, 0.83} {
					if differ, clear := parts(c, at); clear && !differ {
						t.Fatalf("at %v a line parts nothing: %v", c.At(at), got)
					}
				}
			}
		}
		for _, f := range fills {
			for _, s := range f.Area {
				for _, c := range s {
					for i := range 20 {
						at := (float64(i) + 0.37) / 20
						if differ, clear := parts(c, at); clear && differ && !onAny(got, c.At(at), 0.001) {
							t.Fatalf("at %v colours part but there is no line: %v", c.At(at), got)
						}
					}
				}
			}
		}
	})
}

func onAny(strokes []paths.Stroke, q paths.Point, near float64) bool {
	for _, s := range strokes {
		pts := s.Flatten(near / 10)
		for i := 1; i < len(pts); i++ {
			if dist(q, pts[i-1], pts[i]) <= near {
				return true
			}
		}
	}
	return false
}

// brute answers by fine polygons, trying all of them.
type brute struct {
	fills []Fill
	flat  [][][]paths.Point
}

func newBrute(fills []Fill, tol float64) brute {
	b := brute{fills: fills}
	for _, f := range fills {
		var list [][]paths.Point
		for _, s := range f.Area {
			list = append(list, closed(s).Flatten(tol))
		}
		b.flat = append(b.flat, list)
	}
	return b
}

func (b brute) colours(q paths.Point) []string {
	var seen []string
	for i := len(b.fills) - 1; i >= 0; i-- {
		w := 0
		for _, ring := range b.flat[i] {
			w += winding(ring, q)
		}
		if w != 0 && !(b.fills[i].EvenOdd && w%2 == 0) {
			seen = append(seen, b.fills[i].Colour)
			if !b.fills[i].Sheer {
				break
			}
		}
	}
	slices.Sort(seen)
	return slices.Compact(seen)
}

// onOneEdge reports whether p lies on one edge alone, that is nearly straight
// there: not by a corner, a tip or another edge. As much line as a straight edge
// has within a distance is not enough: the two sides of a tip have it too, but lie on
// one side of p.
func (b brute) onOneEdge(p paths.Point) bool {
	for _, d := range []float64{0.003, 0.006, 0.01} {
		length, moment := b.near(p, d)
		if math.Abs(length-2*d) > 0.04*d || moment.Len() > 0.1*d*d {
			return false
		}
	}
	return true
}

// near returns the length of the edges within d of q, and their moment about q.
func (b brute) near(q paths.Point, d float64) (length float64, moment paths.Point) {
	for _, list := range b.flat {
		for _, ring := range list {
			for i := 1; i < len(ring); i++ {
				u, v := ring[i-1].Sub(q), ring[i].Sub(q)
				if min(u.X, v.X) > d || max(u.X, v.X) < -d || min(u.Y, v.Y) > d || max(u.Y, v.Y) < -d {
					continue
				}
				l, middle := inDisc(u, v, d)
				length, moment = length+l, moment.Add(middle.Mul(l))
			}
		}
	}
	return length, moment
}

// inDisc returns how much of the segment lies within r of the origin, and the middle
// of that.
func inDisc(a, b paths.Point, r float64) (length float64, middle paths.Point) {
	u, l := b.Sub(a).Unit(), a.Dist(b)
	foot := -a.Dot(u)
	h2 := r*r - math.Pow(a.Cross(u), 2)
	if h2 <= 0 {
		return 0, middle
	}
	h := math.Sqrt(h2)
	from, to := max(0, foot-h), min(l, foot+h)
	return max(0, to-from), a.Add(u.Mul((from + to) / 2))
}

// winding returns how often the ring winds round q, by the sides that pass it on the
// right, rising and falling.
func winding(ring []paths.Point, q paths.Point) int {
	n := 0
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		switch left := b.Sub(a).Cross(q.Sub(a)); {
		case a.Y <= q.Y && b.Y > q.Y && left > 0:
			n++
		case a.Y > q.Y && b.Y <= q.Y && left < 0:
			n--
		}
	}
	return n
}

func dist(q, a, b paths.Point) float64 { return paths.Line{A: a, B: b}.Dist(q) }
