package paper

import (
	"math"
	"math/rand/v2"
	"testing"

	"errors"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// pattern is a pattern of some lines, 0.5 mm wide.
func pattern(strokes ...paths.Stroke) Pattern {
	p := Pattern{Name: "harbour mat", Rug: paths.BoundsOf(strokes), Grid: weave.Grid{Across: 25.4 / 12, Along: 25.4 / 13}, Use: "Trace it."}
	for _, s := range strokes {
		p.Ink = append(p.Ink, Ink{Stroke: s, Width: 0.5})
	}
	return p
}

func rectangle(w, h float64) paths.Stroke {
	return paths.Polyline(pt(0, 0), pt(w, 0), pt(w, h), pt(0, h), pt(0, 0))
}

func options(size string) Options {
	s, err := ParseSize(size)
	if err != nil {
		panic(err)
	}
	return Options{Size: s, Margin: s.Margin, Overlap: 15, Scale: Unit}
}

// How many sheets a full rectangle takes is ceil((L - v)/(p - v)) each way, for
// length L, what a sheet carries p and overlap v; a frame leaves out the sheets that
// lie within it.
func TestSheetsOfRectangles(t *testing.T) {
	for _, size := range []string{"letter", "legal", "tabloid", "a4", "a3", "a2"} {
		for _, r := range [][2]float64{{100, 100}, {195, 200}, {300, 450}, {609.6, 914.4}, {914.4, 609.6}} {
			opt := options(size)
			n := func(length, side float64) int {
				return max(1, int(math.Ceil((length+0.5-opt.Overlap)/(side-2*opt.Margin-opt.Overlap)-1e-9)))
			}
			frame := func(w, h float64) int {
				x, y := n(r[0], w), n(r[1], h)
				return x*y - max(0, x-2)*max(0, y-2)
			}
			want := min(frame(opt.Size.W, opt.Size.H), frame(opt.Size.H, opt.Size.W))
			plan, err := Lay(pattern(rectangle(r[0], r[1])), opt)
			if err != nil || len(plan.Sheets) != want {
				t.Errorf("%s, %v mm: %d sheets (%v), want %d", size, r, len(plan.Sheets), err, want)
			}
		}
	}
}

// The fewest sheets, held against every shift by half a mm and, for each, every
// choice of sheets that carries the ink.
func TestFewestSheets(t *testing.T) {
	cases := 3
	if *every {
		cases = 12
	}
	rng := rand.New(rand.NewPCG(17, 1))
	for range cases {
		var strokes []paths.Stroke
		for range 2 + rng.IntN(3) {
			c := pt(rng.Float64()*420, rng.Float64()*420)
			strokes = append(strokes, paths.Stroke{paths.Circle(c, 5+rng.Float64()*40)})
		}
		p := pattern(strokes...)
		opt := options("letter")
		plan, err := Lay(p, opt)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := len(plan.Sheets), exhaustive(p, opt); got != want || !plan.Exact {
			t.Errorf("%d sheets of letter, every layout tried %d; exact: %v", got, want, plan.Exact)
		}
	}
}

// exhaustive is the least number of sheets over all shifts by 1.5 mm: every subset of
// the sheets that touch the ink is tried, fewest first.
func exhaustive(p Pattern, opt Options) int {
	var ink []paths.Point
	for _, k := range p.Ink {
		ink = append(ink, k.Stroke.Flatten(0.02)...)
	}
	b := paths.EmptyRect()
	for _, q := range ink {
		b = b.Include(q)
	}
	best := math.MaxInt
	for _, side := range [][2]float64{{opt.Size.W, opt.Size.H}, {opt.Size.H, opt.Size.W}} {
		w, h := side[0]-2*opt.Margin, side[1]-2*opt.Margin
		px, py := w-opt.Overlap, h-opt.Overlap
		for x0 := b.Min.X - px; x0 <= b.Min.X; x0 += 1.5 {
			for y0 := b.Min.Y - py; y0 <= b.Min.Y; y0 += 1.5 {
				best = min(best, fewestOver(ink, x0, y0, w, h, px, py, best))
			}
		}
	}
	return best
}

func fewestOver(ink []paths.Point, x0, y0, w, h, px, py float64, most int) int {
	needs := map[uint64]bool{} // the sheets that carry a point, as bits
	bit := map[[2]int]int{}
	for _, q := range ink {
		var mask uint64
		i1, j1 := int((q.X-x0)/px), int((q.Y-y0)/py)
		for i := i1 - 1; i <= i1; i++ {
			for j := j1 - 1; j <= j1; j++ {
				x, y := x0+float64(i)*px, y0+float64(j)*py
				if i < 0 || j < 0 || q.X < x || q.X > x+w || q.Y < y || q.Y > y+h {
					continue
				}
				k, ok := bit[[2]int{i, j}]
				if !ok {
					k = len(bit)
					bit[[2]int{i, j}] = k
				}
				mask |= 1 << k
			}
		}
		needs[mask] = true
	}
	for n := 1; n < most; n++ {
		if choose(needs, len(bit), n, 0, 0) {
			return n
		}
	}
	return most
}

// choose reports whether n more of the sheets meet all needs.
func choose(needs map[uint64]bool, sheets, n, from int, kept uint64) bool {
	if n == 0 {
		for m := range needs {
			if m&kept == 0 {
				return false
			}
		}
		return true
	}
	for k := from; k <= sheets-n; k++ {
		if choose(needs, sheets, n-1, k+1, kept|1<<k) {
			return true
		}
	}
	return false
}

// Every point of the ink is carried by a sheet, and every point of the plane that
// two neighbours own lies on their joint.
func TestAllInkIsCarried(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 2))
	for range 30 {
		var strokes []paths.Stroke
		for range 1 + rng.IntN(12) {
			strokes = append(strokes, paths.Stroke{paths.Circle(pt(rng.Float64()*900, rng.Float64()*700), 1+rng.Float64()*120)})
		}
		opt := options([]string{"letter", "a4", "a3", "24in-roll"}[rng.IntN(4)])
		opt.Scale = Scale{0.98 + rng.Float64()*0.04, 0.98 + rng.Float64()*0.04}
		opt.Overlap = 4 + rng.Float64()*30
		plan, err := Lay(pattern(strokes...), opt)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range strokes {
			for _, q := range s.Flatten(0.1) {
				carried := false
				for _, sh := range plan.Sheets {
					carried = carried || sh.Carries.Grow(1e-6).Contains(q)
				}
				if !carried {
					t.Fatalf("%v is on no sheet", q)
				}
			}
		}
		for _, sh := range plan.Sheets {
			if w := (sh.W - 2*opt.Margin) * opt.Scale.X; sh.Carries.Width() > w+1e-6 {
				t.Errorf("%s carries %.3f mm, and has room for %.3f", sh.Name, sh.Carries.Width(), w)
			}
		}
	}
}

// Joints keep off lettering where a shift allows it.
func TestJointsKeepOffLettering(t *testing.T) {
	p := pattern(rectangle(300, 150))
	mid := paths.Rect{Min: pt(120, 60), Max: pt(180, 90)}
	p.Lettering = []paths.Rect{mid}
	plan, err := Lay(p, options("letter"))
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range plan.Sheets {
		if s.Right && mid.Min.X < s.Own.Max.X && s.Own.Max.X < mid.Max.X {
			t.Errorf("the joint at %.1f crosses the words from 120 to 180", s.Own.Max.X)
		}
	}
}

func TestOptionsThatLeaveNothing(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Options)
		kind   error
	}{
		"overlap larger than the page":  {func(o *Options) { o.Overlap = 300 }, fault.Input},
		"overlap of nothing":            {func(o *Options) { o.Overlap = 0 }, fault.Input},
		"margin that leaves nothing":    {func(o *Options) { o.Margin = 120 }, fault.Input},
		"margin below nothing":          {func(o *Options) { o.Margin = -1 }, fault.Input},
		"a rug of thousands of letters": {func(o *Options) {}, fault.Fit},
	} {
		opt := options("letter")
		c.change(&opt)
		var lines []paths.Stroke
		for y := 0.0; y <= 9000; y += 50 {
			lines = append(lines, paths.Polyline(pt(0, y), pt(9000, y)))
		}
		if _, err := Lay(pattern(lines...), opt); !errors.Is(err, c.kind) {
			t.Errorf("%s: %v", name, err)
		} else {
			t.Log(err)
		}
	}
	for _, s := range []string{"", "b7", "24-roll", "1in-roll", "900in-roll", "Letter"} {
		if _, err := ParseSize(s); !errors.Is(err, fault.Input) {
			t.Errorf("the paper %q was taken: %v", s, err)
		}
	}
	for _, s := range []string{"0%", "200%", "1.004", "100%x", "x", "NaN%", "100.4%x0%"} {
		if _, err := ParseScale(s); !errors.Is(err, fault.Input) {
			t.Errorf("the scale %q was taken: %v", s, err)
		}
	}
	if s, err := ParseScale("100.4%x99.8%"); err != nil || s != (Scale{1.004, 0.998}) {
		t.Errorf("%v, %v", s, err)
	}
}
