package sim

import (
	"math"

	"weftplot/paths"
)

// arc draws AA or AR: centre, degrees, and degrees to a chord, 5 unless said:
// page 3-17. The plotter draws chords, so that is what comes out.
func (h *parser) arc(m string, n int) {
	if n < 3 {
		h.fail(badCount, m)
		return
	}
	x, y := h.params[0], h.params[1]
	if math.Abs(x) > h.limit() || math.Abs(y) > h.limit() {
		h.fail(outOfRange, m)
		return
	}
	chord := 5.0
	if n > 3 && h.params[3] != 0 {
		chord = math.Abs(h.params[3])
	}
	h.turn(h.units(x, y, m == "AR"), h.params[2], chord)
}

// turn draws around a centre by so many degrees.
func (h *parser) turn(centre paths.Point, degrees, chord float64) {
	start := h.at
	chord = min(max(chord, 0.1), 180)
	n := max(1, int(math.Ceil(math.Abs(degrees)/chord-1e-9)))
	r := start.Sub(centre)
	for i := 1; i <= n; i++ {
		s, c := math.Sincos(degrees * math.Pi / 180 * float64(i) / float64(n))
		to := centre.Add(paths.Point{X: r.X*c - r.Y*s, Y: r.X*s + r.Y*c})
		if i == n && math.Abs(degrees) == 360 {
			to = start
		}
		h.line(to)
	}
}

// circle draws CI about where the pen is, and brings it back: page 3-12.
func (h *parser) circle(n int) {
	if n < 1 {
		h.fail(badCount, "CI")
		return
	}
	chord := 5.0
	if n > 1 && h.params[1] != 0 {
		chord = math.Abs(h.params[1])
	}
	centre, down := h.at, h.down
	h.pen(false)
	h.line(h.units(h.params[0], 0, true))
	h.pen(true)
	h.turn(centre, 360, chord)
	h.pen(false)
	h.line(centre)
	h.pen(down)
}

// encoded reads PE, polyline encoded: PCL 5 Printer Language Technical
// Reference Manual, part II, pages 20-34 to 20-41.
type encoded struct {
	base     int64
	value    int64
	shift    int64 // what the next digit counts
	flag     byte  // the flag whose number comes next
	x        float64
	hasX     bool
	absolute bool
	down     bool
	fraction int64
}

func (e *encoded) take(h *parser, b byte) {
	switch b & 0x7f {
	case ':', '>':
		e.flag = b & 0x7f
		return
	case '<':
		e.down = false
		return
	case '=':
		e.absolute = true
		return
	case '7':
		e.base = 32
		return
	}
	first, last := byte(63), byte(191)
	if e.base == 32 {
		b &= 0x7f
		last = 95
	}
	if b < first || b == 127 && e.base == 64 {
		return // blanks and controls
	}
	digit, final := int64(b-first), b >= last
	if final {
		digit = int64(b - last)
	}
	if digit >= e.base {
		return
	}
	if e.shift == 0 {
		e.shift = 1
	}
	if e.shift < 1<<40 {
		e.value += digit * e.shift
	}
	e.shift *= e.base
	if final {
		e.finish(h)
	}
}

// finish takes in a whole number.
func (e *encoded) finish(h *parser) {
	n := e.value >> 1
	if e.value&1 == 1 {
		n = -n
	}
	e.value, e.shift = 0, 0
	switch e.flag {
	case ':':
		h.pen(false)
		e.flag = 0
		return
	case '>':
		e.fraction, e.flag = min(max(n, -26), 26), 0
		return
	}
	v := math.Ldexp(float64(n), -int(e.fraction))
	if !e.hasX {
		e.x, e.hasX = v, true
		return
	}
	e.hasX = false
	if !e.down || !h.down { // a pair is drawn with the pen down unless it says otherwise
		h.pen(e.down)
	}
	h.line(h.units(e.x, v, !e.absolute))
	e.absolute, e.down = false, true
}
