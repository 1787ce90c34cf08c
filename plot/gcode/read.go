package gcode

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
const maxBytes = 64 << 20

// mostSteps returns how many blocks a program of so many bytes may make. Cycles
// are repeated, and the work must not grow faster than the text.
func mostSteps(bytes int) int { return min(program.MostBlocks, 4096+8*bytes) }

// Read returns the program in data; name is for messages. It reads the language
// as NISTIR 6556 has it: absolute and incremental, mm and inch, arcs by centre
// and by radius, coordinate systems, parameters and expressions, both kinds of
// comment; drilling cycles are dots.
//
// What is not wholly understood is among the program's Doubts: a word that is not
// of the language or not followed, a line that is not legal, whatever only the
// machine knows, such as where its other origins are. Text of which no more lines
// are legal than are not is no program: a [fault.Error] that names the line.
//
// With a machine the pen goes up and down where its own lines stand, and its
// calibration is multiplied back; other heights and words are understood as far
// as its lines tell what they do to its pen, and heights beyond theirs are
// Beyond. Without a machine the pen is down at Z 0 and below and after M3 or M4,
// and up above Z 0, after M5 and while S is 0. Where a program draws nothing in
// that way, or draws by rapid moves, its moves tell what lowers the pen, if
// anything does; that is a guess, and so a doubt. Blocks know the line they stand
// on, a pen move the first of its lines.
//
// The cost is linear in the length of data. Once ctx is over, the error is its own.
func Read(ctx context.Context, name string, data []byte, m *profiles.Machine) (program.Program, error) {
	if len(data) > maxBytes {
		return program.Program{}, fault.Bad(name, "", "the program has %d bytes; %d are read at most", len(data), maxBytes)
	}
	text := string(data)
	p := penOf(m)
	r, err := readAs(ctx, name, text, m, p, p.rule())
	if err != nil {
		return program.Program{}, err
	}
	if rule, other := r.moves.rule(); other && !(r.ownUp && r.ownDown) {
		if r, err = readAs(ctx, name, text, m, p, rule); err != nil {
			return program.Program{}, err
		}
		r.notes.Doubt("pen-guessed", "", 0, "%s", rule)
	}
	r.notes.Put(&r.out)
	return r.out, nil
}

// readAs reads text with a rule for the pen.
func readAs(ctx context.Context, name, text string, m *profiles.Machine, p pen, rule penRule) (*reader, error) {
	r := newReader(m)
	r.pen, r.rule, r.most = p, rule, mostSteps(len(text))
	// Of a program of ours few lines make no block, and few are shorter than this.
	r.out.Blocks = make([]program.Block, 0, min(r.most, strings.Count(text, "\n")+1, len(text)/8+1))
	if strings.HasPrefix(text, byteOrderMark) {
		r.offset = len(byteOrderMark)
	}
	if err := r.share(ctx, name, text, m, aPart); err != nil {
		return nil, err
	}
	if r.bad != nil && r.illegal >= r.legal {
		return nil, fault.Bad(fmt.Sprintf("%s: line %d", name, r.badLine), "check that the file is G-code and whole", "%v", r.bad)
	}
	if r.legal == 0 {
		return nil, fault.Bad(name, "check that the file is G-code", "there is no program in it: no line asks for anything")
	}
	r.flush()
	r.reportEnd(strings.TrimSpace(text[r.offset:]))
	return r, nil
}

// readTo takes in the lines that begin before an offset of text.
func (r *reader) readTo(ctx context.Context, name, text string, to int) error {
	for !r.ended && r.offset < to {
		if r.line%4096 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		line, next := lineAt(text, r.offset)
		r.line, r.end = r.line+1, next
		if n := r.penLines(text, r.offset); n > 0 {
			r.offset = n
			continue
		}
		r.offset = next
		r.take(line)
		if r.full {
			return fault.Bad(fmt.Sprintf("%s: line %d", name, r.line), "cut it into several programs",
				"the program has more than %d steps, too many to be read", r.most)
		}
	}
	return nil
}

// take takes in one line. One that is not legal is a doubt, and the first of them
// is kept.
func (r *reader) take(line string) {
	err := r.read(line)
	if err == nil {
		return
	}
	if r.bad == nil {
		r.bad, r.badLine = err, r.line
	}
	r.illegal++
	r.notes.Doubt("bad-line", line, r.line, "%v", err)
}

// reportEnd notes how the program ends; rest is what stands after its end.
func (r *reader) reportEnd(rest string) {
	if r.percents == 1 && r.opened && rest != "%" {
		r.notes.Doubt("half-open", "%", r.line, "a program that %% opens must be closed by one; this one is not whole")
	}
	if !r.ended {
		r.notes.Add("no-end", r.line, "the program does not end with M2 or M30")
	} else if rest != "" && rest != "%" {
		r.notes.Add("after-end", r.line+1, "what stands after the end of the program was not read")
	}
}

// doubt keeps that the line holds what is not wholly understood, unless it is one
// of the machine's own pen lines, which the profile answers for.
func (r *reader) doubt(code, format string, args ...any) {
	if !r.own {
		r.notes.Doubt(code, r.w.text, r.line, format, args...)
	}
}

// byteOrderMark is what some editors put before the text.
const byteOrderMark = "\xef\xbb\xbf"

// lineAt returns the line that starts at offset and where the next one does.
func lineAt(text string, offset int) (string, int) {
	if n := strings.IndexByte(text[offset:], '\n'); n >= 0 {
		return text[offset : offset+n], offset + n + 1
	}
	return text[offset:], len(text)
}

// reader reads a program.
type reader struct {
	out     program.Program
	notes   program.Noter
	most    int               // blocks that are kept
	full    bool              // there are more
	scale   paths.Affine      // the calibration
	slow    float64           // its greater factor, for feeds
	waits   profiles.WaitUnit // of P
	pen     pen               // what moves it on the machine
	rule    penRule
	own     bool // the line is one of the profile's pen lines
	ownUp   bool // they stand in the program
	ownDown bool

	end            int // of the line being read
	w              words
	vars           parameters
	legal, illegal int   // lines that ask for something, and that cannot be read
	bad            error // the first that cannot, and where
	badLine        int
	moves          survey
	state
}

// state is what the machine, and the text, are in after a line. What a line does depends on
// that, on the parameters, on whether a line before it was legal, and on nothing else of the
// lines before it.
type state struct {
	offset, line    int // of the text read so far
	anything, ended bool
	opened          bool // by a percent sign
	percents        int

	motion      int // G word in tenths, noMotion when none is in force
	incremental bool
	fromZero    bool // the centres of arcs are positions
	plane       int
	unit        float64 // mm
	perMinute   bool
	feed        float64 // mm/s as commanded
	at          paths.Point
	zero        coordinates
	hole        float64 // the depth of the cycle in force
	drills      bool    // a depth was said

	z         float64
	saidZ     bool
	spin      bool    // the spindle turns
	turning   float64 // its S
	saidS     bool
	penDown   bool
	tool      int
	commented bool   // a comment was read
	penWord   string // opens the comments that name pens; "" where the program is none of ours
	message   string // shown by the pause that follows
}

// noMotion is the motion after G80: a coordinate without a G word is an error.
const noMotion = 800

func newReader(m *profiles.Machine) *reader {
	r := &reader{scale: paths.Identity(), slow: 1, vars: parameters{}}
	r.state = state{motion: 10, plane: 170, unit: 1, perMinute: true}
	r.out.Language = string(profiles.GCode)
	if m == nil {
		return r
	}
	r.scale = paths.Scale(m.Calib.Scale[0], m.Calib.Scale[1])
	r.slow = max(m.Calib.Scale[0], m.Calib.Scale[1])
	r.waits = m.GCode.Waits
	return r
}

// add appends a block that stands on the current line.
func (r *reader) add(b program.Block) {
	if len(r.out.Blocks) >= r.most {
		r.full = true
		return
	}
	b.Line, b.End = r.line, r.end
	b.Text = strings.Clone(b.Text) // which would keep all of the program's text
	r.out.Blocks = append(r.out.Blocks, b)
}

// read takes in one line.
func (r *reader) read(text string) error {
	if err := r.w.parse(text, r.vars); err != nil {
		return err
	}
	r.w.text = text
	if r.w.any() || len(r.w.settings) > 0 {
		r.legal++
	}
	before := r.anything
	r.anything = before || strings.TrimSpace(text) != ""
	if len(text) > 256 { // NISTIR 6556, 3.3
		r.notes.Add("long-line", r.line, "the line is longer than 256 characters")
	}
	if r.w.deleted {
		r.doubt("block-delete", "a line that begins with a stroke may be left out; a switch of the machine says whether it is")
	}
	if r.w.percent {
		r.percents++
		r.opened = r.opened || !before
		r.ended = r.percents == 2 || before // one opens a program, one ends it
		return nil
	}
	for _, c := range r.w.comments {
		r.comment(c)
	}
	r.reportForm()
	for _, s := range r.w.settings {
		r.vars[s.number] = s.value
	}
	return r.execute()
}
