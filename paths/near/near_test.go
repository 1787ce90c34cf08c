package near

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// somePoints draws points that often share places, rows and cells.
func somePoints(t *rapid.T, least int) []paths.Point {
	size := rapid.SampledFrom([]float64{0, 1, 100, 1e4}).Draw(t, "size")
	grain := rapid.SampledFrom([]float64{0, 0.25, 1}).Draw(t, "grain")
	at := rapid.Custom(func(t *rapid.T) paths.Point {
		p := pt(rapid.Float64Range(-size, size).Draw(t, "x"), rapid.Float64Range(-size/3, size).Draw(t, "y"))
		if grain > 0 {
			p = pt(math.Round(p.X/grain)*grain, math.Round(p.Y/grain)*grain)
		}
		return p
	})
	return rapid.SliceOfN(at, least, 60).Draw(t, "points")
}

// Sets against a plain list of colours, where joining paints one colour over.
func TestSetsAgainstColours(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 40).Draw(t, "n")
		s, colour := NewSets(n), make([]int, n)
		for i := range colour {
			colour[i] = i
		}
		member := rapid.IntRange(0, n-1)
		for range rapid.IntRange(0, 60).Draw(t, "joins") {
			i, j := member.Draw(t, "i"), member.Draw(t, "j")
			before := s.Clone()
			if got := s.Join(i, j); got != (colour[i] != colour[j]) {
				t.Fatalf("Join(%d, %d) = %v", i, j, got)
			}
			if before.Same(i, j) != (colour[i] == colour[j]) {
				t.Fatal("a clone changed with the sets it was made of")
			}
			from, to := colour[i], colour[j]
			for k := range colour {
				if colour[k] == from {
					colour[k] = to
				}
			}
		}
		number, count := s.Numbers()
		distinct := map[int]bool{}
		for i := range n {
			distinct[number[i]] = true
			if least := slices.Index(colour, colour[i]); s.Find(i) != least {
				t.Fatalf("Find(%d) = %d, the least of its set is %d", i, s.Find(i), least)
			}
			for j := range n {
				same := colour[i] == colour[j]
				if s.Same(i, j) != same || (number[i] == number[j]) != same {
					t.Fatalf("%d and %d: Same is %v, numbers %d and %d; want %v", i, j, s.Same(i, j), number[i], number[j], same)
				}
			}
		}
		if len(distinct) != count || slices.Max(number) != count-1 {
			t.Fatalf("%d sets in numbers %v", count, number)
		}
	})
}

func TestSetsGrow(t *testing.T) {
	s := NewSets(2)
	s.Join(0, 1)
	if i := s.Add(); i != 2 || s.Len() != 3 || s.Same(0, 2) || !s.Join(2, 1) || s.Find(2) != 0 {
		t.Errorf("a member more: number %d of %d", i, s.Len())
	}
}

// Points against checking every point.
func TestPointsAgainstAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := somePoints(t, 0)
		g := NewPoints(at)
		p := pt(rapid.Float64Range(-150, 150).Draw(t, "px"), rapid.Float64Range(-150, 150).Draw(t, "py"))
		if len(at) > 0 && rapid.Bool().Draw(t, "of them") {
			p = rapid.SampledFrom(at).Draw(t, "p")
		}
		d := rapid.SampledFrom([]float64{0, 0.5, 1, 20, 500}).Draw(t, "d")
		r := paths.RectOf(p, p.Add(pt(d, 2*d)))
		var within, in, all []int
		for i, q := range at {
			all = append(all, i)
			if q.Dist(p) <= d {
				within = append(within, i)
			}
			if r.Contains(q) {
				in = append(in, i)
			}
		}
		if got := slices.Sorted(g.Within(p, d)); !slices.Equal(got, within) {
			t.Fatalf("within %g of %v: %v, want %v", d, p, got, within)
		}
		if got := slices.Sorted(g.In(r)); !slices.Equal(got, in) {
			t.Fatalf("in %v: %v, want %v", r, got, in)
		}
		for range g.In(paths.EmptyRect()) {
			t.Fatal("a point in an empty rectangle")
		}
		k := rapid.IntRange(0, 10).Draw(t, "k")
		slices.SortStableFunc(all, func(a, b int) int {
			switch da, db := at[a].Dist(p), at[b].Dist(p); {
			case da < db:
				return -1
			case da > db:
				return 1
			}
			return 0
		})
		if got, want := g.Nearest(p, k), all[:min(k, len(all))]; !slices.Equal(got, want) {
			t.Fatalf("the %d nearest to %v: %v, want %v", k, p, got, want)
		}
		checkRings(t, g, p, len(at))
	})
}

// checkRings checks that the rings round p hold each of n points once, and none
// nearer than they may.
func checkRings(t rapid.TB, g *Points, p paths.Point, n int) {
	t.Helper()
	var ringed []int
	for r := 0; r <= g.Rings(); r++ {
		for i := range g.Ring(p, r) {
			ringed = append(ringed, i)
			if r > 0 && g.At(i).Dist(p) < g.Beyond(r-1)*(1-1e-12) {
				t.Fatalf("%v is %g from %v, in ring %d", g.At(i), g.At(i).Dist(p), p, r)
			}
		}
	}
	slices.Sort(ringed)
	if len(ringed) != n || len(slices.Compact(ringed)) != n {
		t.Fatalf("all rings hold %v of %d points", ringed, n)
	}
}

// Clusters against the closure by Warshall (J. ACM 9 (1962) 11-12), and in any
// order of the points.
func TestClustersAgainstClosure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := somePoints(t, 0)
		d := rapid.SampledFrom([]float64{0, 0.25, 0.5, 1, 3, 1e-6}).Draw(t, "d")
		n := len(at)
		near := closure(at, d)
		number, count := Clusters(at, d)
		checkNumbers(t, number, count)
		for i := range n {
			for j := range n {
				if (number[i] == number[j]) != near[i][j] {
					t.Fatalf("%v and %v: numbers %d and %d, near by steps of %g: %v", at[i], at[j], number[i], number[j], d, near[i][j])
				}
			}
		}
		back := slices.Clone(at)
		slices.Reverse(back)
		again, _ := Clusters(back, d)
		for i := range n {
			for j := range n {
				if (number[i] == number[j]) != (again[n-1-i] == again[n-1-j]) {
					t.Fatalf("%v and %v share a number in one order of the points only", at[i], at[j])
				}
			}
		}
	})
}

// closure returns which points a chain of steps of at most d joins.
func closure(at []paths.Point, d float64) [][]bool {
	near := make([][]bool, len(at))
	for i := range near {
		near[i] = make([]bool, len(at))
		for j := range near[i] {
			near[i][j] = at[i].Dist(at[j]) <= d
		}
	}
	for k := range at {
		for i := range at {
			for j := range at {
				near[i][j] = near[i][j] || near[i][k] && near[k][j]
			}
		}
	}
	return near
}

// checkNumbers checks that numbers count from 0 in the order in which they come.
func checkNumbers(t rapid.TB, number []int, count int) {
	t.Helper()
	next := 0
	for _, k := range number {
		if k == next {
			next++
		}
		if k >= next {
			t.Fatalf("numbers %v do not count up", number)
		}
	}
	if next != count {
		t.Fatalf("%d numbers, said to be %d", next, count)
	}
}

// Points that nearly all stand alone, some equal, some with others a step away on either side
// of the squares that they are told by; the source is again the closure, of points that lie
// near any others only.
func TestClustersOfSparsePoints(t *testing.T) {
	const d, alone = 0.01, 16
	rapid.Check(t, func(t *rapid.T) {
		rnd := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		at := []paths.Point{pt(-99.5*squareSide*d, -99.5*squareSide*d)} // in the middle of a square of its own
		for range alone {
			p := pt(rnd.Float64()*1000, rnd.Float64()*1000)
			if rnd.IntN(2) == 0 { // on a side or a corner of the squares
				p.X = math.Round(p.X/(squareSide*d)) * squareSide * d
			}
			at = append(at, p)
			for range rnd.IntN(4) {
				q := at[len(at)-1]
				switch rnd.IntN(3) {
				case 0:
					q = q.Add(pt(rnd.Float64()-0.5, rnd.Float64()-0.5).Mul(3 * d))
				case 1:
					sin, cos := math.Sincos(rnd.Float64() * 2 * math.Pi)
					q = q.Add(pt(cos, sin).Mul(d * (1 - 1e-9 + 2e-9*float64(rnd.IntN(2)))))
				}
				at = append(at, q)
			}
		}
		rnd.Shuffle(len(at), func(i, j int) { at[i], at[j] = at[j], at[i] })
		if others := joinEqual(NewSets(len(at)), at, d); len(others) == len(at) {
			t.Fatal("no point stands alone")
		}
		number, count := Clusters(at, d)
		checkNumbers(t, number, count)
		near := closure(at, d)
		for i := range at {
			for j := range i {
				if (number[i] == number[j]) != near[i][j] {
					t.Fatalf("%v and %v: numbers %d and %d, near by steps: %v", at[i], at[j], number[i], number[j], near[i][j])
				}
			}
		}
	})
}

// Three points in a row, the outer two too far apart: the answer that a search
// for "some point that is near" gives depends on which comes first.
func TestClustersInAnyOrder(t *testing.T) {
	a, b, c := pt(0.1, 0.1), pt(0.95, 0.95), pt(0.5, 0.5)
	for _, at := range [][]paths.Point{{a, b, c}, {a, c, b}, {c, a, b}, {b, a, c}} {
		if number, count := Clusters(at, 1); count != 1 {
			t.Errorf("%v: %v", at, number)
		}
	}
	if number, count := Clusters([]paths.Point{a, b}, 1); count != 2 {
		t.Errorf("without the middle one: %v", number)
	}
}

// Points piled up in one place do not take quadratic time: this would be 10^10
// pairs.
func TestClustersOfAHeap(t *testing.T) {
	at := make([]paths.Point, 100_000)
	for i := range at {
		at[i] = pt(float64(i)*1e-9, 0)
	}
	if _, count := Clusters(at, 1e-3); count != 1 {
		t.Errorf("%d clusters", count)
	}
}

// Leaders against checking every leader.
func TestLeadersAgainstAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := somePoints(t, 0)
		d := rapid.SampledFrom([]float64{0, 0.25, 0.5, 1, 3, 1e-6}).Draw(t, "d")
		odd := rapid.Bool().Draw(t, "odd with odd")
		may := func(i, j int) bool { return !odd || i%2 == j%2 }
		number, leader := Leaders(at, d, may)
		var want []int
		for i, p := range at {
			best, least := -1, math.Inf(1)
			for k, l := range want {
				if to := p.Dist(at[l]); to <= d && to < least && may(i, l) {
					best, least = k, to
				}
			}
			if best < 0 {
				best = len(want)
				want = append(want, i)
			}
			if got := at[leader[number[i]]].Dist(p); got > d || best != number[i] && got != least {
				t.Fatalf("%v follows leader %d, %g away; want %d, %g", p, number[i], got, best, least)
			}
		}
		if !slices.Equal(leader, want) {
			t.Fatalf("leaders %v, want %v", leader, want)
		}
	})
}

// Curves against checking every curve: none within reach is missed.
func TestCurvesAgainstAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		curves := rapid.SliceOfN(rapid.Custom(someCurve), 0, 20).Draw(t, "curves")
		reach := rapid.Float64Range(0, 5).Draw(t, "reach")
		if rapid.Bool().Draw(t, "crowded") { // so that cells are divided
			reach /= 100
			for _, c := range slices.Clone(curves) {
				for k := range 15 {
					curves = append(curves, c.Transform(paths.Translate(pt(float64(k%4)/7, float64(k)/9)))...)
				}
			}
		}
		x := NewCurves(len(curves), func(i int) paths.Curve { return curves[i] }, reach)
		for range 5 {
			p := pt(rapid.Float64Range(-60, 60).Draw(t, "x"), rapid.Float64Range(-60, 60).Draw(t, "y"))
			var met []int
			x.Near(p, func(i int) bool { met = append(met, i); return true })
			if !slices.IsSorted(met) || len(slices.Compact(slices.Clone(met))) != len(met) {
				t.Fatalf("not once each, rising: %v", met)
			}
			for i, c := range curves {
				if _, d := On(c, p); d <= reach && !slices.Contains(met, i) {
					t.Fatalf("%v is %g from %v and not among %v", c, d, p, met)
				}
			}
			if len(met) > 1 {
				n := 0
				if x.Near(p, func(int) bool { n++; return false }); n != 1 {
					t.Fatalf("went on %d times after false", n)
				}
			}
		}
	})
}

// A restricted index against checking every curve: of those that are let in none within reach is
// missed, neither by a query nor by what is known before it, and others are found only where few
// curves are near.
func TestRestrictedCurvesAgainstAll(t *testing.T) {
	crowdedPlaces := 0
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		n, width := rapid.IntRange(1, 300).Draw(t, "curves"), rapid.SampledFrom([]float64{0.1, 3, 60}).Draw(t, "width")
		curves, kept := make([]paths.Curve, n), make([]bool, n)
		for i := range curves {
			y := func() float64 { return width * r.Float64() }
			a, b := pt(10*r.Float64(), y()), pt(40+10*r.Float64(), y())
			if curves[i] = (paths.Line{A: a, B: b}); r.IntN(8) == 0 {
				curves[i] = paths.ArcBulge(a, b, r.Float64()-0.5)
			}
			kept[i] = r.IntN(3) > 0
		}
		const reach = 0.05
		x := NewCurves(n, func(i int) paths.Curve { return curves[i] }, reach)
		x.Restrict(func(i int) bool { return kept[i] })
		for upTo := 0; upTo <= n; upTo += 1 + r.IntN(12) {
			x.UpTo(upTo)
			p := curves[r.IntN(n)].At(float64(r.IntN(3)) / 2)
			looks := x.Looks()
			known := x.AppendKnown(nil, p)
			if x.Looks() != looks {
				t.Fatal("what is known was counted")
			}
			list, place := x.Place(p, nil)
			if again, same := x.Place(p, nil); same != place || !slices.Equal(again, list) {
				t.Fatalf("asked twice, a place is %v and %v", list, again)
			}
			if len(list) > crowdedCell || place != (Place{}) {
				crowdedPlaces++
			}
			for i, c := range curves {
				found, isKnown := slices.Contains(list, int32(i)), slices.Contains(known, int32(i))
				in := kept[i] && i < upTo
				switch _, d := On(c, p); {
				case in && d <= reach && !(found && isKnown):
					t.Fatalf("curve %d of %d is %g away: found %v, known %v", i, n, d, found, isKnown)
				case found && !in && place != (Place{}):
					t.Fatalf("curve %d is found in a crowd, and not let in", i)
				}
			}
			if !slices.IsSorted(list) || !slices.IsSorted(known) {
				t.Fatalf("not rising: %v, %v", list, known)
			}
		}
	})
	if crowdedPlaces == 0 {
		t.Error("no place was crowded")
	}
}

// A cell is not divided where what it holds is enough.
func TestPlaceIsEnough(t *testing.T) {
	curves := make([]paths.Curve, 200)
	for i := range curves {
		curves[i] = paths.Line{A: pt(0, float64(i)/10), B: pt(50, float64(i)/10)}
	}
	x := NewCurves(len(curves), func(i int) paths.Curve { return curves[i] }, 0.001)
	asked := 0
	list, _ := x.Place(pt(25, 1), func(list []int32) bool { asked++; return true })
	if asked != 1 || len(list) <= crowdedCell {
		t.Errorf("%d curves after %d questions", len(list), asked)
	}
	if list = x.Cell(pt(25, 1)); len(list) > crowdedCell {
		t.Errorf("%d curves where it is divided", len(list))
	}
}

// The boxes of the pieces of a curve are those of its parts, and no curve is longer than it is
// taken to be at most.
func TestPiecesAgainstParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, n, k := someCurve(t), rapid.IntRange(1, 7).Draw(t, "pieces"), 0
		Pieces(c, n, func(box paths.Rect) {
			want := paths.Sub(c, float64(k)/float64(n), float64(k+1)/float64(n)).Bounds()
			if box.Min.Dist(want.Min) > 1e-9 || box.Max.Dist(want.Max) > 1e-9 {
				t.Errorf("piece %d of %v has the box %v, want %v", k, c, box, want)
			}
			k++
		})
		if k != n {
			t.Errorf("%d pieces of %d", k, n)
		}
		if most := LengthAtMost(c); most < c.Length()*(1-1e-9) {
			t.Errorf("%v is taken to be %g mm long at most, and is %g", c, most, c.Length())
		}
	})
}

// Cells against checking every segment.
func TestCellsAlong(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := somePoints(t, 2)
		side := rapid.SampledFrom([]float64{0, 1, 7}).Draw(t, "side")
		c := NewCells(paths.RectOf(at...), side, len(at)-1, func(i int, put func(paths.Rect)) {
			Steps(at[i], at[i+1], max(side, 0.5), put)
		})
		if c.Side() < side {
			t.Fatalf("cells of %g, asked for %g", c.Side(), side)
		}
		a, b := rapid.SampledFrom(at).Draw(t, "a"), rapid.SampledFrom(at).Draw(t, "b")
		grow := rapid.SampledFrom([]float64{0, 0.5, 3}).Draw(t, "grow")
		met := map[int]bool{}
		c.Along(a, b, grow, func(items []int32) {
			for _, i := range items {
				met[int(i)] = true
			}
		})
		for i := range len(at) - 1 {
			// Every place of a segment within grow of a place of the other counts.
			for k := 0; k <= 20; k++ {
				p := at[i].Lerp(at[i+1], float64(k)/20)
				if _, d := (paths.Line{A: a, B: b}).Nearest(p); d <= grow*(1-1e-9) && !met[i] {
					t.Fatalf("the segment from %v to %v is within %g of that from %v to %v", at[i], at[i+1], grow, a, b)
				}
			}
		}
	})
}

// Cells that a box touches, against checking every item.
func TestCellsIn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := somePoints(t, 2)
		c := NewCells(paths.RectOf(at...), rapid.SampledFrom([]float64{0, 1, 7}).Draw(t, "side"), len(at)-1, func(i int, put func(paths.Rect)) {
			put(paths.RectOf(at[i], at[i+1]))
		})
		box := paths.RectOf(rapid.SampledFrom(at).Draw(t, "a"), rapid.SampledFrom(at).Draw(t, "b"))
		times := map[int]int{}
		c.In(box, func(items []int32) {
			for _, i := range items {
				times[int(i)]++
			}
		})
		for i := range len(at) - 1 {
			if paths.RectOf(at[i], at[i+1]).Overlaps(box) && times[i] == 0 {
				t.Fatalf("the box %v of item %d touches %v and was not visited", paths.RectOf(at[i], at[i+1]), i, box)
			}
		}
	})
}

// However long a segment and however small the cells, no more cells are visited
// than the grid has, a few times each, and none that the segment touches is left out.
func TestCellsAlongFarBeyondTheGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 40).Draw(t, "n")
		size := rapid.SampledFrom([]float64{0, 1e-10, 1e-6, 1}).Draw(t, "size")
		number := rapid.Float64Range(0, size)
		at := make([]paths.Point, n)
		for i := range at {
			at[i] = pt(number.Draw(t, "x"), number.Draw(t, "y"))
		}
		c := NewCells(paths.RectOf(at...), 0, n, func(i int, put func(paths.Rect)) { put(paths.RectOf(at[i], at[i])) })
		far := rapid.Float64Range(-1e3, 1e3)
		through := rapid.SampledFrom(at).Draw(t, "through")
		d := pt(far.Draw(t, "dx"), far.Draw(t, "dy"))
		a, b := through.Sub(d), through.Add(d.Mul(rapid.Float64Range(0, 2).Draw(t, "ahead")))
		visits, met := 0, map[int32]bool{}
		c.Along(a, b, 1e-9, func(items []int32) {
			visits++
			for _, i := range items {
				met[i] = true
			}
		})
		if most := 30 * (c.nx + c.ny + 1); visits > most {
			t.Fatalf("%d visits in a grid of %d x %d cells", visits, c.nx, c.ny)
		}
		for i, p := range at {
			if _, d := (paths.Line{A: a, B: b}).Nearest(p); d == 0 && !met[int32(i)] {
				t.Fatalf("the segment from %v to %v goes through %v, which was not met", a, b, p)
			}
		}
	})
}
