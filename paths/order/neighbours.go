package order

import (
	"context"
	"sync/atomic"

	"weftplot/paths"
	"weftplot/paths/cores"
)

// Neighbours lists, for each end, the ends it may well be joined to.
type neighbours struct {
	start  []int32
	ends   []int32
	priced []int32   // by end that is not a loop's: where its costs begin
	cost   []float64 // of the hops to them, where they are no loops' either
	part   []bool    // by end: whether some are left out; nil where none is of any
}

// partial reports whether some neighbours of an end are left out.
func (n *neighbours) partial(end int32) bool { return n.part != nil && n.part[end] }

func (n *neighbours) of(end int32) []int32 { return n.ends[n.start[end]:n.start[end+1]] }

// The neighbours of an end are the nearest ends, and also the nearest in each
// quadrant: where strokes lie in clusters, the way out of a cluster is never
// among the nearest.
//
// A loop keeps those nearest to any of its points, and more of those that lie on it: they
// are all as near. With sixteen for every loop, less of the work is left for kicks, and
// tours come out longer.
const (
	nearestKept  = 8
	quadrantKept = 2
	loopKept     = 10
	loopMost     = 16
	// where there are many loops
	manyKept = 7
	manyMost = 10
	// near the middle of a compact one, and those of empty quadrants
	compactKept = 6
)

// A spot is a point where some stroke can be entered, or the annulus that holds all such
// points of a compact loop.
type spot struct {
	annulus
	end int32 // the end there; the first of a loop or dot
}

func spotAt(p paths.Point, end int32) spot { return spot{annulus{Point: p}, end} }

// compactShare is the greatest radius of a compact loop, as a share of the side of the square
// that each stroke has of the sheet.
const compactShare = 0.4

// compact reports whether a loop of many is so small that its middle tells what is near it:
// then one point is asked for in place of four, and the tours come out as short.
func (f *instance) compact(stroke int32) bool {
	return f.many && f.loop[stroke] != nil && f.hull[stroke].outer < compactShare*f.side
}

// spots returns all points where strokes can be entered.
func (f *instance) spots() []spot {
	out := make([]spot, 0, len(f.pos))
	for i := range int32(len(f.loop)) {
		switch {
		case f.compact(i):
			out = append(out, spot{f.hull[i], 2 * i})
		case f.loop[i] != nil:
			for k := 0; k < len(f.loop[i]); k += thinned(f.loop[i]) {
				out = append(out, spotAt(f.loop[i][k], 2*i))
			}
		case f.pos[2*i] == f.pos[2*i+1]:
			out = append(out, spotAt(f.pos[2*i], 2*i))
		default:
			out = append(out, spotAt(f.pos[2*i], 2*i), spotAt(f.pos[2*i+1], 2*i+1))
		}
	}
	return out
}

// thinned returns which of a loop's points do for finding what is near: every third where
// they lie as close as they should, compared with the space that each stroke has.
func thinned(points []paths.Point) int {
	if len(points) < mostEntries {
		return 3
	}
	return 1
}

// single reports whether both ends of the stroke are one point.
func (f *instance) single(stroke int32) bool { return f.pos[2*stroke] == f.pos[2*stroke+1] }

// newNeighbours finds the neighbours of every end, in O(n log n) for strokes
// that do not pile up in one place. The cores share the strokes.
func newNeighbours(f *instance) *neighbours { return findNeighbours(f, func(float64) {}) }

// findNeighbours is newNeighbours that tells now and then what share of them is found, from
// 0 to 1.
func findNeighbours(f *instance, tell func(share float64)) *neighbours {
	g := newSpotGrid(f.spots())
	shares := min(manyShares, 1+len(f.loop)/fewestShared)
	found := make([]*neighbours, shares)
	var done atomic.Int64
	_ = cores.Each(context.Background(), shares, func(i int) error { // which has no error
		found[i] = g.neighbours(f, int32(i*len(f.loop)/shares), int32((i+1)*len(f.loop)/shares))
		tell(float64(done.Add(1)) / float64(shares))
		return nil
	})
	most := 0
	for _, part := range found {
		most += len(part.ends)
	}
	n := &neighbours{start: make([]int32, 1, len(f.pos)+1), ends: make([]int32, 0, most)}
	for _, part := range found {
		before := int32(len(n.ends))
		n.ends = append(n.ends, part.ends...)
		for _, s := range part.start[1:] {
			n.start = append(n.start, before+s)
		}
	}
	n.price(f)
	return n
}

// The strokes are divided into up to manyShares for the cores, of at least fewestShared.
const (
	manyShares   = 16
	fewestShared = 250
)

// neighbours returns the neighbours of the ends of the strokes from first up to end.
func (g *spotGrid) neighbours(f *instance, first, end int32) *neighbours {
	n := &neighbours{start: []int32{0}}
	ask := asking{spotGrid: g}
	for i := first; i < end; i++ {
		for e := 2 * i; e <= 2*i+1; e++ {
			if e&1 == 1 && f.single(i) {
				n.ends = append(n.ends, n.of(e-1-2*first)...)
				n.start = append(n.start, int32(len(n.ends)))
				continue
			}
			var found []target
			switch {
			case f.compact(i):
				found = ask.nearCompact(f, i)
			case f.loop[i] != nil:
				found = ask.nearLoop(f, i)
			default:
				found = ask.near(f.pos[e], i, nearestKept, quadrantKept)
			}
			for _, t := range found {
				n.ends = append(n.ends, t.end)
				if f.single(t.end >> 1) {
					n.ends = append(n.ends, t.end^1)
				}
			}
			n.start = append(n.start, int32(len(n.ends)))
		}
	}
	return n
}

// price works out what the hops to the neighbours cost. From a loop they are asked for anew
// each time, and so their costs are not kept.
func (n *neighbours) price(f *instance) {
	n.priced = make([]int32, len(f.pos))
	count := int32(0)
	for e := range int32(len(f.pos)) {
		if n.priced[e] = count; f.loop[e>>1] == nil {
			count += n.start[e+1] - n.start[e]
		}
	}
	n.cost = make([]float64, count)
	for e := range int32(len(f.pos)) {
		if f.loop[e>>1] != nil {
			continue
		}
		for i, b := range n.of(e) {
			if f.loop[b>>1] == nil {
				n.cost[int(n.priced[e])+i] = f.d(e, b)
			}
		}
	}
}
