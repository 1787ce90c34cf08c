package order

import (
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

// TestBestEntry: where a loop is best entered, against a fine row of its points:
// what the search leaves out cannot hold the best.
func TestBestEntry(t *testing.T) {
	place := rapid.Custom(func(t *rapid.T) paths.Point {
		return pt(rapid.Float64Range(-30, 30).Draw(t, "x"), rapid.Float64Range(-30, 30).Draw(t, "y"))
	})
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := place.Draw(t, "a"), place.Draw(t, "b"), place.Draw(t, "c")
		loop := paths.Stroke{
			paths.Cubic{A: a, B: place.Draw(t, "d"), C: place.Draw(t, "e"), D: b},
			paths.Line{A: b, B: c},
			paths.Arc{From: c, To: a, Centre: c.Lerp(a, 0.5), Sweep: math.Pi},
		}
		p, q := place.Draw(t, "from"), place.Draw(t, "to")
		l := entryPass{entryList: &entryList{f: &instance{}, strokes: []paths.Stroke{loop}}}
		got := l.best(0, p, q)
		least := math.Inf(1)
		for _, c := range loop {
			for k := range 2001 {
				e := c.At(float64(k) / 2000)
				least = min(least, p.Dist(e)+e.Dist(q))
			}
		}
		// A bend between two of the eight parts of a curve may have two lows.
		if cost := p.Dist(got.Point) + got.Dist(q); cost > least*1.02+0.01 {
			t.Fatalf("entered at %v the way is %.4f mm, and %.4f is possible", got.Point, cost, least)
		}
		if d := loop[got.curve].At(got.t).Dist(got.Point); d > 1e-9 {
			t.Fatalf("the entry is %v mm off its curve", d)
		}
	})
}

// TestNearEntry: where a loop is entered when the way over it has moved a little, against the
// best of the whole loop: it is as good but for a way that had two nearly as good.
func TestNearEntry(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 71))
	place := func(far float64) paths.Point { return pt(far*r.NormFloat64(), far*r.NormFloat64()) }
	var worse, all float64
	for range 2000 {
		a, b, c := place(5), place(5), place(5)
		k := paths.Cubic{A: a, B: a.Add(place(2)), C: b.Add(place(2)), D: b}
		loop := paths.Stroke{k, paths.Line{A: b, B: c}, paths.Arc{From: c, To: a, Centre: c.Lerp(a, 0.5), Sweep: math.Pi}}
		p, q := place(15), place(15)
		l := entryPass{entryList: &entryList{f: &instance{}, strokes: []paths.Stroke{loop}, at: make([]entry, 1)}}
		l.at[0] = l.best(0, p, q)
		p, q = p.Add(place(0.3)), q.Add(place(0.3))
		way := [2]paths.Point{p, q}
		got, want := l.near(0, p, q), l.best(0, p, q)
		if d := loop[got.curve].At(got.t).Dist(got.Point); d > 1e-9 {
			t.Fatalf("the entry is %v mm off its curve", d)
		}
		// The way over where it was entered before has no part in this: it may be longer.
		if before := l.over(l.at[0].Point, way); l.over(got.Point, way) > before+1e-6 {
			t.Fatalf("entered at %v the way is %.6f mm, before it was %.6f", got, l.over(got.Point, way), before)
		}
		worse += l.over(got.Point, way) - l.over(want.Point, way)
		all += l.over(want.Point, way)
	}
	t.Logf("%.6f of the way longer", worse/all)
	if worse > 1e-3*all {
		t.Errorf("ways are %.6f longer than over the best point", worse/all)
	}
}

// TestEntriesSettle: a straight way over a loop meets it twice, and both places are as
// good; an entry does not go to and fro between them for as many passes as there are.
func TestEntriesSettle(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	var loops []paths.Stroke
	for range 300 {
		loops = append(loops, paths.Stroke{paths.Circle(pt(100*r.Float64(), 100*r.Float64()), 0.5+r.Float64())})
	}
	f := newInstance(loops, pt(0, 0), pt(0, 0), nil)
	w := &ordering{f: f, near: newNeighbours(f)}
	w.seq = greedy(f, w.near, nil)
	n := int32(len(loops))
	l := entryList{f: f, strokes: loops, seq: fromHome(w.seq, n), at: make([]entry, n), ways: make([][2]paths.Point, n), placed: make([]bool, n)}
	if looks := l.refine(func(float64) {}); looks > 5*len(loops) {
		t.Errorf("%d loops are looked at %d times", len(loops), looks)
	}
}

// TestEntriesOnCores: entries of loops come out the same for any number of cores, also where
// the tour is looked at in stretches side by side, and they leave no way longer.
func TestEntriesOnCores(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	r := rand.New(rand.NewPCG(5, 6))
	var loops []paths.Stroke
	for i := range 2*stretch + 300 {
		loops = append(loops, paths.Stroke{paths.Circle(pt(2*float64(i), 3*r.Float64()), 0.3+r.Float64())})
	}
	n := int32(len(loops))
	var first []paths.Point
	for _, count := range []int{1, 2, 3} {
		runtime.GOMAXPROCS(count)
		f := newInstance(loops, pt(0, 0), pt(0, 0), nil)
		w := &ordering{f: f, seq: identity(len(loops) + 1)}
		before := w.cost()
		place(loops, w, pt(0, 0), pt(0, 0), func(float64) {})
		if after := w.cost(); after > before*0.95 {
			t.Fatalf("%d cores: the tour was %.1f mm, and is %.1f with better entries", count, before, after)
		}
		if first == nil {
			first = f.pos
		}
		if !slices.Equal(f.pos, first) {
			t.Fatalf("%d cores: the %d loops are entered elsewhere than on one", count, n)
		}
	}
}
