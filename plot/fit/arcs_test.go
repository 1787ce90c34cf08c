package fit

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/deviation"
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// check checks everything that a fit promises.
func check(t interface{ Errorf(string, ...any) }, s, got paths.Stroke, tol float64) {
	if err := got.Validate(); err != nil {
		t.Errorf("not a chain: %v", err)
		return
	}
	for _, c := range got {
		if _, ok := c.(paths.Cubic); ok {
			t.Errorf("a cubic is left")
			return
		}
		if a, ok := c.(paths.Arc); ok && math.Abs(a.To.Dist(a.Centre)-a.Radius()) > 1e-6 {
			t.Errorf("the ends of %+v are not equally far from its centre", a)
		}
	}
	if got.Start() != s.Start() || got.End() != s.End() {
		t.Errorf("the ends are %v, %v, not %v, %v", got.Start(), got.End(), s.Start(), s.End())
	}
	res := tol / 10
	if d := deviation.Of(s, got, res); d > tol+res {
		t.Errorf("the stroke is %v from its fit, over %v: %v", d, tol, s)
	}
	if d := deviation.Of(got, s, res); d > tol+res {
		t.Errorf("the fit is %v from its stroke, over %v: %v", d, tol, s)
	}
}

// kink returns the greatest turn at the joints, in degrees.
func kink(s paths.Stroke) float64 {
	var worst float64
	for i := 1; i < len(s); i++ {
		worst = max(worst, turn(s[i-1], s[i])*180/math.Pi)
	}
	return worst
}

var wave = paths.Stroke{
	paths.Cubic{A: pt(0, 0), B: pt(20, 40), C: pt(40, -40), D: pt(60, 0)},
	paths.Cubic{A: pt(60, 0), B: pt(80, 40), C: pt(120, 40), D: pt(120, 0)},
}

func TestKeepsWhatItIsMadeOf(t *testing.T) {
	line := func(x0, y0, x1, y1 float64) paths.Curve { return paths.Line{A: pt(x0, y0), B: pt(x1, y1)} }
	arc := paths.ArcBulge(pt(10, 0), pt(20, 0), 0.5).(paths.Arc)
	first, second := arc.Split(0.3)
	circle := paths.Circle(pt(3, 4), 10)
	half, other := circle.Split(0.5)
	for name, c := range map[string]struct{ in, want paths.Stroke }{
		"a line":            {paths.Stroke{line(0, 0, 5, 0)}, paths.Stroke{line(0, 0, 5, 0)}},
		"lines in line":     {paths.Stroke{line(0, 0, 5, 0), line(5, 0, 9, 0)}, paths.Stroke{line(0, 0, 9, 0)}},
		"there and back":    {paths.Stroke{line(0, 0, 5, 0), line(5, 0, 2, 0)}, paths.Stroke{line(0, 0, 5, 0), line(5, 0, 2, 0)}},
		"a corner":          {paths.Stroke{line(0, 0, 5, 0), line(5, 0, 5, 5)}, paths.Stroke{line(0, 0, 5, 0), line(5, 0, 5, 5)}},
		"two lines, a bend": {paths.Stroke{line(0, 0, 50, 0), line(50, 0, 100, 1)}, paths.Stroke{line(0, 0, 50, 0), line(50, 0, 100, 1)}},
		"an arc":            {paths.Stroke{line(0, 0, 10, 0), arc}, paths.Stroke{line(0, 0, 10, 0), arc}},
		"arcs of a circle":  {paths.Stroke{first, second}, paths.Stroke{arc}},
		"a circle":          {paths.Stroke{circle}, paths.Stroke{circle}},
		"a dot":             {paths.Polyline(pt(1, 2)), paths.Polyline(pt(1, 2))},
		"empty lines":       {paths.Stroke{line(0, 0, 0, 0), line(0, 0, 5, 0), line(5, 0, 5, 0)}, paths.Stroke{line(0, 0, 5, 0)}},
		"hardly an arc":     {paths.Stroke{paths.ArcAround(pt(0, 0), 1, 0, 0)}, paths.Polyline(pt(1, 0))},
		"nothing":           {nil, nil},
	} {
		got := Arcs(c.in, 0.05)
		if len(got) != len(c.want) {
			t.Errorf("%s: Arcs(%v) = %v, want %v", name, c.in, got, c.want)
			continue
		}
		for i := range got {
			a, isArc := got[i].(paths.Arc)
			if b, ok := c.want[i].(paths.Arc); isArc && ok {
				if a.From != b.From || a.To != b.To || a.Centre.Dist(b.Centre) > 1e-9 || math.Abs(a.Sweep-b.Sweep) > 1e-9 {
					t.Errorf("%s: piece %d is %v, want %v", name, i, a, b)
				}
			} else if got[i] != c.want[i] {
				t.Errorf("%s: piece %d is %v, want %v", name, i, got[i], c.want[i])
			}
		}
	}
	got := Arcs(paths.Stroke{half, other}, 0.05)
	if a, ok := got[0].(paths.Arc); len(got) != 1 || !ok || math.Abs(a.Sweep) != 2*math.Pi || a.From != a.To {
		t.Errorf("two halves of a circle are %v", got)
	}
}

// TestFindsCircles: four cubics with the usual handles are a circle within
// 0.00027 of its radius, and so is a fine polygon within its sagitta.
func TestFindsCircles(t *testing.T) {
	var cubics paths.Stroke
	for _, c := range paths.Circle(pt(5, 6), 20).Cubics() {
		cubics = append(cubics, c)
	}
	var corners []paths.Point
	for i := range 181 {
		a := paths.ArcAround(pt(5, 6), 20, 0, 2*math.Pi*float64(i)/180)
		corners = append(corners, a.At(1))
	}
	corners[180] = corners[0]
	for name, s := range map[string]paths.Stroke{"cubics": cubics, "polygon": paths.Polyline(corners...)} {
		got := Arcs(s, 0.05)
		check(t, s, got, 0.05)
		if len(got) != 1 || !got.IsClosed() {
			t.Errorf("%s: a circle is %d pieces", name, len(got))
		}
	}
}

// TestFewPieces compares with the theory: an arc of length h with its ends on a
// curve whose curvature changes at the rate k is off by k·h³/(72·√3) at most,
// the greatest of the cubic k/6·s·(s-h/2)·(s-h). On a clothoid-like curve the
// number of pieces is then the length over (72·√3·tol/k)^⅓.
func TestFewPieces(t *testing.T) {
	// A parabola y = x²/40 from 0 to 40: its curvature falls from 1/20 on.
	s := paths.Stroke{paths.Quadratic(pt(0, 0), pt(20, 0), pt(40, 40))}
	for _, tol := range []float64{0.05, 0.01, 0.002} {
		got := Arcs(s, tol)
		check(t, s, got, tol)
		curvature := func(x float64) float64 { return 0.05 / math.Pow(1+x*x/400, 1.5) }
		var ideal float64
		const step = 0.01
		for x := 0.0; x < 40; x += step {
			ds := math.Sqrt(1+x*x/400) * step
			k := math.Abs(curvature(x+step)-curvature(x)) / ds
			ideal += ds / math.Cbrt(72*math.Sqrt(3)*tol/k)
		}
		lines := len(s.Flatten(tol)) - 1
		t.Logf("tol %v: %d pieces, theory %.1f; %d lines; greatest kink %.2f degrees", tol, len(got), ideal, lines, kink(got))
		if float64(len(got)) > math.Ceil(ideal*1.05)+1 {
			t.Errorf("tol %v: %d pieces, theory %.1f", tol, len(got), ideal)
		}
	}
}

func TestSmoothStaysSmooth(t *testing.T) {
	for _, tol := range []float64{0.05, 0.01} {
		got := Arcs(wave, tol)
		check(t, wave, got, tol)
		worst := kink(Arcs(wave[:1], tol))
		t.Logf("tol %v: %d pieces, greatest kink %.2f degrees", tol, len(got), worst)
		if worst > 6 {
			t.Errorf("tol %v: a kink of %.2f degrees", tol, worst)
		}
	}
}

func TestPolylineOfACurve(t *testing.T) {
	s := paths.Polyline(wave.Flatten(0.002)...)
	got := Arcs(s, 0.05)
	check(t, s, got, 0.05)
	if want := len(Arcs(wave, 0.05)); len(got) > want+3 {
		t.Errorf("a chain of %d chords becomes %d pieces; the curve itself %d", len(s), len(got), want)
	}
	again := Arcs(got, 0.05)
	if len(again) != len(got) {
		t.Errorf("fitting again makes %d pieces of %d", len(again), len(got))
	}
}

// strokes draws any chain.
func strokes() *rapid.Generator[paths.Stroke] {
	return rapid.Custom(func(t *rapid.T) paths.Stroke {
		coord := rapid.Float64Range(-20, 20)
		at := paths.Point{}
		next := func() paths.Point { return pt(at.X+coord.Draw(t, "x"), at.Y+coord.Draw(t, "y")) }
		var s paths.Stroke
		for range rapid.IntRange(1, 6).Draw(t, "n") {
			switch rapid.IntRange(0, 5).Draw(t, "kind") {
			case 0:
				s = append(s, paths.ArcBulge(at, next(), rapid.Float64Range(-3, 3).Draw(t, "bulge")))
			case 1:
				s = append(s, paths.Line{A: at, B: next()})
			case 2: // a crumb
				s = append(s, paths.Line{A: at, B: at.Lerp(next(), 0.005)})
			case 3: // chords of a curve
				c := paths.Stroke{paths.Cubic{A: at, B: next(), C: next(), D: next()}}
				s = append(s, paths.Polyline(c.Flatten(0.1)...)...)
			default:
				s = append(s, paths.Cubic{A: at, B: next(), C: next(), D: next()})
			}
			at = s.End()
		}
		if rapid.Bool().Draw(t, "closed") {
			s = append(s, paths.Line{A: at})
		}
		return s
	})
}

func TestAnyStroke(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := strokes().Draw(t, "stroke")
		tol := rapid.SampledFrom([]float64{0.2, 0.05, 0.02}).Draw(t, "tol")
		got := Arcs(s, tol)
		check(t, s, got, tol)
		if s.IsClosed() != got.IsClosed() {
			t.Errorf("closed %v becomes %v", s.IsClosed(), got.IsClosed())
		}
		if lines := len(s.Flatten(tol / 50)); len(got) > lines {
			t.Errorf("%d pieces where %d lines would do", len(got), lines)
		}
	})
}

func BenchmarkArcs(b *testing.B) {
	var s paths.Stroke
	for i := range 50 {
		s = append(s, wave.Transform(paths.Translate(pt(120*float64(i), 0)))...)
	}
	pieces := 0
	for b.Loop() {
		pieces = len(Arcs(s, 0.03))
	}
	b.ReportMetric(float64(pieces)/s.Length()*1000, "pieces/m")
}
