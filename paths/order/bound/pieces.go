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

// newLoop divides a closed stroke into pieces that are not much longer than most mm.
func newLoop(s paths.Stroke, most float64) *loop {
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
		n := max(1, math.Ceil(c.Length()/most))
		for k := range int(n) {
			p := newPiece(paths.Sub(c, float64(k)/n, float64(k+1)/n))
			// Curves have pieces of their own, unless they are very short.
			if len(since) > 0 && sum+p.from.Dist(p.to) > most/4 {
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

// node returns the pieces of a loop from one corner to another as one node.
func (l *loop) node(stroke, from, to int32) node {
	chord := paths.Line{A: l.corners[from], B: l.next(int(to) - 1)}
	var off float64
	for k := from; k < to; k++ {
		off = max(off, l.off[k]+max(chord.Dist(l.corners[k]), chord.Dist(l.next(int(k)))))
	}
	off *= 1 + 1e-9
	return node{
		stroke: stroke, chord: chord, off: off, from: from, to: to,
		mid: chord.A.Lerp(chord.B, 0.5), radius: (chord.Length()/2 + off) * (1 + 1e-9),
	}
}

// parted returns the node as two: at its corner farthest from the chord, where it has one
// that is far, and else in the middle.
func (l *loop) parted(x node) [2]node {
	at := (x.from + x.to) / 2
	if x.off > 0.1*x.chord.Length() {
		far := 0.
		for k := x.from + 1; k < x.to; k++ {
			if d := x.chord.Dist(l.corners[k]); d > far {
				far, at = d, k
			}
		}
	}
	return [2]node{l.node(x.stroke, x.from, at), l.node(x.stroke, at, x.to)}
}

// appendNodes appends a node, parted until no part is longer than most mm.
func (l *loop) appendNodes(to []node, x node, most float64) []node {
	if x.to-x.from == 1 || 2*x.radius <= most {
		return append(to, x)
	}
	parts := l.parted(x)
	return l.appendNodes(l.appendNodes(to, parts[0], most), parts[1], most)
}
