package touch

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/carry"
	"weftplot/paths/weave/snap/web"
)

// Straight is a straight of an axis.
type Straight struct {
	At   []carry.Knot // in the order of Along
	Mean float64      // of the fixed coordinate, mm
}

func (r *Straight) lo() float64 { return r.At[0].Along }
func (r *Straight) hi() float64 { return r.At[len(r.At)-1].Along }

// isLevel reports that all of a straight lies at its mean place.
func (r *Straight) isLevel() bool {
	return !slices.ContainsFunc(r.At, func(k carry.Knot) bool { return k.Fixed != r.Mean })
}

// passes reports whether a straight passes a point within a joint. Parts of it may lean far,
// so that it lies farther off along the axis.
func (r *Straight) passes(fixed, along float64) bool {
	if math.Abs(fixed-carry.FixedAt(r.At, along)) <= web.Joint {
		return true
	}
	p := paths.Point{X: fixed, Y: along}
	for i := 1; i < len(r.At); i++ {
		a, b := r.At[i-1], r.At[i]
		if a.Along <= along+web.Joint && b.Along >= along-web.Joint && turned(a, b).Dist(p) <= web.Joint {
			return true
		}
	}
	return false
}

// turned returns the line between two knots, the coordinate along the axis upright.
func turned(a, b carry.Knot) paths.Line {
	return paths.Line{A: paths.Point{X: a.Fixed, Y: a.Along}, B: paths.Point{X: b.Fixed, Y: b.Along}}
}

// finder finds the points on straights.
type finder struct {
	points    []paths.Point
	axis      weave.Axis
	straights []Straight
	rows      *web.Rows
}

// Straights calls f for each point in rows that lies on the middle of a straight of their
// axis, straight by straight and along each row by row. Where very many straights lie on one
// line, it does so for the longest of those that pass a point.
func Straights(rows *web.Rows, straights []Straight, f func(point, straight int)) {
	if len(straights) == 0 {
		return
	}
	d := &finder{rows.Points(), rows.Axis(), straights, rows}
	heaps, others := d.heaps()
	beside := d.bundled(others)
	for k, i := range others {
		each := func(v int) {
			if d.touches(v, i) {
				f(v, i)
			}
		}
		if beside[k] != nil {
			for _, v := range d.rows.Sorted(beside[k]) {
				each(v)
			}
			continue
		}
		r := &straights[i]
		left, right := math.Inf(1), math.Inf(-1)
		for _, k := range r.At {
			left, right = min(left, k.Fixed), max(right, k.Fixed)
		}
		d.rows.Visit(r.lo(), r.hi(), left-web.Joint, right+web.Joint, each)
	}
	for _, heap := range heaps {
		d.cover(heap, func(v, i int) bool {
			if !d.touches(v, i) {
				return false
			}
			f(v, i)
			return true
		})
	}
}

// touches reports whether a point lies on the middle of a straight.
func (d *finder) touches(point, straight int) bool {
	r := &d.straights[straight]
	fixed, along := d.axis.Split(d.points[point])
	return along > r.lo() && along < r.hi() && r.passes(fixed, along)
}

// heaps returns the straights of which very many lie on one line, line by line, and all
// others.
func (d *finder) heaps() (heaps [][]int, others []int) {
	byLine := map[float64][]int{}
	for i := range d.straights {
		if r := &d.straights[i]; r.isLevel() {
			byLine[r.Mean] = append(byLine[r.Mean], i)
		}
	}
	for i := range d.straights {
		r := &d.straights[i]
		switch h := byLine[r.Mean]; {
		case len(h) < Heap || !r.isLevel():
			others = append(others, i)
		case h[0] == i:
			heaps = append(heaps, h)
		}
	}
	return heaps, others
}

// cover calls take for the points on the line of a heap and the straights that pass them, the
// longest first.
func (d *finder) cover(heap []int, take func(point, straight int) bool) {
	spans := make([]web.Span, len(heap))
	lo, hi := math.Inf(1), math.Inf(-1)
	for k, i := range heap {
		r := &d.straights[i]
		spans[k] = web.Span{Lo: r.lo(), Hi: r.hi()}
		lo, hi = min(lo, r.lo()), max(hi, r.hi())
	}
	var on []int
	along := func(v int) float64 { _, at := d.axis.Split(d.points[v]); return at }
	mean := d.straights[heap[0]].Mean
	d.rows.Visit(lo, hi, mean-web.Joint, mean+web.Joint, func(v int) { on = append(on, v) })
	slices.SortStableFunc(on, func(a, b int) int { return cmp.Compare(along(a), along(b)) })
	at := make([]float64, len(on))
	for k, v := range on {
		at[k] = along(v)
	}
	web.Cover(at, spans, Most, func(point, span int) bool { return take(on[point], heap[span]) })
}

// bundled returns, for each of some straights, the points that may lie on it, if it runs close
// beside many others, and nil for others.
func (d *finder) bundled(some []int) [][]int {
	var lines []paths.Line
	var of []int
	for k, i := range some {
		if at := d.straights[i].At; len(at) == 2 {
			lines, of = append(lines, turned(at[0], at[1])), append(of, k)
		}
	}
	out := make([][]int, len(some))
	bundles, others := web.Bundles(lines, Heap)
	if len(bundles) == 0 {
		return out
	}
	for _, k := range of {
		out[k] = []int{}
	}
	for _, k := range others {
		out[of[k]] = nil
	}
	points := make([]paths.Point, len(d.points))
	for v, p := range d.points {
		fixed, along := d.axis.Split(p)
		points[v] = paths.Point{X: fixed, Y: along}
	}
	web.VisitBundles(bundles, points, func(v, k int) { out[of[k]] = append(out[of[k]], v) })
	return out
}
