// Package pins finds where the strokes of a drawing meet: there a stroke hangs on others, and
// would come apart from them if it moved otherwise than they do.
package pins

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/near"
	"weftplot/paths/weave/snap/web"
)

// Touch is how far from a curve, in mm, an end is meant to touch it.
const Touch = 0.01

// mostLooks bounds the curves that are looked at beside vertices.
const mostLooks = 20_000_000

// Of returns, by stroke, vertices where it and others meet: those they share, ends of
// others on its curves, and ends of its own on curves of others. Of a ring all are listed,
// of another stroke one if there is any. rings says by stroke whether it is a ring, and
// touched by vertex whether something else is known to meet there. It is not ok where
// thousands of lines lie on each other, and the looks run out.
func Of(w *web.Web, rings, touched []bool) (out [][]int, ok bool) {
	curves, of := curvesOf(w)
	p := pinning{
		out: make([][]int, len(w.Strokes)), ring: rings, curves: curves, of: of, looks: mostLooks,
		index: near.NewCurves(len(curves), func(i int) paths.Curve { return curves[i] }, Touch),
	}
	at := strokesAt(w)
	alone := standAlone(w.Vertices, p.index, of, at)
	for v, here := range at {
		if len(here) == 0 {
			continue
		}
		met := len(here) > 1 || touched[v]
		if alone[v] >= 0 {
			p.looks -= int(alone[v])
		} else {
			met = p.around(v, w.Vertices[v], here, met)
		}
		if p.looks <= 0 {
			return nil, false
		}
		for _, k := range here {
			if met {
				p.pin(k, v)
			}
		}
	}
	return p.out, true
}

// A pinning is the pins of strokes in the making.
type pinning struct {
	out    [][]int // by stroke
	ring   []bool  // by stroke
	curves []paths.Curve
	of     []int // by curve: its stroke
	index  *near.Curves
	looks  int // left
}

// wants reports whether a vertex is to be listed for a stroke.
func (p *pinning) wants(stroke, v int) bool {
	n := len(p.out[stroke])
	return n == 0 || p.ring[stroke] && p.out[stroke][n-1] != v
}

func (p *pinning) pin(stroke, v int) {
	if p.wants(stroke, v) {
		p.out[stroke] = append(p.out[stroke], v)
	}
}

// around lists a vertex at a point for the strokes whose curves pass there, beside the one
// stroke that may be here, and returns whether any does, or it has met others before.
func (p *pinning) around(v int, at paths.Point, here []int, met bool) bool {
	many := len(here) > 1
	p.index.Near(at, func(c int) bool {
		p.looks--
		k := p.of[c]
		if (many || here[0] != k) && (!met || p.wants(k, v)) && distance(p.curves[c], at) <= Touch {
			met = true
			p.pin(k, v)
		}
		return p.looks > 0
	})
	return met
}

// standAlone tells of each vertex, on all cores, with how many curves it may lie together that
// are all of the one stroke that it is of: most vertices meet nothing else. It is negative
// where it may meet others, or is not told.
func standAlone(vertices []paths.Point, index *near.Curves, of []int, at [][]int) []int32 {
	const few = 24 // curves in a cell, which is not divided then
	out := make([]int32, len(at))
	cores.Ranges(len(at), func(lo, hi int) {
		var list []int32
		for v := lo; v < hi; v++ {
			p := vertices[v]
			list = index.AppendKnown(list[:0], p)
			if out[v] = -1; len(at[v]) != 1 || len(list) > few {
				continue
			}
			looks, last := int32(0), int32(-1)
			for _, c := range list { // in ascending order
				if c == last || !index.MayReach(int(c), p) {
					continue
				}
				if last = c; of[c] != at[v][0] {
					looks = -1
					break
				}
				looks++
			}
			out[v] = looks
		}
	})
	return out
}

// curvesOf returns the curves of all strokes, and the stroke of each.
func curvesOf(w *web.Web) (curves []paths.Curve, of []int) {
	for i, k := range w.Strokes {
		for _, c := range k {
			curves, of = append(curves, c), append(of, i)
		}
	}
	return curves, of
}

// strokesAt returns, by vertex, the strokes with a curve that ends there, each once.
func strokesAt(w *web.Web) [][]int {
	at := make([][]int, len(w.Vertices))
	for i := range w.Strokes {
		for _, v := range w.Path(i) {
			if n := len(at[v]); n == 0 || at[v][n-1] != i {
				at[v] = append(at[v], i)
			}
		}
	}
	return at
}

// distance returns how far p lies from a curve, to about Touch/4.
func distance(c paths.Curve, p paths.Point) float64 {
	if a, ok := c.(paths.Arc); ok && math.Abs(a.Sweep) > math.Pi/2 {
		// Far from the circle is far from the arc, however finely it is flattened.
		if off := math.Abs(p.Dist(a.Centre) - a.Radius()); off > 2*Touch+math.Abs(a.To.Dist(a.Centre)-a.Radius()) {
			return off
		}
	}
	pts := paths.Stroke{c}.Flatten(Touch / 4)
	d := p.Dist(pts[0])
	for i := 1; i < len(pts); i++ {
		_, x := paths.Line{A: pts[i-1], B: pts[i]}.Nearest(p)
		d = min(d, x)
	}
	return d
}
