package hpgl

import (
	"fmt"

	"weftplot/paths"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// maxBytes and maxBlocks bound what is read and what is kept of it.
const (
	maxBytes  = 32 << 20
	maxBlocks = 4 << 20
)

// Read returns the program in data, HP-GL or HP-GL/2; name is for messages. The
// language it finds is the program's: HP-GL/2 if an instruction only that one
// has is in it, or the profile says so. With a machine its plotter unit and its
// calibration hold, else a unit is 0.025 mm: 7470A, B-6.
//
// It draws the moves, arcs, circles, rectangles and encoded polylines, with
// scaling. What is legal and not drawn, such as labels and filled areas, is in
// the program's Notes, and so is what is no instruction. Text in which little
// is an instruction is refused with a [paths.Fault] that names the line.
//
// Blocks know the line they stand on and the end of their instruction. The cost
// is linear in the length of data.
func Read(name string, data []byte, m *profiles.Machine) (program.Program, error) {
	if len(data) > maxBytes {
		return program.Program{}, paths.Bad(name, "", "the program has %d bytes; %d are read at most", len(data), maxBytes)
	}
	r := newReader(string(data), m)
	for r.next() {
		if len(r.out.Blocks) > maxBlocks {
			return program.Program{}, paths.Bad(fmt.Sprintf("%s: line %d", name, r.line), "", "the program has too many steps to be read")
		}
	}
	if r.known == 0 || r.strays > r.known {
		where := name
		if r.firstStray > 0 {
			where = fmt.Sprintf("%s: line %d", name, r.firstStray)
		}
		return program.Program{}, paths.Bad(where, "check that the file is HP-GL or HP-GL/2 and whole", "this is no plotter program")
	}
	r.out.Language = string(profiles.HPGL)
	if r.two {
		r.out.Language = string(profiles.HPGL2)
	}
	r.out.Notes = r.notes.Notes()
	return r.out, nil
}

// reader is the state of the plotter as the program goes.
type reader struct {
	out   program.Program
	notes program.Noter
	scanner
	two           bool // HP-GL/2
	known, strays int
	firstStray    int
	unit          paths.Affine // plotter units to mm
	slow          float64      // the greater calibration, for speeds
	at            paths.Point  // in plotter units
	down          bool
	relative      bool
	feed          float64 // mm/s, 0 for the machine's own
	terminator    byte    // of labels
	frame         frame   // the scaling points
	user          paths.Affine
	scaled        bool
	window        paths.Rect // in plotter units; empty for none
	params        []float64
	startLine     int // of the instruction
}

func newReader(text string, m *profiles.Machine) *reader {
	r := &reader{scanner: scanner{text: text, line: 1}, slow: 1, terminator: etx, user: paths.Identity(), window: paths.EmptyRect()}
	r.unit, r.slow = paths.Scale(0.025, 0.025), 1
	if m != nil {
		r.unit, _ = m.Units().Inverse() // a profile's unit and scale are not 0
		r.slow = max(m.Calib.Scale[0], m.Calib.Scale[1])
		r.two = m.Language == profiles.HPGL2
	}
	r.frame = startFrame(m)
	return r
}

// etx ends a label unless DT says otherwise: 7470A, 5-6.
const etx = 3

// next reads one instruction and reports whether there was one.
func (r *reader) next() bool {
	r.skipSpace()
	if r.pos >= len(r.text) {
		return false
	}
	r.startLine = r.line
	c := r.text[r.pos]
	switch {
	case c == ';' || c == ',':
		r.pos++
	case c == esc:
		r.escape()
	case c == '@' && r.hasPrefix("@PJL"):
		r.skipLine()
		r.notes.Once("escape", r.startLine, "printer commands are skipped")
	case isLetter(c) && r.pos+1 < len(r.text) && isLetter(r.text[r.pos+1]):
		name := string([]byte{c &^ 0x20, r.text[r.pos+1] &^ 0x20})
		r.pos += 2
		r.instruction(name)
	default:
		r.stray(c)
	}
	return true
}

// stray notes a character that begins nothing.
func (r *reader) stray(c byte) {
	r.pos++
	r.strays++
	if r.firstStray == 0 {
		r.firstStray = r.line
	}
	r.notes.Add("stray", r.line, "%q begins no instruction", c)
}

// add appends a block of the instruction under way.
func (r *reader) add(b program.Block) {
	b.Line, b.End = r.startLine, r.pos
	r.out.Blocks = append(r.out.Blocks, b)
}

// endBlocks puts the end of the instruction into its blocks.
func (r *reader) endBlocks(from int) {
	for i := from; i < len(r.out.Blocks); i++ {
		r.out.Blocks[i].End = r.pos
	}
}

// lift puts the pen up or down, if it is not there.
func (r *reader) lift(down bool) {
	if down == r.down {
		return
	}
	r.down = down
	kind := program.PenUp
	if down {
		kind = program.PenDown
	}
	r.add(program.Block{Kind: kind})
}

// along goes a way given in plotter units.
func (r *reader) along(c paths.Curve) {
	b := program.Block{Kind: program.Travel}
	if r.down {
		b.Kind, b.Feed = program.Draw, r.feed
		r.checkWindow(c)
	}
	if l, ok := c.(paths.Line); ok && l.A == l.B {
		return
	}
	if b.Kind == program.Travel {
		c = paths.Line{A: c.Start(), B: c.End()}
	}
	for _, piece := range c.Transform(r.unit) {
		b.Curve = piece
		r.add(b)
	}
	r.at = c.End()
}

// lineTo goes straight to a point in plotter units, if it can be numbered:
// 7470A, 3-4; in HP-GL/2 the range is 2^30: PCL 5, 20-36.
func (r *reader) lineTo(p paths.Point) {
	limit := 32767.0
	if r.two {
		limit = 1 << 30
	}
	if max(p.X, p.Y) > limit || min(p.X, p.Y) < -limit-1 {
		r.notes.Add("out-of-range", r.startLine, "the position %.6g, %.6g cannot be numbered and is left out", p.X, p.Y)
		return
	}
	r.along(paths.Line{A: r.at, B: p})
}

// checkWindow notes what a window would cut off; it is drawn all the same.
func (r *reader) checkWindow(c paths.Curve) {
	if r.window.IsEmpty() {
		return
	}
	if by, _ := r.window.Excess(c.Bounds()); by > 0 {
		r.notes.Once("outside-window", r.startLine, "lines outside the window that is set are shown; the plotter leaves them out")
	}
}
