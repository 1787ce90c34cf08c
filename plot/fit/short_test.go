package fit

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/deviation"
)

// checkShort checks everything that a short fit promises.
func checkShort(t interface{ Errorf(string, ...any) }, s paths.Stroke, tol float64) paths.Stroke {
	got, off, err := Short(nil, s, tol)
	if err != nil || len(off) != len(got) {
		t.Errorf("%v, and %d distances for %d pieces", err, len(off), len(got))
	}
	if err := got.Validate(); err != nil {
		t.Errorf("not a chain: %v", err)
		return got
	}
	for i, c := range got {
		if a, ok := c.(paths.Arc); ok && math.Abs(a.To.Dist(a.Centre)-a.Radius()) > 1e-6 {
			t.Errorf("the ends of %+v are not equally far from its centre", a)
		}
		if off[i] > tol*(1+1e-9) {
			t.Errorf("piece %d says that it is off by %v", i, off[i])
		}
	}
	if s.IsClosed() != got.IsClosed() {
		t.Errorf("closed %v becomes %v", s.IsClosed(), got.IsClosed())
	}
	if a, b := got.Start().Dist(s.Start()), got.End().Dist(s.End()); max(a, b) > tol {
		t.Errorf("the ends are off by %v and %v", a, b)
	}
	res := tol / 10
	if d := max(deviation.Of(s, got, res), deviation.Of(got, s, res)); d > tol+res {
		t.Errorf("the stroke and its fit are %v apart, over %v: %v", d, tol, s)
	}
	return got
}

func TestShortOfAnyStroke(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := strokes().Draw(t, "stroke")
		checkShort(t, s, rapid.SampledFrom([]float64{0.2, 0.05, 0.02, 0.003}).Draw(t, "tol"))
	})
}

// TestShortNumbers: of the coordinates on a curve hardly one in eight keeps a second
// decimal, where rounding each by itself leaves one to nine in ten; and strokes that meet
// in a point still do.
func TestShortNumbers(t *testing.T) {
	const tol = 0.05
	at := func(x float64) paths.Stroke { return wave.Transform(paths.Translate(pt(x, x/7))) }
	numbers, long, before, after := 0, 0, 0, 0
	for x := 500.123; x < 520; x += 1.37 {
		s := at(x)
		got := checkShort(t, s, tol)
		before, after = before+len(Arcs(s, tol)), after+len(got)
		for _, c := range got[:len(got)-1] {
			for _, v := range []float64{c.End().X, c.End().Y} {
				numbers++
				if _, part, _ := strings.Cut(strconv.FormatFloat(v, 'f', -1, 64), "."); len(part) > 1 {
					long++
				}
			}
		}
		halves := [2]paths.Stroke{checkShort(t, s[:1], tol), checkShort(t, s[1:], tol)}
		if halves[0].End() != halves[1].Start() {
			t.Errorf("at %v two strokes no longer meet: %v, %v", x, halves[0].End(), halves[1].Start())
		}
	}
	t.Logf("%d of %d numbers have more than one decimal; %d pieces, %d by Arcs", long, numbers, after, before)
	if numbers < 50 || long*8 > numbers || after*20 > before*21 {
		t.Errorf("%d of %d numbers have more than one decimal; %d pieces, %d by Arcs", long, numbers, after, before)
	}
}

// TestCharacters holds the count against the number as it is written, without the zero
// before its point.
func TestCharacters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.OneOf(rapid.Int64Range(-2000, 2000), rapid.Int64Range(-1e9, 1e9)).Draw(t, "n")
		text := strconv.FormatFloat(float64(n)/1000, 'f', -1, 64)
		if strings.Contains(text, ".") {
			text = strings.Replace(strings.Replace(text, "-0.", "-.", 1), "0.", ".", btoi(strings.HasPrefix(text, "0.")))
		}
		if got := characters(n); got != len(text) {
			t.Errorf("%d thousandths take %d characters, not %d: %s", n, len(text), got, text)
		}
	})
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// TestShortCircle: a circle stays one, in short numbers.
func TestShortCircle(t *testing.T) {
	for _, r := range []float64{1.234, 11.777, 250.05} {
		got := checkShort(t, paths.Stroke{paths.Circle(pt(300.123, 200.456), r)}, 0.05)
		a, ok := got[0].(paths.Arc)
		if len(got) != 1 || !ok || math.Abs(a.Sweep) != 2*math.Pi {
			t.Errorf("a circle of %v mm is %v", r, got)
		}
	}
}

func BenchmarkShort(b *testing.B) {
	var s paths.Stroke
	for i := range 50 {
		s = append(s, wave.Transform(paths.Translate(pt(120*float64(i), 0)))...)
	}
	pieces := 0
	for b.Loop() {
		got, _, _ := Short(nil, s, 0.03)
		pieces = len(got)
	}
	b.ReportMetric(float64(pieces)/s.Length()*1000, "pieces/m")
}
