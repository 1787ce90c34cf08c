package sim

import (
	"math"
	"strconv"

	"weftplot/paths"
)

// The errors of HP-GL, as OE reports them: HP 7470A Interfacing and Programming
// Manual, page 1-13.
const (
	noError       = 0
	badMnemonic   = 1
	badCount      = 2
	outOfRange    = 3
	positionLimit = 6
)

// parser reads HP-GL and HP-GL/2 byte by byte, as a plotter does from its
// buffer. Every pair of coordinates is drawn as soon as it is complete, so that
// an instruction may be longer than the buffer.
type parser struct {
	p      *HPGL
	mnem   string // the instruction, or the first letter of one
	num    []byte // of the number being read
	params []float64
	odd    bool // a parameter was not a number
	label  bool
	pe     encoded

	relative bool
	down     bool
	at       paths.Point // plotter units, real
	p1, p2   paths.Point
	window   paths.Rect // plotter units
	scaled   bool
	user     [4]float64 // xmin, xmax, ymin, ymax
	err      int
	lost     bool // the last point asked for was out of reach
}

func newParser(p *HPGL) parser {
	h := parser{p: p}
	h.reset()
	return h
}

// reset sets everything as IN does.
func (h *parser) reset() {
	h.relative, h.scaled, h.down, h.err, h.lost = false, false, false, noError, false
	reach := h.p.m.Reach()
	u := float64(h.p.m.HPGL.Unit)
	h.p1, h.p2 = reach.Min.Mul(1/u), reach.Max.Mul(1/u)
	if h.p.m.HPGL.Swap {
		h.p1, h.p2 = paths.Point{X: h.p1.Y, Y: h.p1.X}, paths.Point{X: h.p2.Y, Y: h.p2.X}
	}
	h.p.speed = math.Inf(1)
	h.setWindow(0)
}

// setWindow does IW, page 2-9: without numbers the window is all that the pen
// reaches. What is sent here draws inside it, so nothing is cut off.
func (h *parser) setWindow(n int) {
	h.window = paths.RectOf(h.p1, h.p2)
	switch n {
	case 0:
	case 4:
		h.window = paths.Rect{Min: paths.Point{X: h.params[0], Y: h.params[1]}, Max: paths.Point{X: h.params[2], Y: h.params[3]}}
	default:
		h.fail(badCount, "IW")
	}
}

// take reads one byte.
func (h *parser) take(b byte) {
	switch {
	case h.label:
		if b == 3 { // ETX ends a label
			h.label, h.mnem = false, ""
		}
	case h.mnem == "PE":
		if b == ';' {
			h.pe, h.mnem = encoded{}, ""
		} else {
			h.pe.take(h, b)
		}
	case b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z':
		h.letter(b &^ 0x20)
	case b == ';' || b == '\n':
		h.end()
	case len(h.mnem) == 2:
		h.param(b)
	}
}

func (h *parser) letter(b byte) {
	if len(h.mnem) == 2 {
		h.end() // the next mnemonic ends an instruction too
	}
	h.mnem += string(b)
	if len(h.mnem) < 2 {
		return
	}
	h.params, h.num, h.odd = h.params[:0], h.num[:0], false
	switch h.mnem {
	case "LB":
		h.label = true
	case "PE":
		h.pe = encoded{base: 64, down: true}
	case "PU":
		h.pen(false)
	case "PD":
		h.pen(true)
	case "PA":
		h.relative = false
	case "PR":
		h.relative = true
	}
}

// param reads a byte of the parameters. A sign begins a number without a comma.
func (h *parser) param(b byte) {
	switch {
	case b == ',' || b <= ' ':
		h.number()
	case b == '-' || b == '+':
		h.number()
		h.num = append(h.num, b)
	case b >= '0' && b <= '9' || b == '.':
		if len(h.num) < 32 {
			h.num = append(h.num, b)
		}
	default:
		h.odd = true
	}
}

// number ends a number, and draws when it ends a pair of coordinates.
func (h *parser) number() {
	if len(h.num) == 0 {
		return
	}
	v, err := strconv.ParseFloat(string(h.num), 64)
	h.num = h.num[:0]
	if err != nil {
		h.odd = true
		return
	}
	if len(h.params) < 1000 {
		h.params = append(h.params, v)
	}
	if len(h.params) == 2 && isMove(h.mnem) {
		h.goTo(h.params[0], h.params[1])
		h.params = h.params[:0]
	}
}

// isMove reports whether the parameters of an instruction are places to go to.
func isMove(m string) bool { return m == "PU" || m == "PD" || m == "PA" || m == "PR" }

// end carries out an instruction whose parameters are complete.
func (h *parser) end() {
	h.number()
	m := h.mnem
	h.mnem = ""
	if len(m) == 0 {
		return
	}
	if len(m) == 1 || !h.run(m) {
		h.fail(badMnemonic, m)
	} else if h.odd {
		h.fail(badCount, m)
	}
}

// run carries out the instruction m. It returns false if there is no such
// instruction.
func (h *parser) run(m string) bool {
	n := len(h.params)
	switch m {
	case "IN", "DF":
		h.pen(false)
		h.reset()
	case "PU", "PD", "PA", "PR":
		if n != 0 { // half a pair; the complete ones before it are drawn
			h.fail(badCount, m)
		}
	case "SP":
		h.pen(false)
	case "VS":
		h.speed(n)
	case "AA", "AR":
		h.arc(m, n)
	case "CI":
		h.circle(n)
	case "AT", "RT":
		h.arcThrough(m, n)
	case "BZ", "BR":
		h.bezier(m, n)
	case "EA", "ER":
		h.rectangle(m, n)
	case "IP":
		h.corners(n)
	case "SC":
		h.scale(n)
	case "IW":
		h.setWindow(n)
	case "OE", "OS", "OA", "OI", "OF", "OW":
		h.p.answer(m)
	default:
		return showsNothing[m]
	}
	return true
}

// showsNothing holds the instructions that change nothing that shows on cloth.
var showsNothing = map[string]bool{
	"FS": true, "AS": true, "PW": true, "WU": true, "PS": true, "RO": true, "EC": true, "MG": true, "LT": true,
	"PC": true, "NP": true, "TR": true, "DT": true, "PG": true, "CO": true, "BP": true, "NR": true, "AC": true,
}

func (h *parser) fail(code int, m string) {
	h.err = code
	h.p.refused(code, m)
}

// speed sets the speed in cm/s: page 3-3.
func (h *parser) speed(n int) {
	switch {
	case n == 0:
		h.p.speed = math.Inf(1)
	case h.params[0] < 0 || h.params[0] > 127.9999:
		h.fail(outOfRange, "VS")
	default:
		h.p.speed = max(h.params[0], 0.38) * 10
	}
}

// corners sets P1 and P2; P2 follows P1 when it is left out: page 2-4.
func (h *parser) corners(n int) {
	switch {
	case n >= 4:
		h.p1, h.p2 = paths.Point{X: h.params[0], Y: h.params[1]}, paths.Point{X: h.params[2], Y: h.params[3]}
	case n >= 2:
		d := h.p2.Sub(h.p1)
		h.p1 = paths.Point{X: h.params[0], Y: h.params[1]}
		h.p2 = h.p1.Add(d)
	case n == 1:
		h.fail(badCount, "IP")
	}
}

// scale sets the user units of P1 and P2: xmin, xmax, ymin, ymax, page 2-6.
func (h *parser) scale(n int) {
	switch {
	case n == 0:
		h.scaled = false
	case n < 4:
		h.fail(badCount, "SC")
	case h.params[0] == h.params[1] || h.params[2] == h.params[3]:
		h.fail(outOfRange, "SC")
	default:
		h.scaled = true
		copy(h.user[:], h.params)
	}
}

// limit is the greatest number the language understands.
func (h *parser) limit() float64 {
	if h.p.m.Language == "hpgl2" {
		return 1<<30 - 1
	}
	return 32767
}

// goTo moves to x, y, in the current units, absolute or relative. Without
// scaling HP-GL truncates toward minus infinity: page 3-4.
func (h *parser) goTo(x, y float64) {
	if math.Abs(x) > h.limit() || math.Abs(y) > h.limit() {
		h.fail(outOfRange, h.mnem)
		return
	}
	if !h.scaled {
		x, y = math.Floor(x), math.Floor(y)
	}
	to := h.units(x, y, h.relative)
	h.line(to)
}

// units returns a place in plotter units.
func (h *parser) units(x, y float64, relative bool) paths.Point {
	p := paths.Point{X: x, Y: y}
	if h.scaled {
		kx := (h.p2.X - h.p1.X) / (h.user[1] - h.user[0])
		ky := (h.p2.Y - h.p1.Y) / (h.user[3] - h.user[2])
		if relative {
			return h.at.Add(paths.Point{X: x * kx, Y: y * ky})
		}
		return h.p1.Add(paths.Point{X: (x - h.user[0]) * kx, Y: (y - h.user[2]) * ky})
	}
	if relative {
		return h.at.Add(p)
	}
	return p
}

// line moves straight to a place in plotter units.
func (h *parser) line(to paths.Point) {
	h.p.moveTo(h.at, to, h.down)
	h.at = to
}

// pen lifts or lowers the pen.
func (h *parser) pen(down bool) {
	h.down = down
	h.p.pen(down)
}
