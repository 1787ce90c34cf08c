package hpgl

import (
	"context"
	"fmt"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// maxBytes bounds what is read; [program.MostBlocks] what is kept of it.
const maxBytes = 32 << 20

// mostSteps returns how many steps a program of so many bytes may make. Two
// letters can draw a polygon again, and the work must not grow faster than the
// text.
func mostSteps(bytes int) int { return min(program.MostBlocks, 4096+8*bytes) }

// Read returns the program in data, HP-GL or HP-GL/2; name is for messages. The
// language it finds is the program's: HP-GL/2 if an instruction only that one
// has is in it, or the profile says so. With a machine its plotter unit and its
// calibration hold, else a unit is 0.025 mm: 7470A, B-6.
//
// It draws the moves, arcs by centre and by three points, circles, Bezier curves,
// rectangles, wedges, polygons and encoded polylines, with scaling, rotation and
// the window, outside which nothing is drawn. What is not wholly understood is
// among the program's Doubts: what is legal and not drawn, such as labels and the
// inside of filled areas, what is no instruction, and what depends on the plotter,
// such as where its scaling points are. Positions that cannot be numbered are
// Beyond. Text in which little is an instruction is refused with a [fault.Error]
// that names the line.
//
// Blocks know the line they stand on and the end of their instruction. The cost
// is linear in the length of data. Once ctx is over, the error is its own.
func Read(ctx context.Context, name string, data []byte, m *profiles.Machine) (program.Program, error) {
	if len(data) > maxBytes {
		return program.Program{}, fault.Bad(name, "", "the program has %d bytes; %d are read at most", len(data), maxBytes)
	}
	r := newReader(string(data), m)
	if err := r.share(ctx, m, aPart); err != nil {
		return program.Program{}, err
	}
	if r.full {
		return program.Program{}, fault.Bad(fmt.Sprintf("%s: line %d", name, r.line), "cut it into several programs",
			"the program has more than %d steps, too many to be read", r.most)
	}
	if r.inPolygon {
		r.doubt("open-polygon", "a polygon is not ended, by PM 2, and is not drawn")
	}
	if r.known == 0 || r.strays > r.known {
		where := name
		if r.firstStray > 0 {
			where = fmt.Sprintf("%s: line %d", name, r.firstStray)
		}
		return program.Program{}, fault.Bad(where, "check that the file is HP-GL or HP-GL/2 and whole", "this is no plotter program")
	}
	r.out.Language = string(profiles.HPGL)
	if r.two {
		r.out.Language = string(profiles.HPGL2)
	}
	r.notes.Put(&r.out)
	return r.out, nil
}

// reader reads a program.
type reader struct {
	out   program.Program
	notes program.Noter
	scanner
	steps         int  // ways gone so far
	most          int  // steps that are allowed
	full          bool // there are more of them, or of blocks, than are kept
	known, strays int
	firstStray    int
	area          paths.Rect // what the plotter reaches, in plotter units before any rotation
	slow          float64    // the greater calibration, for speeds
	state

	polygon   polygon // the last one defined
	start     int     // of the instruction: where and on which line
	startLine int
}

// state is the state of the plotter as the program goes: where the program has the pen, and
// where it is, which differ outside the window and while a polygon is being defined.
type state struct {
	two bool // HP-GL/2

	at       paths.Point // in plotter units
	down     bool
	real     paths.Point // the pen itself, mm
	lowered  bool
	relative bool
	feed     float64 // mm/s, 0 for the machine's own

	sized  paths.Affine // plotter units to mm before any rotation
	unit   paths.Affine // and after it
	turns  int          // quarter turns of the axes
	frame  frame        // the scaling points
	user   paths.Affine
	scaled bool
	window paths.Rect // in plotter units; empty for none

	inPolygon bool
}

func newReader(text string, m *profiles.Machine) *reader {
	r := &reader{scanner: newScanner(text), most: mostSteps(len(text)), slow: 1}
	r.user, r.window = paths.Identity(), paths.EmptyRect()
	r.sized = paths.Scale(0.025, 0.025)
	if m != nil {
		r.sized, _ = m.Units().Inverse() // a profile's unit and scale are not 0
		r.slow = max(m.Calib.Scale[0], m.Calib.Scale[1])
		r.two = m.Language == profiles.HPGL2
	}
	r.unit = r.sized
	r.frame, r.area = startFrame(m)
	return r
}

// readTo reads the items that begin before a place in the text.
func (r *reader) readTo(ctx context.Context, to int) error {
	for n := 1; !r.full && r.pos < to && r.readItem(); n++ {
		if n%4096 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
	}
	return nil
}

// readItem reads one item of the text and reports whether there was one.
func (r *reader) readItem() bool {
	k, name := r.next()
	r.startLine, r.start = r.line, r.pos-len(name)
	switch k {
	case atEnd:
		return false
	case separator:
		r.pos++
	case escape:
		r.doubt("escape", "an escape sequence, ESC, is not followed")
		printer := r.escape()
		// ESC % and a number and B takes a printer to HP-GL/2: PCL 5, chapter 18
		// (from memory).
		if s := r.text[r.start:r.pos]; strings.HasPrefix(s, "\x1b%") && strings.HasSuffix(s, "B") {
			r.two = true
		}
		if printer {
			r.doubt("printer", "what is in a printer's own language is not followed")
			r.printed()
		}
	case printer:
		r.skipLine()
		// As in @PJL ENTER LANGUAGE = HPGL2: common practice.
		r.two = r.two || strings.Contains(strings.ToUpper(r.text[r.start:r.pos]), "HPGL2")
		r.doubt("escape", "printer commands are not followed")
	case named:
		r.instruction(name)
	case stray:
		r.stray(r.text[r.pos])
	}
	return true
}

// doubt keeps that the instruction is not wholly understood.
func (r *reader) doubt(code, format string, args ...any) {
	const most = 64 // bytes of its words
	r.notes.Doubt(code, r.text[r.start:min(max(r.pos, r.start), r.start+most)], r.startLine, format, args...)
}

// stray notes a character that begins nothing.
func (r *reader) stray(c byte) {
	r.pos++
	r.strays++
	if r.firstStray == 0 {
		r.firstStray = r.line
	}
	r.doubt("stray", "%q begins no instruction", c)
}
