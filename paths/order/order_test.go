package order

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
)

// randomStrokes makes strokes of every kind on a small sheet: lines, chains,
// arcs, cubics, dots, circles, polygons, and closed curves.
func randomStrokes(r *rand.Rand, n int) []paths.Stroke {
	p := func() paths.Point { return pt(100*r.Float64(), 100*r.Float64()) }
	near := func(q paths.Point) paths.Point { return q.Add(pt(20*r.Float64()-10, 20*r.Float64()-10)) }
	out := make([]paths.Stroke, n)
	for i := range out {
		a := p()
		switch r.IntN(9) {
		case 0:
			out[i] = paths.Polyline(a)
		case 1:
			out[i] = paths.Stroke{paths.Circle(a, 1+9*r.Float64())}
		case 2:
			out[i] = paths.Polyline(a, near(a), near(a), a)
		case 3:
			b := near(a)
			out[i] = paths.Stroke{paths.Cubic{A: a, B: near(a), C: near(b), D: b}, paths.Line{A: b, B: a}}
		case 4:
			out[i] = paths.Stroke{paths.ArcBulge(a, near(a), 2*r.Float64()-1)}
		case 5:
			b := near(a)
			out[i] = paths.Stroke{paths.Cubic{A: a, B: near(a), C: near(b), D: b}}
		default:
			out[i] = paths.Polyline(a, near(a), near(a))
		}
	}
	return out
}

// TestOrderPromises throws random groups at Order: each stroke comes once, the
// same up to direction and start; groups follow one another; the tour is no
// longer than the given one, and as long as it says; the same input gives the
// same tour.
func TestOrderPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		groups := make([][]paths.Stroke, rapid.IntRange(0, 3).Draw(t, "groups"))
		for g := range groups {
			groups[g] = randomStrokes(r, rapid.IntRange(0, 25).Draw(t, "strokes"))
		}
		opt := Options{Home: pt(-5, 3), Park: pt(120, 0), Effort: Quick}
		if rapid.Bool().Draw(t, "time") {
			opt.Cost = hopTime
		}
		got, err := Order(groups, opt)
		if err != nil {
			t.Fatal(err)
		}
		checkPlaced(t, groups, got.Placed)
		if sum := travel(got.Placed, opt, paths.Point.Dist); math.Abs(sum-got.TravelMM) > 1e-9 {
			t.Errorf("travel %g, said to be %g", sum, got.TravelMM)
		}
		cost := opt.Cost
		if cost == nil {
			cost = paths.Point.Dist
		}
		if is, was := travel(got.Placed, opt, cost), travel(asGiven(groups), opt, cost); is > was {
			t.Errorf("costs %g, as given %g", is, was)
		}
		again, err := Order(groups, opt)
		if err != nil || !reflect.DeepEqual(got, again) {
			t.Error("ordered otherwise the second time")
		}
	})
}

// hopTime is the time of a hop of a machine with two equal axes that move
// independently, with 0.4 s for the lift.
func hopTime(p, q paths.Point) float64 {
	d := max(math.Abs(p.X-q.X), math.Abs(p.Y-q.Y))
	const v, a = 120, 800.
	if d < v*v/a {
		return 0.4 + 2*math.Sqrt(d/a)
	}
	return 0.4 + d/v + v/a
}

func checkPlaced(t rapid.TB, groups [][]paths.Stroke, placed []Placed) {
	t.Helper()
	last := 0
	count := make([][]int, len(groups))
	for g := range groups {
		count[g] = make([]int, len(groups[g]))
	}
	for _, p := range placed {
		if p.Group < last {
			t.Fatalf("group %d after group %d", p.Group, last)
		}
		last = p.Group
		count[p.Group][p.Index]++
		checkSame(t, p, groups[p.Group][p.Index])
	}
	for g := range count {
		for i, n := range count[g] {
			if n != 1 {
				t.Fatalf("stroke %d of group %d comes %d times", i, g, n)
			}
		}
	}
}

// checkSame checks that p draws s, up to direction, and start when closed.
func checkSame(t rapid.TB, p Placed, s paths.Stroke) {
	t.Helper()
	if err := p.Stroke.Validate(); err != nil {
		t.Fatal(err)
	}
	if !s.IsClosed() {
		want := s
		if p.Reversed {
			want = s.Reverse()
		}
		if !slices.Equal(p.Stroke, want) {
			t.Fatalf("%v is not %v", p.Stroke, want)
		}
		return
	}
	if !p.Stroke.IsClosed() {
		t.Fatalf("%v is open, %v closed", p.Stroke, s)
	}
	if math.Abs(p.Stroke.Length()-s.Length()) > 1e-6*s.Length() {
		t.Fatalf("%v is %g mm long, not %g", p.Stroke, p.Stroke.Length(), s.Length())
	}
	for _, c := range p.Stroke {
		for _, at := range []float64{0, 0.3, 0.7} {
			least := math.Inf(1)
			for _, o := range s {
				_, d := nearestOn(o, c.At(at))
				least = min(least, d)
			}
			if least > 1e-6 {
				t.Fatalf("%v is %g mm off the loop", c.At(at), least)
			}
		}
	}
}
