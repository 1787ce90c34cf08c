package snap

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/weave/snap/touch"
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
		for range rapid.IntRange(touch.Heap, 3*touch.Heap).Draw(t, "lines") {
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
		if got := len(s.slantTouches()) + len(s.touches); got == 0 || got > touch.Most*len(s.Vertices) {
			t.Errorf("at %g: %d touches of %d vertices", angle, got, len(s.Vertices))
		}
	}
}
