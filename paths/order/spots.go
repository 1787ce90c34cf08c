package order

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
)

// A target is an end and how far away it is.
type target struct {
	d   float64
	end int32
}

// A spotGrid finds the spots nearest to a point.
type spotGrid struct {
	spots []spot
	index *near.Points
	outer float64 // no spot reaches farther from its middle, mm
}

func newSpotGrid(spots []spot) *spotGrid {
	middles := make([]paths.Point, len(spots))
	outer := 0.
	for i, s := range spots {
		middles[i], outer = s.Point, max(outer, s.outer)
	}
	return &spotGrid{spots, near.NewPoints(middles), outer}
}

// An asking finds what is near one point after another. It keeps its lists, since there are
// several times as many points to ask for as strokes.
type asking struct {
	*spotGrid
	quad      [4][]target
	rest, all []target
	loop      []target // those near any point of a loop
}

// near returns the k nearest ends to p of other strokes than its own, and the
// nearest perQuadrant in each quadrant that is not too empty, nearest first. They hold
// until it is asked again.
func (g *asking) near(p paths.Point, own int32, k, perQuadrant int) []target {
	for q := range g.quad {
		g.quad[q] = g.quad[q][:0]
	}
	count := 0
	for r := 0; r <= g.index.Rings(); r++ {
		for run := range g.index.RingRuns(p, r) {
			for _, i := range run {
				s := &g.spots[i]
				if s.end>>1 == own {
					continue
				}
				x, y := s.X-p.X, s.Y-p.Y
				q := 0
				if x < 0 {
					q = 1
				}
				if y < 0 {
					q += 2
				}
				d := math.Sqrt(x*x + y*y)
				if s.outer > 0 {
					d = max(0, d-s.outer, s.inner-d)
				}
				if n := len(g.quad[q]); n == k && d >= g.quad[q][n-1].d {
					continue
				}
				g.quad[q], count = insert(g.quad[q], target{d, s.end}, k, count)
			}
		}
		if count >= k && complete(&g.quad, k, perQuadrant, r, g.index.Beyond(r)-g.outer) {
			break
		}
	}
	return g.choose(k, perQuadrant)
}

// farthestRing is how many cells away the search for an end gives up in a
// quadrant that is empty near the point.
const farthestRing = 12

// complete reports whether nothing farther than d is wanted: the k nearest are no
// farther, nor are the last wanted in each quadrant, unless the search has gone far.
func complete(quad *[4][]target, k, perQuadrant, ring int, d float64) bool {
	within := 0
	for _, q := range quad {
		n := 0
		for n < len(q) && q[n].d <= d {
			n++
		}
		if n < perQuadrant && ring < farthestRing {
			return false
		}
		within += n
	}
	return within >= k
}

// insert keeps list sorted, at most k long, with each end once.
func insert(list []target, t target, k, count int) ([]target, int) {
	for i, o := range list {
		if o.end == t.end {
			if t.d >= o.d {
				return list, count
			}
			list = slices.Delete(list, i, i+1)
			count--
			break
		}
	}
	if len(list) == k {
		if t.d >= list[k-1].d {
			return list, count
		}
		list = list[:k-1]
		count--
	}
	i := len(list)
	for i > 0 && list[i-1].d > t.d {
		i--
	}
	return slices.Insert(list, i, t), count + 1
}

// choose returns the k nearest of all quadrants and the first of each.
func (g *asking) choose(k, perQuadrant int) []target {
	all, rest := g.all[:0], g.rest[:0]
	for _, list := range g.quad {
		first := min(perQuadrant, len(list))
		all, rest = append(all, list[:first]...), append(rest, list[first:]...)
	}
	slices.SortFunc(rest, nearer)
	slices.SortFunc(all, nearer)
	firsts := len(all)
	for i, t := range rest {
		// t is among the k nearest if fewer than k chosen ones are nearer: those before it,
		// and firsts of quadrants.
		closer := i
		for _, o := range all[:firsts] {
			if o.d <= t.d {
				closer++
			}
		}
		if closer >= k {
			break
		}
		all = append(all, t)
	}
	g.all, g.rest = all, rest
	slices.SortFunc(all, nearer)
	// A loop can be met in two quadrants.
	return slices.CompactFunc(all, func(a, b target) bool { return a.end == b.end })
}

func nearer(a, b target) int {
	switch {
	case a.d < b.d:
		return -1
	case a.d > b.d:
		return 1
	}
	return int(a.end - b.end)
}

// nearCompact returns the ends nearest to the middle of a compact loop.
func (g *asking) nearCompact(f *instance, own int32) []target {
	found := g.near(f.hull[own].Point, own, compactKept, 1)
	return found[:min(len(found), manyMost)]
}

// nearLoop returns the ends nearest to any of the points of a loop.
func (g *asking) nearLoop(f *instance, own int32) []target {
	points := f.loop[own]
	atLeast, atMost := loopKept, loopMost
	asked := 8 // points of the loop
	switch {
	case len(points) == fewestEntries:
		asked = 3 // it is small
	case f.many && len(points) < mostEntries:
		asked = 4
	}
	if f.many && len(points) < mostEntries { // a long one has neighbours all along it
		atLeast, atMost = manyKept, manyMost
	}
	out := g.loop[:0]
	step := max(1, len(points)/asked)
	for i := 0; i < len(points); i += step {
		for _, t := range g.near(points[i], own, 5, 1) {
			if k := slices.IndexFunc(out, func(o target) bool { return o.end == t.end }); k < 0 {
				out = append(out, t)
			} else {
				out[k].d = min(out[k].d, t.d)
			}
		}
	}
	g.loop = out
	slices.SortFunc(out, nearer)
	kept := min(len(out), atLeast)
	for kept < min(len(out), atMost) && out[kept].d < points[0].Dist(points[1]) {
		kept++
	}
	return out[:kept]
}
