package order

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/order/ordertest"
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

func line(x0, y0, x1, y1 float64) paths.Stroke { return paths.Polyline(pt(x0, y0), pt(x1, y1)) }

// TestOrderPromises throws random groups at Order: each stroke comes once, the
// same up to direction and start; groups follow one another; the tour is no
// longer than the given one, and as long as it says; the same input gives the
// same tour.
func TestOrderPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		groups := make([][]paths.Stroke, rapid.IntRange(0, 3).Draw(t, "groups"))
		for g := range groups {
			groups[g] = ordertest.RandomStrokes(r, rapid.IntRange(0, 25).Draw(t, "strokes"))
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
	if !isRestart(p.Stroke, s) {
		t.Fatalf("%v is not %v begun elsewhere", p.Stroke, s)
	}
}

// isRestart reports whether a is the closed stroke b begun at another point:
// the same curves in the same order, and perhaps one in two parts.
func isRestart(a, b paths.Stroke) bool {
	for i := range b {
		if slices.Equal(a, b.StartingAt(i, 0)) {
			return true
		}
	}
	if len(a) != len(b)+1 {
		return false
	}
	first, last := a[0], a[len(a)-1]
	for i, c := range b {
		if slices.Equal(a[1:len(b)], b.StartingAt(i, 0)[1:]) && first.End() == c.End() &&
			last.Start() == c.Start() && last.End() == first.Start() &&
			math.Abs(first.Length()+last.Length()-c.Length()) < 1e-6 {
			return true
		}
	}
	return false
}

func TestOrderStops(t *testing.T) {
	strokes := ordertest.Uniform(1500, 3)
	var told, last int
	opt := Options{Effort: Thorough}
	opt.Progress = func(done, total int, best float64) {
		if done < last || done > total {
			t.Errorf("progress went from %d to %d of %d", last, done, total)
		}
		told, last = told+1, done
	}
	opt.Stop = func() bool { return told >= 5 }
	got, err := Order([][]paths.Stroke{strokes}, opt)
	if err != nil {
		t.Fatal(err)
	}
	checkPlaced(t, [][]paths.Stroke{strokes}, got.Placed)
	if told < 5 || told > 60 { // to the end it is told thousands of times
		t.Errorf("progress was told %d times, and a stop asked for after 5", told)
	}
	if got.TravelMM > 1.1*ordertest.NearestFirst(strokes) {
		t.Errorf("travel is %g mm when stopped early", got.TravelMM)
	}
}

// TestProgressIsSteady: progress is told from the beginning to the end, in steps of a tenth
// of the work at most, with loops as without.
func TestProgressIsSteady(t *testing.T) {
	for name, strokes := range map[string][]paths.Stroke{"strokes": ordertest.Uniform(2500, 3), "loops": circles(2000, 4)} {
		last, worst := 0., 0.
		opt := Options{Effort: Quick, Progress: func(done, total int, _ float64) {
			share := float64(done) / float64(total)
			last, worst = share, max(worst, share-last)
		}}
		if _, err := Order([][]paths.Stroke{strokes}, opt); err != nil {
			t.Fatal(err)
		}
		if worst > 0.1 || last < 0.98 {
			t.Errorf("%s: progress goes on by %.2f at once, and ends at %.2f", name, worst, last)
		}
	}
}

// circles are small ones that lie anywhere.
func circles(n int, seed uint64) []paths.Stroke {
	rnd := rand.New(rand.NewPCG(seed, 9))
	out := make([]paths.Stroke, n)
	for i := range out {
		out[i] = paths.Stroke{paths.Circle(pt(600*rnd.Float64(), 600*rnd.Float64()), 0.4+rnd.Float64())}
	}
	return out
}

func TestOrderErrors(t *testing.T) {
	nan := math.NaN()
	good := line(0, 0, 1, 1)
	tests := []struct {
		name   string
		groups [][]paths.Stroke
		opt    Options
	}{
		{"empty stroke", [][]paths.Stroke{{good, nil}}, Options{}},
		{"broken chain", [][]paths.Stroke{{append(line(0, 0, 1, 1), line(2, 2, 3, 3)...)}}, Options{}},
		{"not a number", [][]paths.Stroke{{line(0, 0, nan, 1)}}, Options{}},
		{"home nowhere", [][]paths.Stroke{{good}}, Options{Home: pt(nan, 0)}},
		{"park nowhere", [][]paths.Stroke{{good}}, Options{Park: pt(math.Inf(1), 0)}},
		{"no such effort", [][]paths.Stroke{{good}}, Options{Effort: 7}},
	}
	for _, tt := range tests {
		if _, err := Order(tt.groups, tt.opt); err == nil {
			t.Errorf("%s: no error", tt.name)
		}
	}
	if _, err := ParseEffort("hard"); err == nil {
		t.Error(`ParseEffort("hard"): no error`)
	}
	for _, e := range []Effort{Quick, Normal, Thorough} {
		if got, err := ParseEffort(e.String()); err != nil || got != e {
			t.Errorf("ParseEffort(%q) = %v, %v", e, got, err)
		}
	}
}

// TestOrderHeapedUp orders strokes that lie in one place, or in none.
func TestOrderHeapedUp(t *testing.T) {
	dot := paths.Polyline(pt(5, 5))
	many := make([]paths.Stroke, 120)
	for i := range many {
		many[i] = dot
	}
	circles := make([]paths.Stroke, 50)
	for i := range circles {
		circles[i] = paths.Stroke{paths.Circle(pt(5, 5), 3)}
	}
	row := make([]paths.Stroke, 150)
	for i := range row {
		row[i] = paths.Polyline(pt(float64(i*7919%len(row)), 0))
	}
	for name, tt := range map[string]struct {
		strokes []paths.Stroke
		want    float64
	}{
		"none":    {nil, 0},
		"one":     {[]paths.Stroke{dot}, 2 * pt(5, 5).Len()},
		"dots":    {many, 2 * pt(5, 5).Len()},
		"circles": {circles, 2 * (pt(5, 5).Len() - 3)},
		"a row":   {row, 2 * float64(len(row)-1)},
	} {
		got, err := Order([][]paths.Stroke{tt.strokes}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.TravelMM-tt.want) > 1e-6 {
			t.Errorf("%s: %g mm, want %g", name, got.TravelMM, tt.want)
		}
		checkPlaced(t, [][]paths.Stroke{tt.strokes}, got.Placed)
	}
}

// TestOrderBorderFirst: a border is entered and left where that suits the
// artwork after it.
func TestOrderBorderFirst(t *testing.T) {
	border := paths.Polyline(pt(0, 0), pt(100, 0), pt(100, 100), pt(0, 100), pt(0, 0))
	art := []paths.Stroke{line(90, 50, 20, 50)}
	got, err := Order([][]paths.Stroke{{border}, art}, Options{Home: pt(100, -10), Park: pt(0, 50)})
	if err != nil {
		t.Fatal(err)
	}
	// The straight way from home to the artwork crosses the border.
	want := pt(100, -10).Dist(pt(90, 50)) + 20
	if math.Abs(got.TravelMM-want) > 1e-6 {
		t.Errorf("%g mm, want %g: %v", got.TravelMM, want, got.Placed)
	}
}

// Circles too small for a length: the search may enter them at one point only.
func TestOrderOfCirclesWithoutLength(t *testing.T) {
	for _, r := range []float64{1e-300, 5e-324, 1e-12} {
		var strokes []paths.Stroke
		for i := range 40 {
			at := paths.Point{X: float64(i*17%40) * 1e-5, Y: float64(i * 29 % 40)}
			from := paths.Point{X: at.X + r, Y: at.Y}
			strokes = append(strokes, paths.Stroke{paths.Arc{From: from, To: from, Centre: at, Sweep: 2 * math.Pi}})
		}
		got, err := Order([][]paths.Stroke{strokes}, Options{Effort: Quick})
		if err != nil {
			continue // refused as no circle at all
		}
		if len(got.Placed) != len(strokes) {
			t.Errorf("radius %g: %d of %d circles are drawn", r, len(got.Placed), len(strokes))
		}
	}
}
