// Package frieze closes a row of equal motifs round a rug in whole channels.
//
// A band of motifs runs along the four sides, with a square at each corner. Between two
// corners lie L channels, and n motifs of m channels with a gap of g before the first,
// after the last and between them take n·m + (n+1)·g. On both sides that is rarely L at
// once, so something gives: the gaps between the motifs, the width of the motif, or the
// size of the rug. Each way has its plan, and a person chooses among them.
package frieze

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// Wish is what a band should be, all in channels.
type Wish struct {
	Width int    // of the motif along the side, at least 1
	Gap   int    // from a motif to the next, and to the corner, at least 1
	Sides [2]int // between the corners, of the sides that run across and along
}

// Side is how one side closes.
type Side struct {
	Length int // between the corners
	// Starts are where the motifs begin, from the corner on. They are their own mirror
	// image about the middle of the side.
	Starts []int
}

// Plan is a band that closes on all sides.
type Plan struct {
	Width int // of every motif
	Sides [2]Side
}

// starts returns where motifs begin, given the gaps before each.
func starts(width int, gaps []int) (out []int) {
	at := 0
	for _, g := range gaps {
		out = append(out, at+g)
		at += g + width
	}
	return out
}

// ByGap leaves the motif and the sides as they are; the gaps between motifs give. They
// differ by one at most and are their own mirror image; those to the corners stay, unless
// there is one motif only. It is not ok where a side is too short for a motif.
func (w Wish) ByGap() (Plan, bool) {
	p := Plan{Width: w.Width}
	for i, length := range w.Sides {
		best, ok := 0, false
		off := func(n int) float64 { return math.Abs(float64(length-2*w.Gap-n*w.Width)/float64(n-1) - float64(w.Gap)) }
		for n := 2; n*w.Width+2*w.Gap+n-1 <= length; n++ {
			if rest := (length - 2*w.Gap - n*w.Width) % (n - 1); rest%2 != 0 && n%2 != 0 {
				continue // the odd one has no place in the middle
			}
			if !ok || off(n) < off(best) {
				best, ok = n, true
			}
		}
		p.Sides[i].Length = length
		switch room := length - w.Width; {
		case ok:
			p.Sides[i].Starts = starts(w.Width, append([]int{w.Gap}, evenGaps(length-2*w.Gap-best*w.Width, best-1)...))
		case room >= 2 && room%2 == 0:
			p.Sides[i].Starts = []int{room / 2}
		default:
			return Plan{}, false
		}
	}
	return p, true
}

// evenGaps shares a total among gaps, evenly and symmetrically.
func evenGaps(total, n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = total / n
	}
	rest := total % n
	if rest%2 != 0 {
		out[n/2]++
	}
	pairs, half := rest/2, n/2
	for i := range pairs {
		j := (2*i + 1) * half / (2 * pairs)
		out[j]++
		out[n-1-j]++
	}
	return out
}

// ByMotif leaves gaps and sides as they are; the width of the motif gives, up to a third
// of it. It is not ok where no width closes both sides.
func (w Wish) ByMotif() (Plan, bool) {
	for by := 0; 3*by <= w.Width; by++ {
		for _, width := range []int{w.Width - by, w.Width + by} {
			if width < 1 {
				continue
			}
			p, period, ok := Plan{Width: width}, width+w.Gap, true
			for i, length := range w.Sides {
				n := (length - w.Gap) / period
				ok = ok && n >= 1 && (length-w.Gap)%period == 0
				p.Sides[i] = regular(length, n, width, w.Gap)
			}
			if ok {
				return p, true
			}
		}
	}
	return Plan{}, false
}

// BySize leaves motif and gaps as they are; the sides give, as little as can be.
func (w Wish) BySize() Plan {
	p, period := Plan{Width: w.Width}, w.Width+w.Gap
	for i, length := range w.Sides {
		n := max(1, int(math.Round(float64(length-w.Gap)/float64(period))))
		p.Sides[i] = regular(n*period+w.Gap, n, w.Width, w.Gap)
	}
	return p
}

func regular(length, n, width, gap int) Side {
	s := Side{Length: length}
	for i := range max(0, n) {
		s.Starts = append(s.Starts, gap+i*(width+gap))
	}
	return s
}

// Gaps returns the gaps of a side, those to the corners first and last.
func (p Plan) Gaps(side int) (out []int) {
	at := 0
	for _, s := range p.Sides[side].Starts {
		out = append(out, s-at)
		at = s + p.Width
	}
	return append(out, p.Sides[side].Length-at)
}

// Band is where a band lies in a rug, in channels: so far from the edge, so deep, in a rug
// of so many channels across and along.
type Band struct{ From, Deep, NX, NY int }

// Turned returns the map that takes a motif, drawn in mm with its lower left corner at 0,0
// and its foot towards the edge, to a place on a side: 0 is the lower one, and the others
// follow counter-clockwise, each turned by a quarter, so that all face inward. Channels
// go to channels. at is counted from the corner's inner edge, where the side begins in
// the sense of the turn.
func (b Band) Turned(side, at int, g weave.Grid) paths.Affine {
	lo, along := b.From, b.From+b.Deep+at
	switch side {
	case 0:
		return paths.Translate(g.At(weave.Place{Across: float64(along), Along: float64(lo)}))
	case 1:
		to := g.At(weave.Place{Across: float64(b.NX - lo), Along: float64(along)})
		return paths.Affine{B: g.Along / g.Across, C: -g.Across / g.Along, E: to.X, F: to.Y}
	case 2:
		to := g.At(weave.Place{Across: float64(b.NX - along), Along: float64(b.NY - lo)})
		return paths.Affine{A: -1, D: -1, E: to.X, F: to.Y}
	}
	to := g.At(weave.Place{Across: float64(lo), Along: float64(b.NY - along)})
	return paths.Affine{B: -g.Along / g.Across, C: g.Across / g.Along, E: to.X, F: to.Y}
}

// Mitred returns what of a stroke, drawn for a place that begins at a channel of a side,
// lies between the mitres at both ends of the side: the slanting lines from the corners of
// the band's outer edge to those of its inner edge.
func (b Band) Mitred(s paths.Stroke, at, length int, g weave.Grid) []paths.Stroke {
	place := func(p paths.Point) (u, v float64) {
		q := g.PlaceOf(p)
		return q.Across + float64(at), q.Along
	}
	var out []paths.Stroke
	for _, k := range keep(s, func(p paths.Point) float64 { u, v := place(p); return u - v + float64(b.Deep) }) {
		out = append(out, keep(k, func(p paths.Point) float64 { u, v := place(p); return float64(length+b.Deep) - u - v })...)
	}
	return out
}

// keep returns the parts of a stroke where f, which is linear, is not below zero.
func keep(s paths.Stroke, f func(paths.Point) float64) (out []paths.Stroke) {
	const tiny = 1e-9
	var part paths.Stroke
	flush := func() {
		if len(part) > 0 {
			out = append(out, part)
		}
		part = nil
	}
	for _, c := range s {
		ts := append(append([]float64{0}, crossings(c, f)...), 1)
		for i := 1; i < len(ts); i++ {
			if f(c.At((ts[i-1]+ts[i])/2)) < -tiny {
				flush()
				continue
			}
			if ts[i] > ts[i-1] {
				part = append(part, paths.Sub(c, ts[i-1], ts[i]))
			}
		}
	}
	flush()
	return out
}

// crossings returns the parameters at which f changes its sign along a curve.
func crossings(c paths.Curve, f func(paths.Point) float64) (out []float64) {
	const pieces = 64
	for i := range pieces {
		lo, hi := float64(i)/pieces, float64(i+1)/pieces
		a, b := f(c.At(lo)), f(c.At(hi))
		if (a < 0) == (b < 0) {
			continue
		}
		for range 60 {
			mid := (lo + hi) / 2
			if (f(c.At(mid)) < 0) == (a < 0) {
				lo = mid
			} else {
				hi = mid
			}
		}
		out = append(out, (lo+hi)/2)
	}
	return out
}
