package pins

import (
	"math/rand/v2"
	"testing"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave/snap/web"
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// sheet returns circles and triangles, some of which hang together by a corner, and lines
// that end on them, on one another and anywhere; so many in one place that cells are crowded.
func sheet(n int, seed uint64) []paths.Stroke {
	r := rand.New(rand.NewPCG(seed, 67))
	var out []paths.Stroke
	for i := range n {
		x, y, size := 60*r.Float64(), 60*r.Float64(), 0.5+2*r.Float64()
		a, b, c := pt(x, y), pt(x+size, y+size/3), pt(x+size/4, y+size)
		switch i % 4 {
		case 0:
			out = append(out, paths.Stroke{paths.Circle(a, size)}, paths.Polyline(pt(x+size, y), pt(x+9, y+1)))
		case 1:
			out = append(out, paths.Polyline(a, b, c, a))
		case 2:
			out = append(out, paths.Polyline(a, b, c, a), paths.Polyline(a, pt(x-size, y), pt(x, y-size), a))
		default:
			out = append(out, paths.Polyline(a, b, c, a), paths.Polyline(a.Lerp(b, r.Float64()), pt(x+3, y-3)))
		}
		out = append(out, paths.Polyline(pt(30+2*r.Float64(), 20+20*r.Float64()), pt(30+2*r.Float64(), 20+20*r.Float64())))
	}
	return out
}

// TestOfAgainstAllCurves: strokes meet where holding every vertex against every curve says.
func TestOfAgainstAllCurves(t *testing.T) {
	for seed := range uint64(4) {
		w := web.New(sheet(120, seed))
		rings, touched := make([]bool, len(w.Strokes)), make([]bool, len(w.Vertices))
		for k, s := range w.Strokes {
			rings[k] = s.IsClosed() && k%5 > 0
		}
		touched[7] = true
		got, ok := Of(w, rings, touched)
		if !ok {
			t.Fatal("the looks run out")
		}
		want := make([]map[int]bool, len(w.Strokes))
		for k := range want {
			want[k] = map[int]bool{}
		}
		curves, of := curvesOf(w)
		for v, here := range strokesAt(w) {
			met := len(here) > 1 || touched[v]
			for c, k := range of {
				if len(here) > 0 && (len(here) > 1 || k != here[0]) && distance(curves[c], w.Vertices[v]) <= Touch {
					met, want[k][v] = true, true
				}
			}
			for _, k := range here {
				if met {
					want[k][v] = true
				}
			}
		}
		for k, list := range got {
			n := len(want[k])
			if !rings[k] {
				n = min(n, 1)
			}
			same := len(list) == n
			for _, v := range list {
				same = same && want[k][v]
			}
			if !same {
				t.Errorf("sheet %d, stroke %d (ring: %v) meets others at %v, want of %v", seed, k, rings[k], list, want[k])
			}
		}
	}
}

// TestWhatStandsAlone: a vertex that is told to stand alone lies on the curves of its own
// stroke only, by going through all of them, and a query comes upon as many as are told.
func TestWhatStandsAlone(t *testing.T) {
	w := web.New(sheet(120, 9))
	curves, of := curvesOf(w)
	index := near.NewCurves(len(curves), func(i int) paths.Curve { return curves[i] }, Touch)
	at := strokesAt(w)
	alone, others := 0, 0
	for v, looks := range standAlone(w.Vertices, index, of, at) {
		if looks < 0 {
			others++
			continue
		}
		alone++
		for c := range curves {
			if of[c] != at[v][0] && distance(curves[c], w.Vertices[v]) <= Touch {
				t.Errorf("vertex %d, of stroke %d, lies on stroke %d", v, at[v][0], of[c])
			}
		}
		index.Near(w.Vertices[v], func(int) bool { looks--; return true })
		if looks != 0 {
			t.Errorf("at vertex %d a query comes upon %d curves less than told", v, looks)
		}
	}
	if alone < 100 || others < 50 {
		t.Errorf("%d vertices stand alone and %d do not: the sheet tests too little", alone, others)
	}
}
