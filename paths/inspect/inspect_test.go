package inspect

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/join"
	"weftplot/paths/near"
	_ "weftplot/paths/samecases"
)

// monks is for loops that take two channels of monk's cloth, 12 x 13 an inch:
// 4.23 mm across and 3.91 mm along.
var monks = Options{Across: 2 * 25.4 / 12, Along: 2 * 25.4 / 13, Meet: 0.01, Gap: 0.5, Double: 0.1}

// strokes reads polylines: "0,0 10,0 | 5,5 5,9".
func strokes(text string) []paths.Stroke {
	var out []paths.Stroke
	for _, line := range strings.Split(text, "|") {
		var pts []paths.Point
		for _, f := range strings.Fields(line) {
			var p paths.Point
			if _, err := fmt.Sscanf(f, "%g,%g", &p.X, &p.Y); err != nil {
				panic(err)
			}
			pts = append(pts, p)
		}
		if len(pts) > 0 {
			out = append(out, paths.Polyline(pts...))
		}
	}
	return out
}

func circle(x, y, r float64) paths.Stroke {
	return paths.Stroke{paths.Circle(paths.Point{X: x, Y: y}, r)}
}

// shown writes what was found: "double 5 at 3,4".
func shown(t *testing.T, s []paths.Stroke) string {
	t.Helper()
	joined, _, _ := join.Strokes(s, join.Options{Tolerance: monks.Meet, KeepDoubles: true})
	r := Inspect(joined, monks)
	if !r.Whole {
		t.Error("not everything was looked at")
	}
	var list []string
	for _, f := range r.Found {
		list = append(list, fmt.Sprintf("%s %.3g at %.3g,%.3g", []string{"double", "gap", "speck", "close"}[f.Kind], f.Length, f.At.X+0, f.At.Y+0))
	}
	return strings.Join(list, "; ")
}

// What is found in small drawings, worked out by hand.
func TestFound(t *testing.T) {
	for _, tt := range []struct {
		name string
		s    []paths.Stroke
		want string
	}{
		{"nothing", nil, ""},
		{"one line", strokes("0,0 50,0"), ""},
		{"a line twice", strokes("0,0 50,0 | 0,0 50,0"), "double 50 at 25,0"},
		{"a line there and back", strokes("0,0 50,0 0,0"), "double 50 at 25,0"},
		{"reversed", strokes("0,0 50,0 | 50,0 0,0"), "double 50 at 25,0"},
		{"in part", strokes("0,0 50,0 | 30,0 80,0"), "double 20 at 40,0"},
		{"inside, a twentieth of a mm off", strokes("0,0 50,0 | 10,0.05 20,0.05"), "double 10 at 15,0.05"},
		{"three times", strokes("0,0 50,0 | 0,0 50,0 | 0,0 50,0"), "double 100 at 0,0"},
		{"end to end", strokes("0,0 50,0 | 50,0 80,0"), ""},
		{"a circle twice", []paths.Stroke{circle(50, 50, 20), circle(50, 50, 20)}, "double 126 at 30,50"},
		{"crossing", strokes("0,0 50,50 | 0,50 50,0"), ""},
		{"crossing at two degrees", strokes("0,0 100,0 | 0,-1.7 100,1.7"), "close 33.1 at 16.5,-1.14; close 33.1 at 83.5,1.14"},
		{"a gap between ends", strokes("0,0 30,0 | 30.3,0 60,20"), "gap 0.3 at 30.1,0"},
		{"a gap to the middle of a line", strokes("0,0 60,0 | 30,0.4 30,40"), "gap 0.4 at 30,0.2"},
		{"too wide for a gap", strokes("0,0 60,0 | 30,0.6 30,40"), ""},
		{"ends that meet", strokes("0,0 60,0 | 30,0 30,40"), ""},
		{"an overshoot", strokes("0,0 60,0 | 30,-0.3 30,40"), ""},
		{"a shape nearly closed", strokes("0,0 60,0 60,60 0,60 0,0.3"), "gap 0.3 at 0,0.15"},
		{"a shape closed", strokes("0,0 60,0 60,60 0,60 0,0"), ""},
		{"a speck", strokes("0,0 60,0 | 30,30 31,30 31,33"), "speck 3 at 30.5,31.5"},
		{"a speck of two strokes", strokes("30,30 31,30 | 31,30 31,33 | 90,90 90,190"), "speck 3 at 30.5,31.5"},
		{"no speck: it belongs to a line", strokes("0,0 60,0 | 30,0 31,3"), ""},
		{"a speck of close lines", strokes("0,0 60,0 | 30,30 32,30 32,32 30,32 30,30"), "speck 2 at 31,31"},
		{"a dot", strokes("0,0 60,0 | 30,30"), "speck 0 at 30,30"},
		{"close, one above the other", strokes("0,0 60,0 | 10,3.8 40,3.8"), "close 30 at 25,3.8"},
		{"two rows apart", strokes("0,0 60,0 | 10,3.92 40,3.92"), ""},
		{"close, side by side", strokes("0,0 0,60 | 4.2,10 4.2,40"), "close 30 at 4.2,25"},
		{"two rows apart, side by side", strokes("0,0 0,60 | 4.24,10 4.24,40"), ""},
		{"a corner", strokes("0,0 60,0 | 0,0 0,60"), ""},
		{"a sharp corner", strokes("0,0 60,0 | 0,0 60,20"), ""},
		{"a wedge of three degrees", strokes("0,0 100,0 | 0,0 100,5.2"), "close 67.4 at 41.5,0"},
		{"a narrow box", strokes("0,0 60,0 60,3 0,3 0,0"), "close 47.4 at 30,3"},
		{"circles in one another", []paths.Stroke{circle(50, 50, 20), circle(50, 50, 23)}, "close 144 at 27,50"},
		{"circles in one another, apart", []paths.Stroke{circle(50, 50, 20), circle(50, 50, 24.5)}, ""},
		{"a circle that touches a line", append(strokes("0,0 100,0"), circle(50, 20, 20)), ""},
		{"dashes in a row", strokes("0,0 10,0 | 12,0 22,0"), ""},
		{"a ladder", strokes("0,0 0,60 | 30,0 30,60 | 0,10 30,10 | 0,20 30,20 | 0,30 30,30"), ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := shown(t, tt.s); got != tt.want {
				t.Errorf("found %q, want %q", got, tt.want)
			}
		})
	}
}

func drawSegment(t *rapid.T, f func(string) float64) segment {
	a, b := paths.Point{X: f("ax"), Y: f("ay")}, paths.Point{X: f("bx"), Y: f("by")}
	d := b.Sub(a)
	return segment{a: a, b: b, u: d.Unit(), length: d.Len()}
}

// The distance of two segments is the least of the distances of their points,
// and the overlap of one with the other is where those points say.
func TestSegmentsAgainstSampling(t *testing.T) {
	coord := func(t *rapid.T) func(string) float64 {
		return func(name string) float64 { return float64(rapid.IntRange(0, 40).Draw(t, name)) / 4 }
	}
	rapid.Check(t, func(t *rapid.T) {
		s, o := drawSegment(t, coord(t)), drawSegment(t, coord(t))
		const n = 60
		least := math.Inf(1)
		for i := range n + 1 {
			for k := range n + 1 {
				least = min(least, s.a.Lerp(s.b, float64(i)/n).Dist(o.a.Lerp(o.b, float64(k)/n)))
			}
		}
		d, on, other := distance(s, o)
		if d > least+1e-9 || d < least-(s.length+o.length)/n {
			t.Fatalf("distance %g, by sampling %g", d, least)
		}
		if got := s.at(on).Dist(o.at(other)); math.Abs(got-d) > 1e-9 {
			t.Fatalf("the places are %g apart, not %g", got, d)
		}
		if s.length > 0 && o.length > 0 {
			checkAlongside(t, s, o, n)
		}
	})
}

// checkAlongside asks of n places of s whether they lie beside o, no more than
// 2 mm off, and holds the overlap against that.
func checkAlongside(t *rapid.T, s, o segment, n int) {
	b := poseOf(&s, &o)
	st, ok := b.within(-2, 2)
	isTold := s.length > 1e-6 && math.Abs(s.u.Dot(o.u)) > 1e-6 // else it may have no length
	for i := range n + 1 {
		at := s.length * float64(i) / float64(n)
		p := s.at(at)
		foot, off := p.Sub(o.a).Dot(o.u), o.u.Cross(p.Sub(o.a))
		// How far inside of what counts the place lies, and inside of the overlap.
		inside := min(foot, o.length-foot, 2-math.Abs(off))
		within := math.Inf(-1)
		if ok {
			within = min(at-st.from, st.to-at)
		}
		if inside > 1e-9 && within < -1e-9 && isTold || inside < -1e-9 && within > 1e-9 {
			t.Fatalf("at %g the foot is at %g of %g, %g off; the overlap is %v to %v", at, foot, o.length, off, st.from, st.to)
		}
	}
}

// drawPolylines draws some polylines of a few points each.
func drawPolylines(t *rapid.T) []paths.Stroke {
	size := rapid.SampledFrom([]float64{5, 50, 500}).Draw(t, "size")
	var list []paths.Stroke
	for range rapid.IntRange(1, 12).Draw(t, "strokes") {
		var pts []paths.Point
		for range rapid.IntRange(2, 5).Draw(t, "points") {
			pts = append(pts, paths.Point{X: rapid.Float64Range(0, size).Draw(t, "x"), Y: rapid.Float64Range(0, size/3).Draw(t, "y")})
		}
		list = append(list, paths.Polyline(pts...))
	}
	return list
}

// A walk through the columns meets every earlier segment that is about parallel and
// beside it within reach, and no part of it nearer than is said.
func TestColumnsAgainstAllPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := newDrawing(drawPolylines(t), monks)
		p := f.newPairing(func(int32) bool { return false })
		for sector := range sectors {
			ids, _ := p.besides(sector, nil)
			p.columns.set(f, sector, ids, p.width)
			for n, i := range slices.Backward(ids) {
				if int(p.sectors[i]) == sector {
					p.checkWalks(t, n)
				}
				p.columns.remove(n)
			}
		}
	})
}

// checkWalks holds the walks from the segment in place n of the columns against its distances
// from all others.
func (p *pairing) checkWalks(t *rapid.T, n int) {
	c := &p.columns
	i := c.ids[n]
	s := &p.segs[i]
	met := map[int32]bool{}
	l, length := c.lie(s), 0.
	for column := c.at(l.x0); column <= c.at(l.x1); column++ {
		w, from, to := c.walkFrom(s, l, n, column)
		for _, within := range []float64{0.1, 2, p.reach()} {
			left, rest := int32(0), w
			for e, least := rest.next(); e != nil && least <= within; e, least = rest.next() {
				left++
			}
			if left > 0 && w.isFewer(left, within) {
				t.Fatalf("of segment %d fewer than the %d that are left are said to be", i, left)
			}
		}
		length += to - from
		for e, least := w.next(); e != nil; e, least = w.next() {
			if met[e.segment] = true; w.gap(e) < least-1e-9 {
				t.Fatalf("segment %d is %g off, and nothing was to be nearer than %g", e.segment, w.gap(e), least)
			}
			part := s.part(from, to)
			if lo, hi := offsetsOf(part, p.segs[e.segment], p.reach()); lo <= hi && lo < w.gap(e)-1e-9 {
				t.Fatalf("segment %d is said to be %g off a part and is %g", e.segment, w.gap(e), lo)
			}
		}
	}
	if math.Abs(length-s.length) > 1e-9 {
		t.Fatalf("the parts of a segment of %g mm are %g mm long", s.length, length)
	}
	for j, o := range p.segs {
		if o.length == 0 {
			continue
		}
		lo, hi := offsetsOf(*s, o, p.reach())
		isParallel := math.Abs(s.u.Dot(o.u)) > cosCrooked
		if met[int32(j)] && j >= int(i) || int32(j) < i && isParallel && lo <= hi && !met[int32(j)] {
			t.Fatalf("from segment %d segment %d at %g was met: %v", i, j, lo, met[int32(j)])
		}
	}
}

// Keys are sorted by their upper halves, those with the same stay in order, however many
// there are and however many are equal.
func TestSortByHeight(t *testing.T) {
	rnd := rand.New(rand.NewPCG(19, 28))
	var scratch []uint64
	for _, n := range []int{0, 1, 50, 399, 400, 5000, 700} {
		for _, most := range []uint64{1, 3, 5000, 1 << 32} {
			keys := make([]uint64, n)
			for i := range keys {
				keys[i] = (1<<32-1-rnd.Uint64N(most))<<32 | uint64(i)
			}
			want := slices.Clone(keys)
			slices.SortStableFunc(want, func(a, b uint64) int { return cmp.Compare(a>>32, b>>32) })
			if scratch = sortByHeight(keys, scratch); !slices.Equal(keys, want) {
				t.Errorf("%d keys of %d heights are not in order", n, most)
			}
		}
	}
}

// offsetsOf returns between which distances a part of a segment lies beside another, within
// most; none where it does not.
func offsetsOf(s, o segment, most float64) (lo, hi float64) {
	b := poseOf(&s, &o)
	t, ok := b.within(-most, most)
	if !ok {
		return 1, 0
	}
	return t.apart(), max(math.Abs(t.offFrom), math.Abs(t.offTo))
}

// The touches of strokes are those of all pairs of segments.
func TestTouchesAgainstAllPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := drawPolylines(t)
		f := newDrawing(list, monks)
		touching, want := newTouching(f), map[[2]int32]map[touch]bool{}
		allTouches(f, func(s, o segment, at touch) {
			if s.stroke == o.stroke && f.apart(s.stroke, at.on, at.at) < f.reach() {
				return
			}
			key := [2]int32{s.stroke, o.stroke}
			if want[key] == nil {
				want[key] = map[touch]bool{}
			}
			want[key][at] = true
		})
		for a := range list {
			for b := range a + 1 {
				key := [2]int32{int32(a), int32(b)}
				n := 0
				touching.find(key[0], key[1], func(on, at float64) {
					if n++; !want[key][touch{on, at}] {
						t.Fatalf("strokes %d and %d touch at %g and %g by the trees, not by all pairs", a, b, on, at)
					}
				})
				if n < len(want[key]) {
					t.Fatalf("strokes %d and %d have %d touches by the trees, %d by all pairs", a, b, n, len(want[key]))
				}
			}
		}
	})
}

// allTouches calls put with the places where two segments touch, the later one first.
func allTouches(f *drawing, put func(s, o segment, at touch)) {
	for i, s := range f.segs {
		for _, o := range f.segs[:i] {
			if d, on, at := distance(s, o); d <= f.Double {
				put(s, o, touch{s.from + on, o.from + at})
			}
		}
	}
}

// The specks are the small ones of the sets of strokes that touch, by all pairs.
func TestSpecksAgainstAllPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := drawPolylines(t)
		f := newDrawing(list, monks)
		sets := near.NewSets(len(list))
		allTouches(f, func(s, o segment, _ touch) { sets.Join(int(s.stroke), int(o.stroke)) })
		boxes := map[int]paths.Rect{}
		for i, s := range list {
			set := sets.Find(i)
			if _, ok := boxes[set]; !ok {
				boxes[set] = paths.EmptyRect()
			}
			boxes[set] = boxes[set].Union(s.Bounds())
		}
		var want, got []int
		for set, b := range boxes {
			if b.Width() < f.Across && b.Height() < f.Along {
				want = append(want, set)
			}
		}
		slices.Sort(want)
		specks, _ := f.findSpecks(list).found()
		for _, s := range specks {
			got = append(got, s.Stroke)
		}
		if !slices.Equal(got, want) {
			t.Fatalf("specks of strokes %v, by all pairs %v", got, want)
		}
	})
}

// touch is how far along each of two strokes a place is where they meet.
type touch struct{ on, at float64 }

// In a heap segments are held against some others only; as much of each stroke is told to
// be double, or close to another, as when each is held against every other.
func TestHeapAgainstAllPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := drawPolylines(t)
		for range rapid.IntRange(0, 20).Draw(t, "copies") {
			s := rapid.SampledFrom(list).Draw(t, "original")
			off := paths.Point{X: rapid.Float64Range(-2, 2).Draw(t, "dx"), Y: rapid.Float64Range(-2, 2).Draw(t, "dy")}
			if rapid.Bool().Draw(t, "exact") {
				off = paths.Point{}
			}
			list = append(list, s.Transform(paths.Translate(off)))
		}
		f := newDrawing(list, monks)
		none := func(int32) bool { return false }
		all, heap := f.newPairing(none), f.newPairing(none)
		all.holdAll()
		heap.few = 0
		if !heap.all() {
			t.Fatal("so few are not looked at")
		}
		// How much of each stroke is in overlaps, those left out that only cross at a flat angle.
		lengths := func(list []overlap) map[int32]float64 {
			sum := map[int32]float64{}
			for _, r := range merged(slices.DeleteFunc(list, func(o overlap) bool { return !o.isLevel(f.Double / 2 / (1 - 2*edge)) }), false, 1e-6) {
				sum[r.stroke] += r.to - r.from
			}
			return sum
		}
		held := func(what string, got, want map[int32]float64) {
			for i := range list {
				if got, want := got[int32(i)], want[int32(i)]; math.Abs(got-want) > 1e-3 {
					t.Fatalf("stroke %d is %s over %g mm, in a heap over %g", i, what, want, got)
				}
			}
		}
		held("double", lengths(heap.double), lengths(all.double))
		for _, p := range []*pairing{all, heap} {
			for i := range p.along { // how flat they lie makes no difference
				p.along[i].offFrom, p.along[i].offTo = 0, 0
			}
		}
		held("close", lengths(heap.along), lengths(all.along))
	})
}

// The gaps among straight strokes are those that the definition gives when every
// end is held against every stroke.
func TestGapsAgainstAllPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var list []paths.Stroke
		for range rapid.IntRange(1, 14).Draw(t, "strokes") {
			f := func(name string) float64 { return float64(rapid.IntRange(0, 60).Draw(t, name)) / 5 }
			a, b := paths.Point{X: f("ax"), Y: f("ay")}, paths.Point{X: f("bx"), Y: f("by")}
			if a.Dist(b) > 2 {
				list = append(list, paths.Polyline(a, b))
			}
		}
		var want [][]Found // for each end that has a gap, the nearest; several when as near
		for i, s := range list {
			for _, end := range []paths.Stroke{s, s.Reverse()} {
				if nearest := gapByDefinition(list, i, end); nearest != nil {
					want = append(want, nearest)
				}
			}
		}
		got, _ := newDrawing(list, monks).gaps()
		// Every gap that is told of is one, and each is told of, if only by the
		// gap of the end that faces it.
		has := func(list []Found, g Found, within float64) bool {
			return slices.ContainsFunc(list, func(h Found) bool {
				same := h.Stroke == g.Stroke && h.Other == g.Other || h.Stroke == g.Other && h.Other == g.Stroke
				return same && h.At.Dist(g.At) <= within && math.Abs(h.Length-g.Length) <= within
			})
		}
		for _, g := range got {
			if !has(slices.Concat(want...), g, 1e-9) {
				t.Fatalf("gap %v, want %v", g, want)
			}
		}
		for _, nearest := range want {
			if !slices.ContainsFunc(nearest, func(g Found) bool { return has(got, g, monks.Gap) }) {
				t.Fatalf("none of the gaps %v among %v", nearest, got)
			}
		}
	})
}

// gapByDefinition returns the gap at the start of stroke i, given with that end
// first: to the nearest of all others, or to several that are as near; none where
// the end meets one.
func gapByDefinition(list []paths.Stroke, i int, end paths.Stroke) []Found {
	var nearest []Found
	least := monks.Gap
	tail := end[0].(paths.Line)
	tail.B = tail.At(min(1, 2*monks.Gap/tail.Length()))
	for j, o := range list {
		if i == j {
			continue
		}
		line := o[0].(paths.Line)
		t, d := line.Nearest(end.Start())
		isDouble := d <= monks.Double && math.Abs(tail.Tangent(0).Dot(line.Tangent(0))) > math.Cos(twisted)
		if d <= monks.Meet || isDouble || d <= monks.Gap && meet(tail, line) {
			return nil
		}
		if d < least-1e-9 {
			nearest = nil
		}
		if d <= least+1e-9 {
			nearest = append(nearest, Found{At: end.Start().Lerp(line.At(t), 0.5), Length: d, Stroke: i, Other: j})
			least = min(least, d)
		}
	}
	return nearest
}

// meet reports whether two lines come within the distance at which lines meet.
func meet(a, b paths.Line) bool {
	side := func(l paths.Line, p paths.Point) float64 { return l.B.Sub(l.A).Cross(p.Sub(l.A)) }
	if side(a, b.A)*side(a, b.B) < 0 && side(b, a.A)*side(b, a.B) < 0 {
		return true
	}
	near := func(p paths.Point, l paths.Line) bool {
		_, d := l.Nearest(p)
		return d <= monks.Meet
	}
	return near(a.A, b) || near(a.B, b) || near(b.A, a) || near(b.B, a)
}

// Lines laid over others by known lengths are found with those lengths, whatever
// way they lie and run; and nothing is found of the lines by themselves.
func TestDoublesOfKnownLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		turn := paths.Rotate(rapid.Float64Range(0, 7).Draw(t, "turn"))
		var base, over []paths.Stroke
		var want float64
		for i := range rapid.IntRange(1, 8).Draw(t, "lines") {
			y := 10 * float64(i)
			base = append(base, strokes(fmt.Sprintf("0,%g 100,%g", y, y))[0])
			a := float64(rapid.IntRange(-20, 90).Draw(t, "from"))
			l := float64(rapid.IntRange(2, 60).Draw(t, "length"))
			s := strokes(fmt.Sprintf("%g,%g %g,%g", a, y, a+l, y))[0]
			if rapid.Bool().Draw(t, "reversed") {
				s = s.Reverse()
			}
			over = append(over, s)
			if part := min(100, a+l) - max(0, a); part >= leastDouble {
				want += part
			}
		}
		sum := func(list []paths.Stroke) (sum float64) {
			for i, s := range list {
				list[i] = s.Transform(turn)
			}
			for _, f := range Inspect(list, monks).Found {
				if f.Kind == Double {
					sum += f.Length
				}
			}
			return sum
		}
		all := append(append([]paths.Stroke{}, base...), over...)
		if got := sum(all); math.Abs(got-want) > 1e-6 {
			t.Fatalf("%g mm of doubles, want %g", got, want)
		}
		if got := sum(base); got != 0 {
			t.Fatalf("%g mm of doubles in single lines", got)
		}
	})
}

// A curve laid over itself, cut elsewhere and of another kind, is found over all
// its length.
func TestDoubleCurves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(5, 300).Draw(t, "radius")
		arc := paths.ArcAround(paths.Point{}, r, rapid.Float64Range(0, 6).Draw(t, "from"), rapid.Float64Range(1, 5).Draw(t, "sweep"))
		first, second := arc.Split(rapid.Float64Range(0.1, 0.9).Draw(t, "cut"))
		var over paths.Stroke
		for _, c := range []paths.Curve{first, second} {
			over = append(over, c.(paths.Arc).Cubics()...)
		}
		for _, list := range [][]paths.Stroke{{{arc}, over}, {{arc}, over.Reverse()}} {
			var sum float64
			for _, f := range Inspect(list, monks).Found {
				if f.Kind == Double {
					sum += f.Length
				}
			}
			if math.Abs(sum/arc.Length()-1) > 0.005 {
				t.Fatalf("%g mm of a double of %g", sum, arc.Length())
			}
		}
	})
}

// Lines that heap up in one place and cannot all be told of end in bounded time, and it is
// said that they are not whole.
func TestHeap(t *testing.T) {
	var list []paths.Stroke
	for i := range 20_000 {
		x := float64(i) * 1e-4
		list = append(list, paths.Polyline(paths.Point{X: x}, paths.Point{X: x + 1, Y: 50}))
	}
	if r := Inspect(list, monks); r.Whole {
		t.Error("200 million pairs are said to have been looked at")
	}
}

// BenchmarkInspect is of 100,000 and of 25,000 segments in hatched patches.
func BenchmarkInspect(b *testing.B) {
	for _, n := range []int{25_000, 100_000} {
		side := int(math.Sqrt(float64(n) / 10))
		var list []paths.Stroke
		for i := range side {
			for k := range side {
				x, y := float64(i)*5, float64(k)*5
				var pts []paths.Point
				for j := range 11 {
					sin, cos := math.Sincos(float64(j) + x)
					pts = append(pts, paths.Point{X: x + 4*cos, Y: y + 4*sin})
				}
				list = append(list, paths.Polyline(pts...))
			}
		}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if !Inspect(list, monks).Whole {
					b.Fatal("not whole")
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/segment")
		})
	}
}
