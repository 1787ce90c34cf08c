package fit

import (
	"math"

	"weftplot/paths"
)

// bows are the heights over the middle of a chord, on its left, that an arc may have, mm.
type bows struct{ low, high float64 }

// anyBow are all heights.
var anyBow = bows{math.Inf(-1), math.Inf(1)}

// flat reports whether a line is among them.
func (w bows) flat() bool { return w.low <= 0 && w.high >= 0 }

// looks is about how many points of a piece are looked at to tell its bows: what the error
// of an arc is between them differs by a few parts of a hundred from what it is there.
const looks = 10

// bowsOver returns the heights of arcs from a over the points between to b that are about
// within tol of all of them; ok is false where there are none.
func bowsOver(a, b paths.Point, between []paths.Point, tol float64) (w bows, ok bool) {
	chord := b.Sub(a)
	length := math.Sqrt(chord.Dot(chord))
	if length < 1e-9 {
		return w, false
	}
	o := over{middle: a.Lerp(b, 0.5), u: chord.Mul(1 / length), c: length / 2, tol: tol, tall: 0.2, bows: anyBow}
	n := len(between)
	if n > 8 { // most tries fail, and a few points spread over the chain usually tell
		for _, i := range [...]int{n / 4, n * 3 / 4, n / 8, n * 7 / 8, n / 2} {
			if !o.narrow(between[i]) {
				return w, false
			}
		}
	}
	step := max(1, n/looks)
	for i := (n - 1) % step / 2; i < n; i += step {
		if !o.narrow(between[i]) {
			return w, false
		}
	}
	return o.bows, !math.IsInf(o.low, 0)
}

// over is what points allow of the heights over a chord from -c to c.
type over struct {
	middle, u paths.Point // of the chord, and its direction
	c, tol    float64
	tall      float64 // the height, in c, above which an arc counts as no flat one
	bows
}

// narrow takes what a point does not allow from the heights, and reports whether any are
// left. Where the height h of the circle through the point changes, the circle moves there
// by y/h as much, which for flat arcs is 1-(x/c)².
func (o *over) narrow(p paths.Point) bool {
	d := p.Sub(o.middle)
	x, y := d.Dot(o.u), o.u.Cross(d)
	share := 1 - (x/o.c)*(x/o.c)
	if share < 0.05 {
		return true
	}
	h := height(x, y, o.c)
	if math.Abs(h) > o.tall*o.c {
		share = y / h
	}
	by := o.tol / share
	o.low, o.high = max(o.low, h-by), min(o.high, h+by)
	return o.low <= o.high
}

// radius returns the radius of an arc over a chord of twice half, with a height in the middle
// of the bows, or in them at least, in a step of so many thousandths; ok is false where there is
// none, or it would bend by more than the widest sweep.
func (w bows) radius(half, step float64) (r float64, ok bool) {
	low, high := w.low, w.high
	if low < 0 {
		low, high = -high, -low
	}
	of := func(height float64) float64 { return (half*half + height*height) / (2 * height) }
	least, most := of(min(high, half*bulgeWidest)), of(low)
	r = math.Round(of((low+high)/2)*1000/step) * step / 1000
	if r < least {
		r = math.Ceil(least*1000/step) * step / 1000
	} else if r > most {
		r = math.Floor(most*1000/step) * step / 1000
	}
	return r, r >= least && r <= most
}

// bulgeWidest is the bulge of the widest sweep.
var bulgeWidest = math.Tan(widest / 4)

// ofRadius returns the arc of a radius from a to b that bends as the bows do.
func (w bows) ofRadius(a, b paths.Point, r float64) (piece, bool) {
	half := a.Dist(b) / 2
	bulge := (r - math.Sqrt((r-half)*(r+half))) / half
	arc, ok := paths.BulgedArc(a, b, -math.Copysign(bulge, w.low))
	return piece(arc), ok
}
