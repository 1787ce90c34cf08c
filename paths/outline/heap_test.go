package outline

import (
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
)

// seenIn returns the lines that are seen where a cell holds so many parts before it is
// quartered. Where it never is, all boundaries are crossed with one another and no fill
// closes a cell.
func seenIn(fills []Fill, crowded int) []paths.Stroke {
	p := newPlane(fills, Options{Near: 1e-6, Work: 1 << 40})
	p.crowded = crowded
	for _, step := range []func(){p.gather, p.plant, p.lay, p.cutAll, p.judge} {
		step()
	}
	var list []paths.Stroke
	for _, v := range p.views() {
		list = append(list, v.Lines...)
	}
	return list
}

// What cells leave out changes nothing: the same lines are seen as where there is but one.
func TestCellsChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var fills []Fill
		for i := range rapid.IntRange(5, 30).Draw(t, "fills") {
			f := drawFill(t, i)
			if i > 0 && rapid.IntRange(0, 9).Draw(t, "copied") == 0 {
				f.Area = fills[rapid.IntRange(0, i-1).Draw(t, "original")].Area
			}
			fills = append(fills, f)
		}
		if rapid.Bool().Draw(t, "window") {
			inner := &Window{Shapes: []WindowShape{{Region: &Region{Edge: disc(10, 10, 8)}}}}
			outer := &Window{Shapes: []WindowShape{{Region: &Region{Edge: box(4, 4, 12, 12)}}}, Next: inner}
			for i := range fills {
				fills[i].Window = []*Window{nil, inner, outer}[i%3]
			}
		}
		got, want := seenIn(fills, crowded), seenIn(fills, 1<<30)
		if at, ok := beyond(got, want); ok {
			t.Fatalf("at %v a line is seen with cells, none without", at)
		}
		if at, ok := beyond(want, got); ok {
			t.Fatalf("at %v a line is seen without cells, none with them", at)
		}
	})
}

// beyond returns a place on some lines that is on none of others.
func beyond(lines, others []paths.Stroke) (paths.Point, bool) {
	const near = 0.01
	var flat [][]paths.Point
	for _, s := range others {
		flat = append(flat, s.Flatten(near/10))
	}
	isOn := func(q paths.Point) bool {
		for _, pts := range flat {
			for i := 1; i < len(pts); i++ {
				if dist(q, pts[i-1], pts[i]) <= near {
					return true
				}
			}
		}
		return false
	}
	for _, s := range lines {
		for _, c := range s {
			for _, t := range []float64{0.13, 0.5, 0.79} {
				if q := c.At(t); !isOn(q) {
					return q, true
				}
			}
		}
	}
	return paths.Point{}, false
}

// In a heap of fills every line parts two colours, and where colours part there is a line:
// held against fine polygons of all fills.
func TestSeenOfAHeapIsWhereColoursPart(t *testing.T) {
	rnd := rand.New(rand.NewPCG(19, 8))
	for heap := range 6 {
		var fills []Fill
		for i := range 60 {
			turned := paths.Rotate(rnd.Float64()).Then(paths.Translate(pt(rnd.Float64()*20, rnd.Float64()*20)))
			s := shapes[(i+heap)%3].of(1+2*rnd.Float64(), rnd).Transform(turned)
			fills = append(fills, Fill{Area: []paths.Stroke{s}, Colour: []string{"red", "blue"}[rnd.IntN(2)], Sheer: rnd.IntN(12) == 0})
		}
		truth, got := newBrute(fills, 1e-4), all(t, fills)
		differ := func(c paths.Curve, at float64) (differ, clear bool) {
			p, side := c.At(at), c.Tangent(at).Left().Mul(2e-3)
			return strings.Join(truth.colours(p.Add(side)), "+") != strings.Join(truth.colours(p.Sub(side)), "+"), truth.onOneEdge(p)
		}
		for _, s := range got {
			for _, c := range s {
				if differ, clear := differ(c, 0.37); clear && !differ {
					t.Fatalf("heap %d: at %v a line parts nothing", heap, c.At(0.37))
				}
			}
		}
		var edges []paths.Stroke
		for _, f := range fills {
			for _, c := range f.Area[0] {
				for at := 0.13; at < 1; at += 0.29 {
					if differ, clear := differ(c, at); clear && differ {
						edges = append(edges, paths.Stroke{paths.Line{A: c.At(at), B: c.At(at)}})
					}
				}
			}
		}
		if len(edges) == 0 {
			t.Fatalf("heap %d: no edge was judged", heap)
		}
		if at, ok := beyond(edges, got); ok {
			t.Fatalf("heap %d: at %v colours part but there is no line", heap, at)
		}
	}
}
