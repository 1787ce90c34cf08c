package sim

import (
	"math"

	"weftplot/paths"
)

// arc draws AA or AR: centre, degrees, and degrees to a chord, 5 by default:
// page 3-17. The result is chords, as on the real plotter.
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

// turn draws around a centre by the given degrees.
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

// circle draws CI about the place of the pen, and moves the pen back: page
// 3-12.
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

// arcThrough draws AT or RT, an arc from the place of the pen through one point
// to another: PCL 5, pages 20-16 and 20-17. Three points on a line give that
// line.
func (h *parser) arcThrough(m string, n int) {
	if n < 4 {
		h.fail(badCount, m)
		return
	}
	middle, end := h.units(h.params[0], h.params[1], m == "RT"), h.units(h.params[2], h.params[3], m == "RT")
	chord := 5.0
	if n > 4 && h.params[4] != 0 {
		chord = math.Abs(h.params[4])
	}
	// The centre is equally far from all three points: two equations, solved by
	// Cramer's rule.
	u, v := middle.Sub(h.at), end.Sub(h.at)
	det := 2 * u.Cross(v)
	switch {
	case end == h.at && middle != h.at:
		h.turn(h.at.Lerp(middle, 0.5), 360, chord)
		return
	case det == 0:
		h.line(end)
		return
	}
	uu, vv := u.Dot(u), v.Dot(v)
	centre := h.at.Add(paths.Point{X: (v.Y*uu - u.Y*vv) / det, Y: (u.X*vv - v.X*uu) / det})
	from, to := h.at.Sub(centre), end.Sub(centre)
	sweep := math.Atan2(from.Cross(to), from.Dot(to)) * 180 / math.Pi
	// With the middle point on the left of the chord, the arc is clockwise.
	if left := v.Cross(u) > 0; left && sweep > 0 {
		sweep -= 360
	} else if !left && sweep < 0 {
		sweep += 360
	}
	h.turn(centre, sweep, chord)
}

// bezier draws BZ or BR, curves of degree three, each given by two control
// points and its end: PCL 5, chapter 20 (from memory).
func (h *parser) bezier(m string, n int) {
	if n == 0 || n%6 != 0 {
		h.fail(badCount, m)
		return
	}
	for p := h.params[:n]; len(p) > 0; p = p[6:] {
		c := paths.Cubic{A: h.at, B: h.units(p[0], p[1], m == "BR"), C: h.units(p[2], p[3], m == "BR"), D: h.units(p[4], p[5], m == "BR")}
		const chords = 64
		for i := 1; i <= chords; i++ {
			h.line(c.At(float64(i) / chords))
		}
	}
}

// rectangle draws EA or ER, the edge of the rectangle between the place of the
// pen and a point, and leaves the pen down or up as before: 7475A (from
// memory).
func (h *parser) rectangle(m string, n int) {
	if n < 2 {
		h.fail(badCount, m)
		return
	}
	a, c := h.at, h.units(h.params[0], h.params[1], m == "ER")
	down := h.down
	h.pen(true)
	for _, p := range []paths.Point{{X: c.X, Y: a.Y}, c, {X: a.X, Y: c.Y}, a} {
		h.line(p)
	}
	h.pen(down)
}

// encoded reads PE, polyline encoded: PCL 5 Printer Language Technical
// Reference Manual, part II, pages 20-34 to 20-41.
type encoded struct {
	base     int64
	value    int64
	shift    int64 // the place value of the next digit, as a shift
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

// finish handles a complete number.
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
	if !e.down || !h.down { // a pair is drawn with the pen down unless a flag lifts it
		h.pen(e.down)
	}
	h.line(h.units(e.x, v, !e.absolute))
	e.absolute, e.down = false, true
}
