// Package hpgl writes and reads programs in HP-GL, the language of pen plotters,
// and in HP-GL/2, its successor.
//
// The sources are the HP 7470A Interfacing and Programming Manual (Hewlett-
// Packard, 1984; "7470A") for HP-GL, and the PCL 5 Printer Language Technical
// Reference Manual, part II ("PCL 5"), for HP-GL/2. Pages are as printed.
//
// Positions are whole plotter units. Each is rounded by itself and relative moves
// go from one rounded position to the next, so rounding errors do not add up.
//
// The package is for what a pen draws. It does not draw labels, fill areas or
// break lines into dashes; the reader notes these. Writing and reading take time
// linear in what is written or read.
package hpgl

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"strconv"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// maxLine is about the longest line written, in characters.
const maxLine = 80

// Write returns p as the text of a program for m, in HP-GL or HP-GL/2 as the
// profile says: IN, the pen, its force if one is given, its speed, the strokes, the
// pen up and put away. The last Travel of p parks the pen. The pen is up before
// every pause and pen change and at the end, whether p says so or not. The
// calibration of m is divided out; the origin is the machine's own.
//
// A stroke begins with a travel to an absolute place; its lines are relative
// moves, in instructions of at most about 12 mm of line and 80 characters:
// coordinate lists in HP-GL, encoded polylines in HP-GL/2. So where the pen comes
// to depends on every number of the stroke. There are no arc instructions: the
// plotter would come to the end of a full circle whatever became of its centre,
// and of a half circle drawn the wrong way about. Encoded polylines hold bytes
// above 127 where the profile says that the plotter is sent all 8 bits of a byte.
// Curves become chords within p.Tolerance, the rounding of their ends included, as
// few as possible, across joints too. A tolerance that is less than the rounding
// counts as that; with tolerance 0 each curve is written by itself, within half a
// plotter unit. Remarks have no place in the language and are left out.
//
// Errors are [fault.Error]s: of kind NoFit for a position that the language
// cannot number, else naming the block, from 1; or that of ctx once it is over.
func Write(ctx context.Context, p program.Program, m profiles.Machine) ([]byte, error) {
	return WriteTold(ctx, p, m, nil)
}

// WriteTold is [Write] for long programs: it tells now and then how many of its blocks are
// written, unless tell is nil.
func WriteTold(ctx context.Context, p program.Program, m profiles.Machine, tell func(done, total int)) ([]byte, error) {
	return write(ctx, p, m, aStretch, tell)
}

// write writes p in stretches of about so many blocks.
func write(ctx context.Context, p program.Program, m profiles.Machine, stretch int, tell func(done, total int)) ([]byte, error) {
	w := newWriter(p, m)
	w.line("IN;")
	if !namesPen(p.Blocks) {
		w.selectPen(1, 0)
	}
	if err := w.share(ctx, p, stretch, tell); err != nil {
		return nil, err
	}
	if err := w.catchUp(); err != nil {
		return nil, err
	}
	w.rest()
	if w.pen != 0 {
		w.selectPen(0, 0)
	}
	return w.out.Bytes(), nil
}

// run writes the blocks from number from up to before number to.
func (w *writer) run(ctx context.Context, blocks []program.Block, from, to int) error {
	for i := from; i < to; i++ {
		if i%4096 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		if err := w.block(blocks[i]); err != nil {
			if bad, ok := err.(*fault.Error); ok {
				return bad
			}
			return fault.Bad(fmt.Sprintf("block %d of the program", i+1), "", "%v", err)
		}
	}
	return nil
}

// namesPen reports whether a pen is chosen before anything moves.
func namesPen(blocks []program.Block) bool {
	for _, b := range blocks {
		switch b.Kind {
		case program.Pen:
			return true
		case program.Travel, program.Draw, program.PenDown:
			return false
		}
	}
	return false
}

type writer struct {
	out     bytes.Buffer
	m       profiles.Machine
	encoded bool         // HP-GL/2: strokes are encoded polylines
	base    base         // of their numbers
	bits    int          // and their fractional bits
	tol     float64      // mm
	grid    paths.Affine // mm to steps of what is written
	back    paths.Affine // and the other way
	limit   int64        // greatest position
	reach   float64

	written
	// ahead is the way that is drawn and not written yet, all at one speed, so
	// that chords can go on over the joints of its curves.
	ahead     paths.Stroke
	eachCurve bool // its curves keep their ends
}

// written is the state that what is written leaves. Where no way is yet to be written, the
// text of a block depends on that of the blocks before it and on nothing else of theirs.
type written struct {
	at     position
	moved  bool // whether a position was said yet
	due    bool // the pen has yet to travel to at
	down   bool // where the program has the pen
	inking bool // the stroke under way has begun in the text
	low    bool // where the text has left the pen
	pen    int
	force  int // as FS set it, 0 the plotter's own
	speed  string
	list   list
}

// position is in plotter units, or in fractions of them.
type position [2]int64

func newWriter(p program.Program, m profiles.Machine) *writer {
	unit := float64(m.HPGL.Unit)
	w := &writer{m: m, tol: p.Tolerance, encoded: m.Language == profiles.HPGL2, limit: 32767, written: written{pen: -1}}
	w.base = base64
	if m.HPGL.Bits == 7 {
		w.base = base32
	}
	if w.encoded {
		w.bits, w.limit = m.FractionBits(), 1<<30-1
	}
	if w.eachCurve = !(w.tol > 0); w.eachCurve {
		w.tol = unit / 2
	}
	fraction := math.Ldexp(1, w.bits)
	w.grid = m.Units().Then(paths.Scale(fraction, fraction))
	w.back, _ = w.grid.Inverse() // neither a unit nor a scale is 0
	if off := m.Rounding(); !w.eachCurve && w.tol < off {
		w.tol = off // nothing nearer can be written
	}
	w.reach = float64(w.limit) * unit / fraction
	return w
}

func (w *writer) line(s string) {
	w.out.WriteString(s)
	w.out.WriteByte('\n')
}

func (w *writer) block(b program.Block) error {
	if b.Kind != program.Draw {
		if err := w.catchUp(); err != nil {
			return err
		}
	}
	switch b.Kind {
	case program.Travel:
		if b.Curve == nil {
			return fmt.Errorf("a travel goes nowhere")
		}
		return w.travel(b.Curve.End())
	case program.Draw:
		return w.draw(b)
	case program.PenUp:
		w.penUp()
	case program.PenDown:
		w.down = true
	case program.Pen:
		w.rest()
		w.selectPen(b.Number, b.Force)
	case program.Pause:
		w.rest()
		// Not ready: the plotter waits until the person takes it on line again.
		// Later machines have it, earlier ones go on (from memory): whoever makes
		// a program looks whether the profile says so.
		w.line("NR;")
	case program.Dwell:
		return fmt.Errorf("the language has no instruction to wait")
	case program.Remark:
	default:
		return fmt.Errorf("there is no block of kind %d", b.Kind)
	}
	return nil
}

// selectPen takes a pen, 0 none, with the force it is pressed down by, or else
// the machine's own, if either says any. FS without a number brings back the
// plotter's own force (from memory).
func (w *writer) selectPen(n, force int) {
	if force == 0 {
		force = w.m.HPGL.Force
	}
	if n == w.pen && (n == 0 || force == w.force) {
		return
	}
	w.line("SP" + strconv.Itoa(n) + ";")
	w.pen = n
	switch {
	case n == 0 || force == w.force:
	case force == 0:
		w.line("FS;")
		w.force = 0
	default:
		w.line("FS" + strconv.Itoa(force) + ";")
		w.force = force
	}
}

// round returns the position of p, which the language must be able to number.
func (w *writer) round(p paths.Point) (position, error) {
	q := w.grid.Apply(p)
	x, y := math.Round(q.X), math.Round(q.Y)
	if math.IsNaN(x) || math.IsNaN(y) {
		return position{}, fmt.Errorf("the position %g, %g cannot be written", p.X, p.Y)
	}
	if over := max(math.Abs(x), math.Abs(y)) - float64(w.limit); over > 0 {
		return position{}, fault.TooBig("", "draw a smaller rug, place it nearer to the machine's origin, or use HP-GL/2",
			"the position %.1f mm, %.1f mm is %.1f mm beyond what HP-GL can number, %.1f mm either way",
			p.X, p.Y, over*w.reach/float64(w.limit), w.reach)
	}
	return position{int64(x), int64(y)}, nil
}
