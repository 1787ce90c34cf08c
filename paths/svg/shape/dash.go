package shape

import (
	"math"

	"weftplot/paths"
)

// Dash returns the strokes cut into their dashes. pattern has the lengths of
// dashes and gaps in turn, an even number of them with a sum above zero; offset
// is how far into the pattern each stroke begins. A dash without length is a dot.
func Dash(strokes []paths.Stroke, pattern []float64, offset float64) []paths.Stroke {
	d := dasher{pattern: pattern, offset: offset}
	for _, v := range pattern {
		d.sum += v
	}
	for _, s := range strokes {
		d.stroke(s)
	}
	return d.out
}

// dasher walks along strokes and keeps what lies in a dash.
type dasher struct {
	pattern     []float64
	sum, offset float64
	out         []paths.Stroke

	i    int     // which dash (even) or gap (odd) the walk is in
	left float64 // mm of it still to come
	cur  paths.Stroke
}

// begin sets the walk to its place in the pattern at the start of a subpath.
func (d *dasher) begin() {
	at := math.Mod(d.offset, d.sum)
	if at < 0 {
		at += d.sum
	}
	d.i, d.cur = 0, nil
	for at > 0 && at >= d.pattern[d.i] && d.i < len(d.pattern)-1 {
		at -= d.pattern[d.i]
		d.i++
	}
	d.left = max(0, d.pattern[d.i]-at)
}

func (d *dasher) on() bool { return d.i%2 == 0 }

func (d *dasher) lift() {
	if len(d.cur) > 0 {
		d.out = append(d.out, d.cur)
	}
	d.cur = nil
}

// next begins the next dash or gap at the point p. A dash without length is a
// dot.
func (d *dasher) next(p paths.Point) {
	if d.on() && len(d.cur) == 0 && d.pattern[d.i] == 0 {
		d.cur = paths.Polyline(p)
	}
	d.lift()
	d.i = (d.i + 1) % len(d.pattern)
	d.left = d.pattern[d.i]
}

func (d *dasher) stroke(s paths.Stroke) {
	if s.IsDot() {
		d.out = append(d.out, s)
		return
	}
	d.begin()
	startsOn, first := d.on(), len(d.out)
	for _, c := range s {
		whole := c.Length()
		for from := 0.; ; {
			if whole-from <= d.left {
				// A whole curve is kept however short, or the next would not
				// begin where the dash ends.
				if d.on() && (from == 0 || whole-from > 1e-9) {
					d.cur = append(d.cur, paths.Sub(c, paths.ParamAt(c, from), 1))
				}
				d.left -= whole - from
				break
			}
			to := from + d.left
			t := paths.ParamAt(c, to)
			if d.on() && d.left > 1e-9 {
				d.cur = append(d.cur, paths.Sub(c, paths.ParamAt(c, from), t))
			}
			d.next(c.At(t))
			from = to
		}
	}
	d.lift()
	if n := len(d.out); startsOn && s.IsClosed() && n-first > 1 && d.out[first].Start() == s.Start() && d.out[n-1].End() == s.End() {
		d.out[first] = append(d.out[n-1], d.out[first]...) // one dash over the seam
		d.out = d.out[:n-1]
	}
}
