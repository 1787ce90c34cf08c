package order

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/cores"
)

// An instance is a set of strokes as the search sees it: their ends alone. Stroke
// i has the ends 2i and 2i+1, so end^1 is the other end of the same stroke. Both
// ends of a dot are one point. A loop is a closed stroke; both its ends are the
// point where it is entered at present.
type instance struct {
	pos  []paths.Point   // by end
	loop [][]paths.Point // by stroke: where a loop may be entered; nil for all else
	hull []annulus       // by stroke: an annulus that holds those points
	cost Hop             // nil: distance
	many bool            // whether so many are loops that fewer neighbours and points of each are looked at
	side float64         // of the square that each stroke has of the sheet, mm
}

// An annulus is the room between two circles about one centre, whose radii are in mm.
type annulus struct {
	paths.Point
	inner, outer float64
}

// around returns an annulus that holds the points, about the middle of their box.
func around(points []paths.Point) annulus {
	c := annulus{Point: paths.RectOf(points...).Centre(), inner: math.Inf(1)}
	for _, p := range points {
		x, y := p.X-c.X, p.Y-c.Y
		d := math.Sqrt(x*x + y*y)
		c.inner, c.outer = min(c.inner, d), max(c.outer, d)
	}
	return c
}

// away returns how far a point is from the annulus at least.
func (c *annulus) away(p *paths.Point) float64 {
	x, y := p.X-c.X, p.Y-c.Y
	d := math.Sqrt(x*x + y*y)
	return max(0, d-c.outer, c.inner-d)
}

// d returns the cost of a hop between two ends.
func (f *instance) d(a, b int32) float64 {
	if f.cost != nil {
		return f.viaCost(a, b)
	}
	p, q := &f.pos[a], &f.pos[b]
	x, y := p.X-q.X, p.Y-q.Y
	return math.Sqrt(x*x + y*y)
}

func (f *instance) viaCost(a, b int32) float64 { return f.cost(f.pos[a], f.pos[b]) }

// between returns the cost of a hop between two points.
func (f *instance) between(p, q paths.Point) float64 {
	if f.cost != nil {
		return f.cost(p, q)
	}
	x, y := p.X-q.X, p.Y-q.Y
	return math.Sqrt(x*x + y*y)
}

// newInstance returns the instance of the strokes. Its last stroke is the way
// from park to home, which makes every tour a closed one.
func newInstance(strokes []paths.Stroke, home, park paths.Point, cost Hop) *instance {
	n := len(strokes)
	f := &instance{pos: make([]paths.Point, 0, 2*n+2), loop: make([][]paths.Point, n+1), hull: make([]annulus, n+1), cost: cost}
	for _, s := range strokes {
		f.pos = append(f.pos, s.Start(), s.End())
	}
	f.pos = append(f.pos, park, home)
	// Loops are sampled finely compared with the space that each stroke has.
	box := paths.BoundsOf(strokes)
	f.side = math.Sqrt(box.Width() * box.Height() / float64(n+1))
	gap := f.side / 10
	if n >= onceFrom { // for the room that they take, and for time
		gap *= 2
	}
	if n <= mostExact {
		gap = 0
	}
	cores.Ranges(n, func(lo, hi int) {
		for i, s := range strokes[lo:hi] {
			if s.IsClosed() {
				f.loop[lo+i] = entries(s, gap)
				f.hull[lo+i] = around(f.loop[lo+i])
			}
		}
	})
	f.many = loopsAmong(strokes) > fewLoops
	return f
}

// fewLoops is how many loops are searched with all the neighbours, and entered at all the
// points, that shorten the tour at all. Of more than these, the last of each take a quarter
// of the time and shorten the tour by some thousandths at most.
const fewLoops = 1500

// The number of points on a loop where the search may enter it. The exact best
// point is found once the order is known.
const (
	fewestEntries = 12
	mostEntries   = 48
)

// entries returns points along a closed stroke, about gap apart.
func entries(s paths.Stroke, gap float64) []paths.Point {
	length := 0.
	for _, c := range s {
		length += aboutLength(c)
	}
	parts := float64(mostEntries)
	if gap > 0 {
		parts = min(parts, max(fewestEntries, math.Ceil(length/gap)))
	}
	gap = length / parts
	out := make([]paths.Point, 0, int(parts)+len(s))
	for _, c := range s {
		k := min(mostEntries, max(1, int(math.Round(aboutLength(c)/gap))))
		if len(s) > mostEntries {
			// Many short curves: one point on each, thinned out below.
			k = 1
		}
		for j := range k {
			out = append(out, c.At(float64(j)/float64(k)))
		}
	}
	if len(out) > 2*mostEntries {
		thin := out[:0]
		for k := range mostEntries {
			thin = append(thin, out[k*len(out)/mostEntries])
		}
		out = thin
	}
	return out
}

// aboutLength returns about how long a curve is, in mm: of each half of a cubic the mean of
// its chord and its control polygon (Gravesen, "Adaptive subdivision and the length and
// energy of Bézier curves", Computational Geometry 8, 1997). That takes a tenth of the time
// of the length itself, and is within a thousandth of it for a quarter of a circle.
func aboutLength(c paths.Curve) float64 {
	k, ok := c.(paths.Cubic)
	if !ok {
		return c.Length()
	}
	ab, bc, cd := k.A.Lerp(k.B, 0.5), k.B.Lerp(k.C, 0.5), k.C.Lerp(k.D, 0.5)
	abc, bcd := ab.Lerp(bc, 0.5), bc.Lerp(cd, 0.5)
	middle := abc.Lerp(bcd, 0.5)
	return (k.A.Dist(middle) + middle.Dist(k.D) + k.A.Dist(ab) + ab.Dist(abc) + abc.Dist(bcd) + bcd.Dist(cd) + cd.Dist(k.D)) / 2
}

// sub returns the strokes given by pairs of ends as an instance of their own. A
// pair that is not one stroke of f stands for a segment of strokes that stays
// as it is.
func (f *instance) sub(ends [][2]int32) *instance {
	g := &instance{
		pos:  make([]paths.Point, 0, 2*len(ends)),
		loop: make([][]paths.Point, len(ends)),
		hull: make([]annulus, len(ends)),
		cost: f.cost,
		many: f.many,
		side: f.side,
	}
	for i, e := range ends {
		g.pos = append(g.pos, f.pos[e[0]], f.pos[e[1]])
		if e[0]^1 == e[1] {
			g.loop[i], g.hull[i] = f.loop[e[0]>>1], f.hull[e[0]>>1]
		}
	}
	return g
}
