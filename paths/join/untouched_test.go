package join

import (
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
)

// scatter makes strokes of all kinds with much room between them, some of which touch, nearly
// touch or lie on one another, or on themselves, by about the tolerance.
func scatter(r *rand.Rand, n int, tol float64) []paths.Stroke {
	out := make([]paths.Stroke, 0, n)
	bit := func() paths.Point { return pt(3*tol*(r.Float64()-0.5), 3*tol*(r.Float64()-0.5)) }
	for len(out) < n {
		at, size := pt(200*r.Float64(), 200*r.Float64()), math.Pow(10, -2+3*r.Float64())
		if len(out) > 0 && r.IntN(4) == 0 { // at or near something else
			s := out[r.IntN(len(out))]
			at = s[r.IntN(len(s))].At([]float64{0, 1, r.Float64()}[r.IntN(3)])
			if r.IntN(2) == 0 {
				at = at.Add(bit())
			}
		}
		if len(out) > 0 && r.IntN(12) == 0 {
			out = append(out, nearly(out[r.IntN(len(out))], r, bit()))
			continue
		}
		out = append(out, shape(r, at, size, bit))
	}
	return out
}

// nearly returns a stroke, or some of it, or its reverse, a little moved.
func nearly(s paths.Stroke, r *rand.Rand, by paths.Point) paths.Stroke {
	from := r.IntN(len(s))
	s = s[from : from+1+r.IntN(len(s)-from)]
	if r.IntN(2) == 0 {
		s = s.Reverse()
	}
	if r.IntN(2) == 0 {
		a := r.Float64() / 2
		s = append(paths.Stroke{paths.Sub(s[0], a, a+0.5)}, s[:0]...)
	}
	m := paths.Affine{A: 1, D: 1}
	if r.IntN(2) == 0 {
		m.E, m.F = by.X, by.Y
	}
	return s.Transform(m)
}

func shape(r *rand.Rand, at paths.Point, size float64, bit func() paths.Point) paths.Stroke {
	corner := func() paths.Point { return at.Add(pt(size*(r.Float64()-0.5), size*(r.Float64()-0.5))) }
	switch r.IntN(9) {
	case 0:
		return paths.Polyline(at, corner())
	case 1:
		return paths.Polyline(at, corner(), corner(), corner(), at)
	case 2:
		return paths.Stroke{paths.Circle(at, size)}
	case 3: // a circle of arcs, some drawn over
		a, b := 6*r.Float64(), 4*r.Float64()
		first := paths.ArcAround(at, size, a, b)
		second := paths.ArcAround(at, size, a+b, 7*r.Float64()-1)
		second.From = first.To
		return paths.Stroke{first, second}
	case 4: // there and nearly back
		p := corner()
		return paths.Polyline(at, p, at.Lerp(p, r.Float64()).Add(bit()), corner())
	case 5:
		return paths.Stroke{paths.Cubic{A: at, B: corner(), C: corner(), D: []paths.Point{at, corner()}[r.IntN(2)]}}
	case 6:
		p := corner()
		c := paths.Cubic{A: at, B: corner(), C: corner(), D: p}
		return paths.Stroke{c, paths.Cubic{A: p, B: c.C.Add(bit()), C: c.B.Add(bit()), D: at}}
	case 7:
		p := corner()
		return paths.Stroke{paths.ArcBulge(at, p, r.Float64()-0.5), paths.Line{A: p, B: at}}
	}
	return paths.Polyline(at, at.Add(bit()), corner())
}

// What comes out does not depend on whether strokes that nothing touches are taken apart, to
// the last digit.
func TestUntouchedStrokesNeedNotBeTakenApart(t *testing.T) {
	free, all := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		opt := Options{Tolerance: rapid.SampledFrom([]float64{0, 0.01, 0.2}).Draw(t, "tol"), KeepDoubles: rapid.Bool().Draw(t, "keep")}
		strokes := scatter(r, rapid.IntRange(1, 60).Draw(t, "strokes"), opt.Tolerance)
		got, report := mustStrokes(t, strokes, opt)
		apart := newWork(nil)
		apart.allTouch = true
		want, wanted, err := withWork(strokes, opt, apart)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%v\nand with all taken apart\n%v", got, want)
		}
		if report != wanted {
			t.Errorf("%+v, and with all taken apart %+v", report, wanted)
		}
		_, of, _ := untouched(strokes, opt.Tolerance, newWork(nil))
		free, all = free+of.strokes, all+len(strokes)
	})
	if 4*free < all {
		t.Errorf("only %d of %d strokes are found untouched", free, all)
	}
	t.Logf("%d of %d strokes are untouched", free, all)
}

// Which strokes are untouched does not depend on the number of cores.
func TestUntouchedOnAnyCores(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	strokes := scatter(rand.New(rand.NewPCG(1, 2)), 4000, 0.01)
	var first []bool
	for _, cores := range []int{1, 2, 5} {
		runtime.GOMAXPROCS(cores)
		got, _, err := untouched(strokes, 0.01, newWork(nil))
		if err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = got
		}
		if !reflect.DeepEqual(got, first) {
			t.Errorf("on %d cores others are untouched than on one", cores)
		}
	}
}

// Arcs that lie on one another by their angles, though no end of either is within the
// tolerance of the other, are told to touch: their centres are apart by nearly twice as much.
func TestArcsOfTwoCentresTouch(t *testing.T) {
	const tol = 0.2
	a := paths.ArcAround(pt(0, 0), 50, math.Pi/3, math.Pi/6)
	b := paths.ArcAround(pt(0.39, 0), 50, math.Pi/2-0.12/50, math.Pi/6)
	if len(covered(a, b, tol)) == 0 || a.End().Dist(b.Start()) < 2*tol {
		t.Fatal("the arcs are not what they are meant to be")
	}
	_, of, err := untouched([]paths.Stroke{{a}, {b}, line(0, 0, 1, 1)}, tol, newWork(nil))
	if err != nil || of != (tally{strokes: 1, curves: 1, nodes: 2, odd: 2}) {
		t.Errorf("%+v are untouched, with error %v", of, err)
	}
}
