package hpgl

import (
	"math"

	"weftplot/paths"
)

// encoded does PE: PCL 5, 20-34 to 20-41. Pairs are relative and drawn unless a
// flag before them says otherwise; the instruction ends at a semicolon only.
func (r *reader) encoded() {
	d := decoder{base: base64}
	for r.pos < len(r.text) {
		c := r.text[r.pos]
		if c == ';' {
			r.pos++
			d.finish(r)
			return
		}
		r.step()
		d.take(r, c)
		if r.full {
			return
		}
	}
	d.finish(r)
	r.doubt("unterminated-polyline", "the encoded polyline does not end with a semicolon")
}

// decoder is the state within one instruction.
type decoder struct {
	base     base
	bits     int
	up, abs  bool // for the next pair
	expect   byte // the flag whose number comes next, 0 for a coordinate
	n        uint64
	digits   int
	x        float64
	half     bool // x is there and y to come
	complain bool // something was noted already
}

// take takes in one byte. A flag's eighth bit counts for nothing; a digit's
// tells the last one in base 64.
func (d *decoder) take(r *reader, c byte) {
	if c <= ' ' || c >= 127 && c <= 160 || c == 255 {
		return
	}
	if v, final, ok := d.base.digit(c); ok {
		d.digit(r, v, final)
		return
	}
	switch flag := c & 0x7f; flag {
	case '7':
		d.base = base32
	case ':', '>':
		d.expect = flag
	case '<':
		d.up = true
	case '=':
		d.abs = true
	default:
		d.fault(r, "%q does not belong into an encoded polyline", c)
	}
}

func (d *decoder) fault(r *reader, format string, args ...any) {
	if !d.complain {
		r.doubt("bad-polyline", format, args...)
		d.complain = true
	}
}

func (d *decoder) digit(r *reader, v uint64, final bool) {
	shift := uint(5)
	if d.base.size == 64 {
		shift = 6
	}
	if uint(d.digits)*shift < 54 {
		d.n |= v << (uint(d.digits) * shift)
	} else if v != 0 {
		d.fault(r, "a number is too long")
	}
	d.digits++
	if !final {
		return
	}
	n := signed(d.n)
	d.n, d.digits = 0, 0
	switch d.expect {
	case ':':
		r.selectPen([]float64{float64(n)})
	case '>':
		if n < -26 || n > 26 {
			d.fault(r, "%d bits after the point cannot be", n)
		} else {
			d.bits = int(n)
		}
	default:
		d.coordinate(r, math.Ldexp(float64(n), -d.bits))
	}
	d.expect = 0
}

func (d *decoder) coordinate(r *reader, v float64) {
	if !d.half {
		d.x, d.half = v, true
		return
	}
	d.half = false
	r.lift(!d.up)
	to := paths.Point{X: d.x, Y: v}
	switch {
	case r.scaled:
		to = r.place(d.x, v, !d.abs)
	case !d.abs:
		to = r.at.Add(to)
	}
	r.lineTo(to)
	d.up, d.abs = false, false
}

// finish notes what is left over.
func (d *decoder) finish(r *reader) {
	if d.half || d.digits > 0 || d.expect != 0 {
		d.fault(r, "an encoded polyline ends in the middle of a pair")
	}
}
