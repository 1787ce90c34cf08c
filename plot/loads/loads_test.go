package loads_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
	"weftplot/plot/loads"
)

func both(across, along int) loads.Piece {
	return loads.Piece{Upright: loads.Size{across, along}, Turned: loads.Size{along, across}}
}

func repeat(p loads.Piece, n int) []loads.Piece { return slices.Repeat([]loads.Piece{p}, n) }

// Worked by hand for cloth 60 wide, pieces with their gaps in: rows of one kind, cut from
// edge to edge.
func TestLayWorkedCases(t *testing.T) {
	for _, c := range []struct {
		piece  loads.Piece
		n      int
		length int
		turned int
	}{
		{loads.Piece{Upright: loads.Size{20, 14}}, 12, 56, 0}, // 4 rows of 3
		{both(25, 17), 12, 100, 12},                           // 4 rows of 3 turned
		{both(25, 17), 7, 59, 3},                              // one turned row and two upright
		{loads.Piece{Upright: loads.Size{25, 17}}, 7, 68, 0},
		{loads.Piece{Turned: loads.Size{17, 25}}, 7, 75, 7},
	} {
		l, err := loads.Lay(repeat(c.piece, c.n), 60)
		if err != nil {
			t.Fatal(err)
		}
		turned := 0
		for _, p := range l.Places {
			if p.Turned {
				turned++
			}
		}
		if l.Length != c.length || !l.Exact || turned != c.turned {
			t.Errorf("%d of %v take %d, %d of them turned, want %d and %d", c.n, c.piece, l.Length, turned, c.length, c.turned)
		}
	}
	if _, err := loads.Lay(repeat(both(61, 70), 1), 60); err != loads.ErrTooWide {
		t.Errorf("a piece that is too wide: %v", err)
	}
}

// Every layout keeps the rule of scissors: pieces of a row begin in one channel, rows and
// pieces do not overlap, and all lies between the selvedges.
func checkRule(t *rapid.T, pieces []loads.Piece, width int, l loads.Layout) {
	type rect struct{ x0, y0, x1, y1, row int }
	var all []rect
	for i, p := range l.Places {
		s := pieces[i].Upright
		if p.Turned {
			s = pieces[i].Turned
		}
		if s == (loads.Size{}) {
			t.Fatalf("piece %d stands as it may not", i)
		}
		all = append(all, rect{p.Across, p.Along, p.Across + s.Across, p.Along + s.Along, p.Row})
	}
	top := map[int]int{}
	for _, a := range all {
		top[a.row] = max(top[a.row], a.y1)
	}
	for i, a := range all {
		if a.x0 < 0 || a.x1 > width || a.y0 < 0 || a.y1 > l.Length {
			t.Fatalf("piece %d leaves the cloth: %v", i, a)
		}
		for j, b := range all[:i] {
			if a.row == b.row && (a.y0 != b.y0 || a.x0 < b.x1 && b.x0 < a.x1) {
				t.Fatalf("pieces %d and %d of a row: %v %v", j, i, b, a)
			}
			if a.row != b.row && a.y0 < top[b.row] && b.y0 < top[a.row] {
				t.Fatalf("a cut from edge to edge goes through pieces %d and %d: %v %v", j, i, b, a)
			}
		}
	}
}

// exhaustive returns the least length by going through all partitions of the pieces into
// rows, with every piece standing either way.
func exhaustive(pieces []loads.Piece, width int) int {
	best := math.MaxInt
	var widths, heights []int
	var try func(i int)
	try = func(i int) {
		sum := 0
		for _, h := range heights {
			sum += h
		}
		if sum >= best {
			return
		}
		if i == len(pieces) {
			best = sum
			return
		}
		for _, s := range []loads.Size{pieces[i].Upright, pieces[i].Turned} {
			if s == (loads.Size{}) || s.Across > width {
				continue
			}
			for r := range heights {
				if widths[r]+s.Across <= width {
					was := heights[r]
					widths[r] += s.Across
					heights[r] = max(was, s.Along)
					try(i + 1)
					widths[r] -= s.Across
					heights[r] = was
				}
			}
			widths, heights = append(widths, s.Across), append(heights, s.Along)
			try(i + 1)
			widths, heights = widths[:len(widths)-1], heights[:len(heights)-1]
		}
	}
	try(0)
	return best
}

func TestLayAgainstExhaustiveSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.IntRange(20, 60).Draw(t, "width")
		kinds := rapid.IntRange(1, 3).Draw(t, "kinds")
		var pieces []loads.Piece
		for range kinds {
			p := both(rapid.IntRange(4, 20).Draw(t, "across"), rapid.IntRange(4, 20).Draw(t, "along"))
			if rapid.Bool().Draw(t, "upright") {
				p.Turned = loads.Size{}
			}
			pieces = append(pieces, repeat(p, rapid.IntRange(1, 2).Draw(t, "count"))...)
		}
		l, err := loads.Lay(pieces, width)
		if err != nil {
			t.Fatal(err)
		}
		if want := exhaustive(pieces, width); l.Length != want || !l.Exact {
			t.Fatalf("%v on %d: %d, exact %v, and the least is %d", pieces, width, l.Length, l.Exact, want)
		}
		checkRule(t, pieces, width, l)
	})
}

// Many kinds are laid by rule, within the bound of first fit by falling height, 1.7 of
// the least and a row (Coffman, Garey, Johnson and Tarjan, 1980): area is a bound below.
func TestLayManyKinds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var pieces []loads.Piece
		area, high := 0, 0
		for range 60 {
			p := both(rapid.IntRange(10, 60).Draw(t, "across"), rapid.IntRange(10, 60).Draw(t, "along"))
			pieces = append(pieces, p)
			area += p.Upright.Across * p.Upright.Along
			high = max(high, p.Upright.Along, p.Upright.Across)
		}
		const width = 300
		l, err := loads.Lay(pieces, width)
		if err != nil {
			t.Fatal(err)
		}
		checkRule(t, pieces, width, l)
		if least := float64(area) / width; float64(l.Length) > 1.7*least+float64(high) {
			t.Fatalf("%d for a bound of %.0f below", l.Length, least)
		}
	})
}

func TestMost(t *testing.T) {
	pieces := repeat(both(25, 17), 20)
	for _, c := range []struct{ length, want int }{{16, 0}, {17, 2}, {25, 3}, {59, 7}, {100, 12}, {1000, 20}} {
		if got := loads.Most(pieces, 60, c.length); got != c.want {
			t.Errorf("%d fit %d of cloth, want %d", got, c.length, c.want)
		}
	}
}

// covers returns the fewest windows by brute force over all sets of windows.
func covers(boxes []paths.Rect, w, h float64) int {
	var windows []int
	for _, a := range boxes {
		for _, b := range boxes {
			set := 0
			for i, c := range boxes {
				if c.Min.X >= a.Min.X && c.Max.X <= a.Min.X+w && c.Min.Y >= b.Min.Y && c.Max.Y <= b.Min.Y+h {
					set |= 1 << i
				}
			}
			windows = append(windows, set)
		}
	}
	reached := map[int]bool{0: true}
	for n := 0; ; n++ {
		if reached[1<<len(boxes)-1] {
			return n
		}
		next := map[int]bool{}
		for s := range reached {
			for _, v := range windows {
				next[s|v] = true
			}
		}
		reached = next
	}
}

func TestDivideAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var boxes []paths.Rect
		for range rapid.IntRange(1, 7).Draw(t, "n") {
			at := paths.Point{X: float64(rapid.IntRange(0, 90).Draw(t, "x")), Y: float64(rapid.IntRange(0, 90).Draw(t, "y"))}
			size := paths.Point{X: float64(rapid.IntRange(1, 30).Draw(t, "w")), Y: float64(rapid.IntRange(1, 30).Draw(t, "h"))}
			boxes = append(boxes, paths.Rect{Min: at, Max: at.Add(size)})
		}
		const w, h = 40, 50
		got := loads.Divide(boxes, w, h)
		var all []int
		for _, load := range got {
			box := paths.EmptyRect()
			for _, i := range load {
				box = box.Union(boxes[i])
			}
			if box.Width() > w+1e-5 || box.Height() > h+1e-5 {
				t.Fatalf("a load is %v", box)
			}
			all = append(all, load...)
		}
		slices.Sort(all)
		if len(all) != len(boxes) || len(slices.Compact(all)) != len(boxes) {
			t.Fatalf("boxes in loads: %v", got)
		}
		if want := covers(boxes, w, h); len(got) != want {
			t.Fatalf("%d loads, and %d would do", len(got), want)
		}
	})
	if loads.Divide([]paths.Rect{{Max: paths.Point{X: 41, Y: 10}}}, 40, 50) != nil {
		t.Error("a box larger than the reach is divided")
	}
}

func TestDivideRowsAndColumns(t *testing.T) {
	var boxes []paths.Rect
	for y := range 10 {
		for x := range 5 {
			at := paths.Point{X: float64(x) * 10, Y: float64(y) * 10}
			boxes = append(boxes, paths.Rect{Min: at, Max: at.Add(paths.Point{X: 8, Y: 8})})
		}
	}
	if got := loads.Divide(boxes, 28, 38); len(got) != 2*3 { // 3 columns of 5, 4 rows of 10
		t.Errorf("%d loads, want 6", len(got))
	}
}

// The way past up to nine copies is the shortest, and past a grid of them it goes to and
// fro.
func TestTour(t *testing.T) {
	var boxes []paths.Rect
	for i := range 30 {
		at := paths.Point{X: float64(i%5) * 10, Y: float64(i/5) * 10}
		boxes = append(boxes, paths.Rect{Min: at, Max: at.Add(paths.Point{X: 8, Y: 8})})
	}
	order := loads.Tour(boxes, paths.Point{}, paths.Point{Y: 60})
	sum := 0.0
	for i := 1; i < len(order); i++ {
		sum += boxes[order[i-1]].Centre().Dist(boxes[order[i]].Centre())
	}
	if len(order) != 30 || sum > 29*10+1e-6 {
		t.Errorf("the way past 30 copies is %.1f long, and 290 will do: %v", sum, order)
	}
	few := boxes[:7]
	got := length(few, loads.Tour(few, paths.Point{X: 50}, paths.Point{Y: 50}))
	best := math.Inf(1)
	permute(7, func(o []int) { best = min(best, length(few, o)) })
	if got > best+1e-9 {
		t.Errorf("the way is %.3f long, and the shortest %.3f", got, best)
	}
}

func length(boxes []paths.Rect, order []int) float64 {
	here, sum := paths.Point{X: 50}, 0.0
	for _, i := range order {
		sum += here.Dist(boxes[i].Centre())
		here = boxes[i].Centre()
	}
	return sum + here.Dist(paths.Point{Y: 50})
}

func permute(n int, f func([]int)) {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	var swap func(k int)
	swap = func(k int) {
		if k == n {
			f(order)
			return
		}
		for i := k; i < n; i++ {
			order[k], order[i] = order[i], order[k]
			swap(k + 1)
			order[k], order[i] = order[i], order[k]
		}
	}
	swap(0)
}

// Five hundred copies are laid, divided and put in order at once.
func BenchmarkFiveHundred(b *testing.B) {
	pieces := repeat(both(70, 63), 500)
	for range b.N {
		l, err := loads.Lay(pieces, 720)
		if err != nil {
			b.Fatal(err)
		}
		boxes := make([]paths.Rect, len(l.Places))
		for i, p := range l.Places {
			at := paths.Point{X: 2 * float64(p.Across), Y: 2 * float64(p.Along)}
			boxes[i] = paths.Rect{Min: at, Max: at.Add(paths.Point{X: 120, Y: 120})}
		}
		for _, load := range loads.Divide(boxes, 600, 900) {
			var in []paths.Rect
			for _, i := range load {
				in = append(in, boxes[i])
			}
			loads.Tour(in, paths.Point{}, paths.Point{})
		}
	}
}
