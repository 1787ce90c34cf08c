package snap

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/choice"
	"weftplot/paths/weave/snap/web"
)

// heapsOf are drawings of n strokes that lie on one another or meet in one place.
var heapsOf = []struct {
	name string
	of   func(n int) []paths.Stroke
}{
	{"level lines over each other", func(n int) []paths.Stroke { return overEachOther(n, 0) }},
	{"lines aslant over each other", func(n int) []paths.Stroke { return overEachOther(n, 0.3) }},
	{"one level line over and over", func(n int) []paths.Stroke {
		out := make([]paths.Stroke, n)
		for i := range out {
			out[i] = paths.Polyline(pt(20, 150), pt(280, 150))
		}
		return out
	}},
	{"polylines over each other", func(n int) []paths.Stroke {
		out := make([]paths.Stroke, n)
		for i := range out {
			a := 100 * float64(i*7919%n) / float64(n)
			out[i] = paths.Polyline(aslant(pt(30+a, 100)), aslant(pt(140, 100)), aslant(pt(140, 200-a/2)), aslant(pt(30+0.7*a, 200-a/2)))
		}
		return out
	}},
	{"a line to and fro on itself", func(n int) []paths.Stroke {
		at := make([]paths.Point, n)
		for k := range at {
			x := 140 + 0.1*float64(k%97)
			if k%2 == 1 {
				x += 50 + 100*float64(k*7919%n)/float64(n)
			}
			at[k] = aslant(pt(x, 150))
		}
		return []paths.Stroke{paths.Polyline(at...)}
	}},
	{"a star", func(n int) []paths.Stroke {
		out := make([]paths.Stroke, n)
		for i := range out {
			out[i] = paths.Polyline(pt(150, 150), pt(150, 150).Add(unit(2*math.Pi*float64(i)/float64(n)).Mul(130)))
		}
		return out
	}},
	{"dots on a line", func(n int) []paths.Stroke {
		out := []paths.Stroke{paths.Polyline(pt(20, 150), pt(280, 150))}
		for i := range n {
			p := pt(20+260*float64(i)/float64(n), 150)
			out = append(out, paths.Polyline(p, p))
		}
		return out
	}},
	{"a comb aslant", func(n int) []paths.Stroke {
		out := []paths.Stroke{paths.Polyline(aslant(pt(20, 150)), aslant(pt(280, 150)))}
		for i := range n {
			x := 20 + 260*float64(i)/float64(n)
			out = append(out, paths.Polyline(aslant(pt(x, 150)), aslant(pt(x, 170+float64(i%7)))))
		}
		return out
	}},
	{"a bundle of level lines", func(n int) []paths.Stroke { return bundle(n, 0) }},
	{"a bundle of lines aslant", func(n int) []paths.Stroke { return bundle(n, 0.5) }},
	{"lines aslant beside each other", func(n int) []paths.Stroke { return besideEachOther(n, 0.3) }},
	{"level lines beside each other", func(n int) []paths.Stroke { return besideEachOther(n, 0) }},
	{"a narrow fan of leaning straights", narrowFan},
}

// aslant turns a place about the middle of the drawing.
func aslant(p paths.Point) paths.Point { return turned(p, 0.3) }

func turned(p paths.Point, angle float64) paths.Point {
	d := p.Sub(pt(150, 150))
	return pt(150, 150).Add(unit(angle).Mul(d.X)).Add(unit(angle).Left().Mul(d.Y))
}

// overEachOther are lines each of which lies on nearly all others.
func overEachOther(n int, angle float64) []paths.Stroke {
	out := make([]paths.Stroke, n)
	for i := range out {
		x := 30 + 120*float64(i*7919%n)/float64(n)
		out[i] = paths.Polyline(turned(pt(x, 150), angle), turned(pt(x+110+float64(i%97)/100, 150), angle))
	}
	return out
}

// jitter is a number from 0 to 1 for each line and end, spread as if by chance.
func jitter(i, end int) float64 {
	_, f := math.Modf(float64(2*i+end) * math.Phi)
	_, f = math.Modf(1e4 * f)
	return f
}

// bundle are lines of one length that lie within 0.04 mm of each other, and no two on one
// straight line.
func bundle(n int, angle float64) []paths.Stroke {
	out := make([]paths.Stroke, n)
	for i := range out {
		out[i] = paths.Polyline(turned(pt(20, 150+0.04*jitter(i, 0)), angle), turned(pt(280, 150+0.04*jitter(i, 1)), angle))
	}
	return out
}

// besideEachOther are the lines of overEachOther with their ends up to 0.02 mm to the side.
func besideEachOther(n int, angle float64) []paths.Stroke {
	out := make([]paths.Stroke, n)
	for i := range out {
		x := 30 + 120*float64(i*7919%n)/float64(n)
		out[i] = paths.Polyline(turned(pt(x, 150+0.04*jitter(i, 0)), angle),
			turned(pt(x+110+float64(i%97)/100, 150+0.04*jitter(i, 1)), angle))
	}
	return out
}

// narrowFan are lines that lean on the weave and end in one point.
func narrowFan(n int) []paths.Stroke {
	out := make([]paths.Stroke, n)
	for i := range out {
		out[i] = paths.Polyline(pt(100, 20), pt(100+9*float64(i)/float64(n), 280))
	}
	return out
}

// However many lines lie on one line, they stay on one: no end comes to lie beside it.
func TestHeapsStayOnOneLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle := rapid.SampledFrom([]float64{0, math.Pi / 2, 0.3, 0.46, math.Pi / 4}).Draw(t, "angle")
		var in []paths.Stroke
		for range rapid.IntRange(heap, 3*heap).Draw(t, "lines") {
			x := rapid.Float64Range(20, 150).Draw(t, "x")
			to := x + rapid.Float64Range(20, 130).Draw(t, "length")
			in = append(in, paths.Polyline(turned(pt(x, 150), angle), turned(pt(to, 150), angle)))
		}
		in = append(in, paths.Polyline(turned(pt(19, 150), angle), turned(pt(281, 150), angle)))
		// What else there is pulls at the line from the sides.
		for _, x := range []float64{60, 133.3, 201} {
			in = append(in, paths.Polyline(pt(x, 10), pt(x, 290)), paths.Polyline(pt(10, x), pt(290, x)))
		}
		out := mustSnap(t, in, monks, Options{Diagonals: true}).Strokes
		n := len(in) - 7
		whole := paths.Line{A: out[n].Start(), B: out[n].End()}
		for i, s := range out[:n] {
			if d := max(whole.Dist(s.Start()), whole.Dist(s.End())); d > 0.01 {
				t.Fatalf("line %d of %d came to lie %.3f mm beside the one that they all lay on", i, n, d)
			}
		}
	})
}

// Where very many lines lie on one line a vertex touches few of them.
func TestHeapsTouchFew(t *testing.T) {
	for _, angle := range []float64{0, 0.3} {
		s := &snapper{Web: web.New(overEachOther(1000, angle)), grid: monks, opt: mustCheck(t, Options{}), pause: &pause{}}
		s.place()
		if got := len(s.slantTouches()) + len(s.touches); got == 0 || got > heapTouches*len(s.Vertices) {
			t.Errorf("at %g: %d touches of %d vertices", angle, got, len(s.Vertices))
		}
	}
}

// What touches lines that run close beside each other is found as by looking at all, and for
// straights in the order of the straights.
func TestBundlesTouchAsByLookingAtAll(t *testing.T) {
	opt := mustCheck(t, Options{})
	rapid.Check(t, func(t *rapid.T) {
		angle := rapid.SampledFrom([]float64{0, math.Pi / 2, 0.02, 0.3}).Draw(t, "angle")
		wide := rapid.SampledFrom([]float64{2e-6, 1e-4, 0.04}).Draw(t, "width")
		aside := rapid.Map(rapid.IntRange(0, 10), func(k int) float64 { return 150 + wide*float64(k)/10 })
		x := rapid.OneOf(rapid.Float64Range(20, 130), rapid.SampledFrom([]float64{20, 130}))
		var in []paths.Stroke
		for range rapid.IntRange(heap, 2*heap).Draw(t, "lines") {
			a, b := pt(x.Draw(t, "x"), aside.Draw(t, "aside")), pt(150+x.Draw(t, "to"), aside.Draw(t, "aside"))
			in = append(in, paths.Polyline(turned(a, angle), turned(b, angle)))
			if rapid.IntRange(0, 2).Draw(t, "end on it") == 0 {
				p := a.Lerp(b, rapid.Float64Range(0, 1).Draw(t, "share"))
				in = append(in, paths.Polyline(turned(p, angle), turned(p.Add(pt(3, 4)), angle)))
			}
		}
		s := &snapper{Web: web.New(in), grid: monks, opt: opt}
		for _, axis := range []weave.Axis{weave.Across, weave.Along} {
			s.straights[axis] = findStraights(s.Web, axis, s.grid, s.opt, nil)
			var got, want []string
			s.touching(axis, func(v int, r *straight) { got = append(got, fmt.Sprint(slices.Index(s.straights[axis], r), v)) })
			heaps, others := s.heaps(axis)
			for _, r := range others {
				want = append(want, touchesOf(s, axis, r)...)
			}
			if len(heaps) == 0 && !slices.Equal(got, want) {
				t.Fatalf("straights are touched %v, want %v", got, want)
			}
		}
		var lines []paths.Line
		var of []int
		s.taken = s.straightened()
		for i := range in {
			if l := in[i][0].(paths.Line); !s.isTaken(i, 0) && l.A != l.B {
				lines, of = append(lines, l), append(of, i)
			}
		}
		found := map[[2]int]bool{} // stroke, vertex
		s.onLines(lines, func(v, k int) bool { found[[2]int{of[k], v}] = true; return true })
		_, off := web.Carriers(lines, heap)
		for _, k := range off {
			for v, p := range s.Vertices {
				if lines[k].Dist(p) <= web.Joint && !found[[2]int{of[k], v}] {
					t.Fatalf("vertex %d touches line %d, and is not found", v, of[k])
				}
			}
		}
	})
}

// touchesOf returns what touches a straight, by looking at all vertices in rows.
func touchesOf(s *snapper, axis weave.Axis, r *straight) (out []string) {
	n := slices.Index(s.straights[axis], r)
	rows := web.NewRows(s.Vertices, axis, choice.Reach*s.grid.Step(axis))
	rows.Visit(r.lo(), r.hi(), math.Inf(-1), math.Inf(1), func(v int) {
		if fixed, along := axis.Split(s.Vertices[v]); along > r.lo() && along < r.hi() && r.passes(fixed, along) {
			out = append(out, fmt.Sprint(n, v))
		}
	})
	return out
}
