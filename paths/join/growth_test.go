package join

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// heaps are drawings of n strokes that lie on one another, or meet, in one place.
var heaps = []struct {
	name string
	keep bool // the doubles
	of   func(n int) []paths.Stroke
}{
	{"one line over and over", false, sameLine},
	{"one line over and over, kept", true, sameLine},
	{"lines along one line", false, alongOneLine},
	{"lines along one line, kept", true, alongOneLine},
	{"lines along one line, kept, in a frame", true, func(n int) []paths.Stroke {
		return append(alongOneLine(n-1), line(-5, -5, 5, -5))
	}},
	{"a curve over and over, nearly", false, func(n int) []paths.Stroke { return shaken(n, 0.02) }},
	{"half circles through one point", false, func(n int) []paths.Stroke {
		out := make([]paths.Stroke, n)
		for i, p := range ring(n, 50) {
			out[i] = paths.Stroke{paths.ArcAround(p, 50, p.Angle()+math.Pi/2, math.Pi)}
		}
		return out
	}},
	{"lines each over the next", false, func(n int) []paths.Stroke {
		out := make([]paths.Stroke, n)
		for i := range out {
			x := float64(i * 7919 % n)
			out[i] = line(x, 0, x+2.5+float64(i%97)/100, 0)
		}
		return out
	}},
	{"arcs of one circle", false, func(n int) []paths.Stroke {
		out := make([]paths.Stroke, n)
		for i := range out {
			sweep := 1 + float64(i*31%n)/float64(n)
			if i%3 == 0 {
				sweep = -sweep
			}
			out[i] = paths.Stroke{paths.ArcAround(pt(0, 0), 50, 2*math.Pi*float64(i*7919%n)/float64(n), sweep)}
		}
		return out
	}},
	{"cubics of one ellipse", false, func(n int) []paths.Stroke {
		round := paths.Affine{A: 120, D: 80}
		out := make([]paths.Stroke, n)
		for i := range out {
			from, sweep := 2*math.Pi*float64(i*7919%n)/float64(n), 1+float64(i*31%n)/float64(n)
			for _, c := range paths.ArcAround(pt(0, 0), 1, from, sweep).Cubics() {
				out[i] = append(out[i], c.Transform(round)...)
			}
		}
		return out
	}},
	{"cubics from one point", false, func(n int) []paths.Stroke {
		out := make([]paths.Stroke, n)
		for i, p := range ring(n, 130) {
			u := p.Unit()
			bent := u.Mul(90).Add(u.Left().Mul(30))
			out[i] = paths.Stroke{paths.Cubic{A: pt(0, 0), B: u.Mul(40), C: bent, D: p}}
		}
		return out
	}},
	{"lines that lie nearly on one another", false, func(n int) []paths.Stroke {
		r := rand.New(rand.NewPCG(9, 10))
		out := make([]paths.Stroke, n)
		for i := range out {
			x := 120 * float64(i*7919%n) / float64(n)
			out[i] = line(x, 0.04*r.Float64(), x+110+float64(i%97)/100, 30+0.04*r.Float64())
		}
		return out
	}},
	{"lines in layers", false, func(n int) []paths.Stroke {
		r := rand.New(rand.NewPCG(13, 14))
		out := make([]paths.Stroke, n)
		for i := range out {
			x := 120 * float64(i*7919%n) / float64(n)
			out[i] = line(x, x/2+0.2*r.Float64(), x+110+0.2*r.Float64(), x/2+55+0.2*r.Float64())
		}
		return out
	}},
	{"a bundle of long lines", false, func(n int) []paths.Stroke {
		r := rand.New(rand.NewPCG(11, 12))
		out := make([]paths.Stroke, n)
		for i := range out {
			out[i] = line(20, 60+0.04*r.Float64(), 280, 200+0.04*r.Float64())
		}
		return out
	}},
	{"lines aslant in a band", false, inBand},
	{"circles nearly on one another", false, func(n int) []paths.Stroke {
		r := rand.New(rand.NewPCG(1, 2))
		bit := func() float64 { return 0.1 * r.Float64() }
		out := make([]paths.Stroke, n)
		for i := range out {
			out[i] = paths.Stroke{paths.ArcAround(pt(bit(), bit()), 50+bit(), 6*r.Float64(), 2*math.Pi)}
		}
		return out
	}},
	{"a star of lines", false, func(n int) []paths.Stroke {
		out := make([]paths.Stroke, n)
		for i, p := range ring(n, float64(n)/20) {
			out[i] = paths.Polyline(pt(0, 0), p)
		}
		return out
	}},
	{"teeth on a line", false, func(n int) []paths.Stroke {
		out := []paths.Stroke{line(0, 0, float64(n), 0)}
		for i := range n - 1 {
			out = append(out, line(float64(i)+0.5, 0, float64(i)+0.5, 3))
		}
		return out
	}},
	{"crossing lines", false, func(n int) []paths.Stroke {
		var out []paths.Stroke
		for i := range n / 2 {
			at, l := 0.2*float64(i), 0.1*float64(n)
			out = append(out, line(at, 0, at, l), line(0, at, l, at))
		}
		return out
	}},
	{"long lines side by side", false, func(n int) []paths.Stroke { return slanting(n, 0) }},
	{"long lines side by side, slanting", false, func(n int) []paths.Stroke { return slanting(n, 0.1*float64(n)) }},
}

// shaken are copies of a curve whose control points are moved by d at most.
func shaken(n int, d float64) []paths.Stroke {
	r := rand.New(rand.NewPCG(7, 8))
	by := func(x, y float64) paths.Point { return pt(x+d*(r.Float64()-0.5), y+d*(r.Float64()-0.5)) }
	out := make([]paths.Stroke, n)
	for i := range out {
		out[i] = paths.Stroke{paths.Cubic{A: by(0, 0), B: by(100, 0), C: by(0, 100), D: by(100, 100)}}
	}
	return out
}

// inBand are long lines aslant in a band of 20 mm, nearly parallel, that begin and end at
// different places.
func inBand(n int) []paths.Stroke {
	r := rand.New(rand.NewPCG(1, 2))
	out := make([]paths.Stroke, n)
	for i := range out {
		y := 20 * r.Float64()
		a, b := 150*r.Float64(), 425+150*r.Float64()
		out[i] = line(a, 0.3*a+y+0.04*r.Float64(), b, 0.3*b+y+0.04*r.Float64())
	}
	return out
}

// slanting are lines beside one another that rise by as much.
func slanting(n int, rise float64) []paths.Stroke {
	out := make([]paths.Stroke, n)
	for i := range out {
		y := 0.2 * float64(i)
		out[i] = line(float64(i%7), y, 0.1*float64(n), y+rise)
	}
	return out
}

// alongOneLine are lines each of which lies on half of the others.
func alongOneLine(n int) []paths.Stroke {
	out := make([]paths.Stroke, n)
	for i := range out {
		x := 0.1 * float64(i*7919%n)
		out[i] = line(x, 0, x+float64(n)/20+float64(i%97)/100, 0)
	}
	return out
}

func sameLine(n int) []paths.Stroke {
	out := make([]paths.Stroke, n)
	for i := range out {
		out[i] = line(0, 0, 100, 10)
	}
	return out
}

// looks returns how many looks at curves joining takes.
func looks(t testing.TB, strokes []paths.Stroke, keep bool) float64 {
	w := newWork(nil)
	if _, _, err := withWork(strokes, Options{Tolerance: 0.05, KeepDoubles: keep}, w); err != nil {
		t.Fatal(err)
	}
	return float64(mostLooks - w.left)
}

// Four times as many strokes in one place take hardly more than four times the
// looks: the exponent stays under 1.2. Lines that all cross all without a common
// point come out as they went in, so that this holds in the size of the input. A
// star is the exception: each ray is held against those within the slack of its
// direction, a hundred and fiftieth of all, and only the few looks for each are
// judged; so are those for each of the cubics that go out from one point.
func TestLooksGrowWithTheStrokes(t *testing.T) {
	for _, h := range heaps {
		t.Run(h.name, func(t *testing.T) {
			n := 2000
			ellipse := h.name == "cubics of one ellipse"
			if ellipse { // it costs ten times as much, in cuts
				n = 150
			}
			if h.name == "lines in layers" { // each lies in part on several
				n = 1000
			}
			few, many := looks(t, h.of(n), h.keep), looks(t, h.of(4*n), h.keep)
			t.Logf("%.0f and %.0f looks, exponent %.2f", few, many, math.Log(many/few)/math.Log(4))
			star := h.name == "a star of lines" || h.name == "cubics from one point"
			each := 300. // a crossing found counts for sixteen
			if h.keep {
				each += cutsEach * cutLooks
			}
			all := 4 * float64(n)
			if !star && many > all && many > few*math.Pow(4, 1.2) || !ellipse && many > each*all {
				t.Errorf("%.0f looks at %d strokes, %.0f at %d", few, n, many, 4*n)
			}
		})
	}
}

// BenchmarkGrowth reports the exponent with which the time grows from 4,000 to
// 16,000 strokes: 1 is linear.
func BenchmarkGrowth(b *testing.B) {
	for _, h := range heaps {
		b.Run(h.name, func(b *testing.B) {
			took := map[int]float64{}
			for b.Loop() {
				for _, n := range []int{4000, 16000} {
					strokes := h.of(n)
					start := time.Now()
					looks(b, strokes, h.keep)
					took[n] = time.Since(start).Seconds()
				}
			}
			b.ReportMetric(math.Log(took[16000]/took[4000])/math.Log(4), "exponent")
		})
	}
}

// What cannot be told apart in reasonable time is refused with the number of its
// curves, and a stop ends the work at the next question.
func TestWorkEnds(t *testing.T) {
	w := newWork(nil)
	w.left = 1000
	_, _, err := withWork(jittered(500), Options{Tolerance: 0.05}, w)
	var e *fault.Error
	if !errors.As(err, &e) || e.Kind != fault.Fit || e.What != "too many of its 500 curves lie in one place to find out which of them are drawn twice" {
		t.Errorf("the error is %v", err)
	}
	for _, after := range []int{0, 1, 3} {
		asked := 0
		stop := func() error {
			if asked++; asked > after {
				return errors.New("stopped")
			}
			return nil
		}
		if _, _, err := Strokes(lattice(100, 100), Options{Tolerance: 0.05, Stop: stop}); err == nil || asked != after+1 {
			t.Errorf("told to stop at question %d: %d questions, error %v", after+1, asked, err)
		}
	}
}

// jittered are lines along one another that lie on no one line.
func jittered(n int) []paths.Stroke {
	r := rand.New(rand.NewPCG(3, 4))
	out := make([]paths.Stroke, n)
	for i := range out {
		x := 100 * r.Float64()
		out[i] = line(x, 0.02*r.Float64(), x+30+r.Float64(), 0.02*r.Float64())
	}
	return out
}

// However lines of one carrier overlap, what comes out covers what went in once:
// its length is that of the union of the intervals, found here by brute force on
// a raster of hundredths of a mm or of a turn.
func TestCarriersAgainstRaster(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 300 {
		var lines, arcs []paths.Stroke
		onLine, onCircle := make([]bool, 1000), make([]bool, 1000)
		for range 1 + r.IntN(8) {
			a, l := r.IntN(700), 5+r.IntN(290)
			for k := a; k < a+l; k++ {
				onLine[k], onCircle[(k+500)%1000] = true, true
			}
			x0, x1 := float64(a)/10, float64(a+l)/10
			from, sweep := float64(a+500)*2*math.Pi/1000, float64(l)*2*math.Pi/1000
			if r.IntN(2) == 0 {
				x0, x1, from, sweep = x1, x0, from+sweep, -sweep
			}
			lines = append(lines, line(0.6*x0, 0.8*x0, 0.6*x1, 0.8*x1))
			arcs = append(arcs, paths.Stroke{paths.ArcAround(pt(3, 4), 100/(2*math.Pi), from, sweep)})
		}
		for _, c := range []struct {
			strokes []paths.Stroke
			on      []bool
		}{{lines, onLine}, {arcs, onCircle}} {
			want := 0.
			for _, on := range c.on {
				if on {
					want += 0.1
				}
			}
			got, _ := mustStrokes(t, c.strokes, Options{Tolerance: 1e-4})
			if l := paths.LengthOf(got); math.Abs(l-want) > 1e-3 {
				t.Fatalf("%.4f mm drawn of %.4f: %v", l, want, c.strokes)
			}
			covers(t, c.strokes, got, 1e-3)
		}
	}
}

// Two waves that touch at their crests for less than a lift is worth stay two
// strokes, and lines that share more are cut; a free end along another line is
// taken away however short, as that makes no stroke more.
func TestMergingPaysForItsLifts(t *testing.T) {
	shared := func(mm float64) []paths.Stroke {
		return []paths.Stroke{line(-50, 0, 50, 0), paths.Polyline(pt(-40, -30), pt(-mm/2, 0), pt(mm/2, 0), pt(40, -30))}
	}
	for _, c := range []struct {
		name     string
		strokes  []paths.Stroke
		out      int
		mergedMM float64
	}{
		{"2 mm shared in passing", shared(2), 2, 0}, // cuts that round to two points
		{"3 mm", shared(3), 2, 0},
		{"4 mm", shared(4), 2, 0},
		{"4.9 mm", shared(4.9), 2, 0},
		{"5.1 mm", shared(5.1), 3, 5.1},
		{"20 mm", shared(20), 3, 20},
		{"a free end", []paths.Stroke{line(-50, 0, 50, 0), paths.Polyline(pt(0, 0), pt(2, 0), pt(9, 9))}, 2, 2},
		{"a wall between two squares", []paths.Stroke{
			paths.Polyline(pt(0, 0), pt(3, 0), pt(3, 3), pt(0, 3), pt(0, 0)),
			paths.Polyline(pt(3, 0), pt(6, 0), pt(6, 3), pt(3, 3), pt(3, 0)),
		}, 1, 3},
	} {
		got, report := mustStrokes(t, c.strokes, Options{Tolerance: 0.01})
		if len(got) != c.out || math.Abs(report.MergedMM-c.mergedMM) > 0.01 {
			t.Errorf("%s: %d strokes with %.2f mm merged, want %d with %.2f", c.name, len(got), report.MergedMM, c.out, c.mergedMM)
		}
		covers(t, got, c.strokes, 0.02)
	}
}

// However many cuts are left out, the strokes are as few as with all of them, and
// draw the same.
func TestFewCutsMakeNoMoreStrokes(t *testing.T) {
	const tol = 0.01
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		opt := Options{Tolerance: tol, KeepDoubles: rapid.Bool().Draw(t, "keep")}
		strokes := randomDrawing(r, rapid.IntRange(1, 20).Draw(t, "strokes"), 0)
		want, _ := mustStrokes(t, strokes, opt)
		w := newWork(nil)
		w.fewCuts = true
		got, _, err := withWork(strokes, opt, w)
		if err != nil {
			t.Fatal(err)
		}
		checkValid(t, got)
		covers(t, got, want, 2*tol)
		if len(got) != len(want) {
			t.Errorf("%d strokes, and %d with all cuts", len(got), len(want))
		}
	})
}

// Each crossing that is found is counted, also where all lie in one place and no line is
// cut more than once: what holds too many of them is refused before they fill the memory.
func TestCrossingsInOnePlaceAreCounted(t *testing.T) {
	const n = 300
	var strokes []paths.Stroke
	for _, p := range ring(n, 50) {
		strokes = append(strokes, paths.Polyline(p, p.Mul(-0.9)))
	}
	w := newWork(nil)
	if _, _, err := withWork(strokes, Options{Tolerance: 0.01, Through: true, KeepDoubles: true}, w); err != nil {
		t.Fatal(err)
	}
	// Opposite lines lie on one another; all other pairs cross in the middle.
	if crossings := n*(n-1)/2 - n/2; mostLooks-w.left < foundLooks*crossings {
		t.Errorf("%d looks for %d crossings", mostLooks-w.left, crossings)
	}
}
