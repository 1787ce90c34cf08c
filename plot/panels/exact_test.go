package panels

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/plot/lptest"
)

// Drawings whose corners lie on a lattice of tens, windows whose size less the lap is a
// whole number of tens: then some best windows lie on the lattice, too, for each can be
// moved right and up until its sides meet an end of a stroke or of another window less the
// lap. So an exact answer need look at these windows only.
const lattice = 10.

func tens(r *rand.Rand, lo, hi int) float64 { return lattice * float64(lo+r.IntN(hi-lo+1)) }

// latticed is a drawing of lines along the weave, as a seed has it.
func latticed(seed uint64) ([]Stroke, Options) {
	r := rand.New(rand.NewPCG(seed, 7))
	opt := Options{Grid: grid, Lap: 2}
	opt.Width, opt.Height = tens(r, 8, 14)+opt.Lap, tens(r, 8, 14)+opt.Lap
	nx, ny := 12+r.IntN(12), 8+r.IntN(14)
	var out []paths.Stroke
	if r.IntN(3) > 0 {
		out = append(out, rectangle(0, 0, lattice*float64(nx), lattice*float64(ny)))
	}
	for range 10 + r.IntN(50) {
		x, y := tens(r, 0, nx-1), tens(r, 0, ny-1)
		w, h := lattice*float64(1+r.IntN(8)), lattice*float64(1+r.IntN(8))
		w, h = min(w, lattice*float64(nx)-x), min(h, lattice*float64(ny)-y)
		switch r.IntN(5) {
		case 0:
			out = append(out, paths.Polyline(pt(x, y), pt(x+w, y)))
		case 1:
			out = append(out, paths.Polyline(pt(x, y), pt(x, y+h)))
		case 2:
			out = append(out, paths.Polyline(pt(x, y+h), pt(x, y), pt(x+w, y)))
		case 3:
			out = append(out, paths.Polyline(pt(x, y), pt(x+w, y), pt(x+w, y+h)))
		default:
			out = append(out, rectangle(x, y, x+w, y+h))
		}
	}
	return plain(out...), opt
}

// An exactTask is a drawing with all windows on the lattice.
type exactTask struct {
	windows []paths.Rect
	cover   [][]int // for each bit of ink: the windows that hold it
	wholes  [][]int // for each stroke that fits: the windows that hold it
	never   int     // strokes that fit no window
}

func newExactTask(strokes []Stroke, opt Options) exactTask {
	var e exactTask
	all := paths.EmptyRect()
	for _, s := range strokes {
		all = all.Union(s.Bounds())
	}
	for x := all.Min.X; x <= all.Max.X; x += lattice {
		for y := all.Min.Y; y <= all.Max.Y; y += lattice {
			e.windows = append(e.windows, opt.window(x, y))
		}
	}
	seen := map[string]bool{}
	for _, s := range strokes {
		if at := e.holding(s.Bounds()); len(at) > 0 {
			e.wholes = append(e.wholes, at)
		} else {
			e.never++
		}
		// Whatever is as long as the lap must lie in one window: just so can the stroke be
		// cut with parts that lap. Half millimetres stand for all places between.
		length := s.Length()
		for from := 0.; from <= length; from += 0.5 {
			lo, hi := from, from+opt.Lap
			if hi > length {
				lo, hi = length-opt.Lap, length
			}
			at := e.holding(newTrack(s.Stroke).piece(lo, hi).Bounds())
			var key strings.Builder
			for _, w := range at {
				key.WriteRune(rune(w))
			}
			if !seen[key.String()] {
				seen[key.String()] = true
				e.cover = append(e.cover, at)
			}
		}
	}
	return e
}

func (e exactTask) holding(b paths.Rect) []int {
	var out []int
	for i, w := range e.windows {
		if holds(w, b) {
			out = append(out, i)
		}
	}
	return out
}

// fewest returns the least number of windows, and with so many of them the least number of
// strokes that are cut, by an integer program; -1 where it is not solved in its time.
func (e exactTask) fewest(t *testing.T) (loads, cut int) {
	terms := func(at []int) string {
		var b strings.Builder
		for i, c := range at {
			if i > 0 {
				b.WriteString(" + ")
			}
			fmt.Fprintf(&b, "y%d", c)
			if i%20 == 19 {
				b.WriteString("\n")
			}
		}
		return b.String()
	}
	every := make([]int, len(e.windows))
	for i := range every {
		every[i] = i
	}
	var rows, names strings.Builder
	for i, at := range e.cover {
		fmt.Fprintf(&rows, " c%d: %s >= 1\n", i, terms(at))
	}
	for i := range every {
		fmt.Fprintf(&names, " y%d\n", i)
	}
	loads = lptest.Solve(t, "Minimize\n obj: "+terms(every)+"\nSubject To\n"+rows.String()+"Binary\n"+names.String()+"End\n")
	if loads < 0 || len(e.wholes) == 0 {
		return loads, e.never
	}
	var sum strings.Builder
	fmt.Fprintf(&rows, " n: %s = %d\n", terms(every), loads)
	for i, at := range e.wholes {
		if i > 0 {
			sum.WriteString(" + ")
		}
		fmt.Fprintf(&sum, "u%d", i)
		fmt.Fprintf(&rows, " w%d: u%d + %s >= 1\n", i, i, terms(at))
		fmt.Fprintf(&names, " u%d\n", i)
	}
	cut = lptest.Solve(t, "Minimize\n obj: "+sum.String()+"\nSubject To\n"+rows.String()+"Binary\n"+names.String()+"End\n")
	if cut < 0 {
		return loads, -1
	}
	return loads, cut + e.never
}

// Loads and cut strokes against an integer program, which knows of windows, bits of the
// lap's length and whole strokes only.
func TestAgainstAnIntegerProgram(t *testing.T) {
	lptest.NeedsSolver(t)
	solved, ours, exact, worst := 0, 0, 0, 0
	for seed := uint64(*from); seed < uint64(*from+*cases); seed++ {
		strokes, opt := latticed(seed)
		p, err := Divide(context.Background(), strokes, opt)
		if err != nil {
			t.Fatal(err)
		}
		check(t, strokes, opt, p)
		loads, cut := newExactTask(strokes, opt).fewest(t)
		if loads < 0 || cut < 0 {
			t.Logf("seed %d: %d loads, %d cut; not proved in time", seed, len(p.Loads), p.Cuts)
			continue
		}
		solved, ours, exact, worst = solved+1, ours+p.Cuts, exact+cut, max(worst, p.Cuts-cut)
		if len(p.Loads) != loads || p.Cuts < cut {
			t.Errorf("seed %d: %d loads with %d strokes cut, %d with %d are exact", seed, len(p.Loads), p.Cuts, loads, cut)
		}
		if p.Cuts > cut {
			t.Logf("seed %d: %d loads, %d strokes cut, %d are enough", seed, loads, p.Cuts, cut)
		}
	}
	t.Logf("%d solved: %d strokes cut, exactly %d, %d too many at worst", solved, ours, exact, worst)
	if float64(ours) > 1.1*float64(exact) {
		t.Errorf("%d strokes are cut, and %d are enough", ours, exact)
	}
}

// Fewest loads against all sets of windows.
func TestFewestLoadsByExhaustion(t *testing.T) {
	tried := 0
	for seed := uint64(1000); tried < 6; seed++ {
		strokes, opt := latticed(seed)
		p, err := Divide(context.Background(), strokes, opt)
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Loads) > 3 || len(p.Loads) < 2 {
			continue
		}
		tried++
		e := newExactTask(strokes, opt)
		if e.some(nil, len(p.Loads)-1) || !e.some(nil, len(p.Loads)) {
			t.Errorf("seed %d: %d loads are not the fewest", seed, len(p.Loads))
		}
	}
}

// some reports whether so many windows more hold all bits.
func (e exactTask) some(taken []int, more int) bool {
	open := slices.IndexFunc(e.cover, func(at []int) bool {
		return !slices.ContainsFunc(at, func(w int) bool { return slices.Contains(taken, w) })
	})
	if open < 0 {
		return true
	}
	if more == 0 {
		return false
	}
	for _, w := range e.cover[open] {
		if e.some(append(taken, w), more-1) {
			return true
		}
	}
	return false
}
