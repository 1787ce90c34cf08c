package outside

import "math"

// polyline is the state of a PE (PCL 5 reference, 20-34 to 20-41).
type polyline struct {
	pen, absolute bool
	base          int
	bits          float64
	value         float64
	scale         float64
	digits        bool
	first         bool
	x             float64
	number        byte // ':' or '>' where a number of that flag follows
}

// flag takes a byte that is no digit; it reports whether it was one of the
// flags.
func (e *polyline) flag(b byte) bool {
	switch b & 0x7f {
	case ':', '>':
		e.number = b & 0x7f
	case '<':
		e.pen = false
	case '=':
		e.absolute = true
	case '7':
		e.base = 32
	default:
		return false
	}
	return true
}

// digit returns what a byte stands for in the base, whether it ends its number,
// and false where it is no digit.
func (e *polyline) digit(b byte) (d int, final, ok bool) {
	if e.base == 32 {
		b &= 0x7f
		switch {
		case b >= 63 && b <= 94:
			return int(b) - 63, false, true
		case b >= 95 && b <= 126:
			return int(b) - 95, true, true
		}
		return 0, false, false
	}
	switch {
	case b >= 63 && b <= 126:
		return int(b) - 63, false, true
	case b >= 191 && b <= 254:
		return int(b) - 191, true, true
	}
	return 0, false, false
}

// encoded takes a byte of a PE.
func (k *plotter) encoded(b byte) {
	e := &k.pe
	if b&0x7f == ';' {
		k.name, e.digits = "", false
		return
	}
	if !e.digits && e.flag(b) {
		return
	}
	digit, final, ok := e.digit(b)
	if !ok {
		return
	}
	if !e.digits {
		e.value, e.scale, e.digits = 0, 1, true
	}
	e.value += float64(digit) * e.scale
	e.scale *= float64(e.base)
	if final {
		e.digits = false
		k.encodedValue()
	}
}

func (k *plotter) encodedValue() {
	e := &k.pe
	n := int64(math.Min(e.value, 1<<40))
	v := float64(n >> 1)
	if n&1 == 1 {
		v = -v
	}
	switch e.number {
	case ':':
		e.number = 0
		k.lift(false)
		return
	case '>':
		e.number, e.bits = 0, v
		return
	}
	v /= math.Pow(2, e.bits)
	if !e.first {
		e.first, e.x = true, v
		return
	}
	e.first = false
	k.lift(e.pen)
	to := pt{k.counted.x + e.x, k.counted.y + v}
	if e.absolute {
		to = pt{e.x, v}
	}
	if math.Abs(to.x) < 1<<20 && math.Abs(to.y) < 1<<20 {
		k.way([]pt{k.counted, to})
	} else {
		k.faulty = 3
	}
	e.pen, e.absolute = true, false
}
