package bound

import (
	"math"

	"weftplot/paths"
)

// A loop is a closed stroke as the bound sees it: corners, joined by chords each of
// which has a piece of the stroke near it.
type loop struct {
	corners []paths.Point
	off     []float64 // by corner: how far the piece from there on is from its chord at most, mm
}

// A disc is all within a distance from a point.
type disc struct {
	paths.Point
	radius float64
}

// pieces is about how many pieces a loop has. More make the bound a little better and
// the ascent slower.
const pieces = 48

// newLoop divides a closed stroke into pieces.
func newLoop(s paths.Stroke) *loop {
	length := s.Length()
	l := &loop{}
	var since []loopPiece // the last corner
	var sum float64
	emit := func() {
		from, to := since[0].from, since[len(since)-1].to
		var off float64
		for _, p := range since {
			off = max(off, p.off+max(paths.Line{A: from, B: to}.Dist(p.from), paths.Line{A: from, B: to}.Dist(p.to)))
		}
		l.corners, l.off = append(l.corners, from), append(l.off, off*(1+1e-9))
		since, sum = since[:0], 0
	}
	for _, c := range s {
		n := 1.
		if length > 0 {
			n = max(1, math.Ceil(pieces*c.Length()/length))
		}
		for k := range int(n) {
			p := newPiece(paths.Sub(c, float64(k)/n, float64(k+1)/n))
			// Curves have pieces of their own, unless there are very many.
			if len(since) > 0 && (len(s) <= pieces || sum+p.from.Dist(p.to) > length/pieces) {
				emit()
			}
			since, sum = append(since, p), sum+p.from.Dist(p.to)
		}
	}
	emit()
	return l
}

// A loopPiece is within off of the chord between two points.
type loopPiece struct {
	from, to paths.Point
	off      float64
}

func newPiece(c paths.Curve) loopPiece {
	p := loopPiece{from: c.Start(), to: c.End()}
	chord := paths.Line{A: p.from, B: p.to}
	switch c := c.(type) {
	case paths.Line:
	case paths.Cubic:
		// It lies in the hull of its control points.
		p.off = max(chord.Dist(c.B), chord.Dist(c.C))
	case paths.Arc:
		p.off = 2 * c.Radius()
		if sweep := math.Abs(c.Sweep); sweep < math.Pi {
			p.off = c.Radius() * (1 - math.Cos(sweep/2))
		}
	default:
		box := c.Bounds()
		p.off = box.Min.Dist(box.Max)
	}
	return p
}

// next returns the corner after corner k.
func (l *loop) next(k int) paths.Point { return l.corners[(k+1)%len(l.corners)] }

// discs returns discs that together hold every point of the loop.
func (l *loop) discs() []disc {
	out := make([]disc, len(l.corners))
	for k, c := range l.corners {
		out[k] = disc{c.Lerp(l.next(k), 0.5), (c.Dist(l.next(k))/2 + l.off[k]) * (1 + 1e-9)}
	}
	return out
}

// ways returns by corner values that, linear along each chord between, are nowhere above
// the distance from p to the loop there. On each chord they are those of a tangent to the
// distance, which is convex: at the chord's nearest point to p where that is inside it,
// and else in its middle. At a corner the lower of two counts.
func (l *loop) ways(p paths.Point) []float64 {
	out := make([]float64, len(l.corners))
	for k := range out {
		out[k] = math.Inf(1)
	}
	for k, a := range l.corners {
		b, next := l.next(k), (k+1)%len(l.corners)
		at, d := paths.Line{A: a, B: b}.Nearest(p)
		low, high := d, d
		if at <= 0 || at >= 1 {
			c := a.Lerp(b, 0.5)
			dir := c.Sub(p).Unit()
			low, high = c.Dist(p)+dir.Dot(a.Sub(c)), c.Dist(p)+dir.Dot(b.Sub(c))
		}
		out[k], out[next] = min(out[k], low-l.off[k]), min(out[next], high-l.off[k])
	}
	return out
}

// along returns by corner how far the loop lies in the direction of a unit vector: values
// that are, linear along each chord, nowhere above the true ones.
func (l *loop) along(u paths.Point) []float64 {
	out := make([]float64, len(l.corners))
	for k, c := range l.corners {
		out[k] = c.Dot(u) - max(l.off[k], l.off[(k+len(out)-1)%len(out)])
	}
	return out
}

// nearest returns the nearest corners of two loops.
func (l *loop) nearest(m *loop) (p, q paths.Point) {
	least := math.Inf(1)
	for _, a := range l.corners {
		for _, b := range m.corners {
			if d := (a.X-b.X)*(a.X-b.X) + (a.Y-b.Y)*(a.Y-b.Y); d < least {
				least, p, q = d, a, b
			}
		}
	}
	return p, q
}
