// Package language makes the languages that plotters read into values: one
// [Language] for each name that a machine's profile can have, over plot/gcode
// and plot/hpgl. A sender asks the value for texts and knows no instruction
// itself.
//
// Besides, it holds what is done to a program between its making and the wire:
// [Fits] tells whether a machine can be given it, [Cut] divides its text into
// chunks, [Edge], [Remainder] and [Reenter] make other programs of it.
//
// Positions are mm in the machine frame, as in plot/program. Nothing here opens
// a port, waits or keeps state: every function's result depends on its
// arguments alone. It is not the place for what a controller answers or how many
// bytes it holds; that is the flow control's business.
package language

import (
	"bytes"
	"context"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/hpgl"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Language is a language that plotters read. The three there are come from [Of].
type Language interface {
	// Name is the name that profiles use.
	Name() profiles.Language

	// Write returns p as a text for m. See [gcode.Write] and [hpgl.Write] for
	// what is kept and for the errors.
	Write(ctx context.Context, p program.Program, m profiles.Machine) ([]byte, error)

	// WriteTold is Write for long programs: it tells now and then how many of the
	// blocks are written, unless tell is nil.
	WriteTold(ctx context.Context, p program.Program, m profiles.Machine, tell func(done, total int)) ([]byte, error)

	// Read returns the program of a text in this language; name is for
	// messages. With m nil the text alone says what is pen and what is travel.
	// The cost is linear in the length of the text.
	Read(ctx context.Context, name string, text []byte, m *profiles.Machine) (program.Program, error)

	// Ready returns a text that puts the machine into the modes that MoveTo
	// relies on and lifts the pen.
	Ready(m profiles.Machine) []byte

	// PenUp returns a text that lifts the pen whatever was sent before: an
	// instruction cut short is ended first, and no mode changes its meaning.
	PenUp(m profiles.Machine) []byte

	// Raise returns a text that lifts the pen between two chunks of a program
	// and leaves the rest of the program as it was: what draws next lowers the
	// pen by itself. It is nil for a language whose drawing moves do not say
	// where the pen is.
	Raise() []byte

	// MoveTo returns the text of a travel, pen up, after Ready, and the place
	// that the text really names, mm: the nearest to the given one that the
	// language's numbers can name with the machine's calibration.
	MoveTo(m profiles.Machine, to paths.Point) ([]byte, paths.Point)

	// WithoutPen returns the program, and its text for m, that goes the ways of
	// p with the pen up throughout and without pauses, at the same speeds where
	// the language allows. The text is written anew from the blocks of p, so
	// nothing of the one that p was read from is in it, and it is read again: the
	// error is a [fault.Error] if it lowers the pen or goes elsewhere.
	WithoutPen(p program.Program, m profiles.Machine) (program.Program, []byte, error)

	// Chunks divides a text into what goes over the wire as a whole, in order,
	// without what does nothing. No text is refused. The cost is linear. [Cut]
	// also says which chunks are pauses.
	Chunks(text []byte) []Chunk

	// Heights returns where Z stands after each line that moves it; see
	// [Heights]. The text is the one that p was read from.
	Heights(p program.Program, text []byte) Heights

	// Queries returns the instructions that ask the machine along with the
	// program.
	Queries() Queries
}

// Of returns the language of a profile's name for it. Another name is a
// [fault.Error].
func Of(name profiles.Language) (Language, error) {
	switch name {
	case profiles.GCode:
		return gcodeLanguage{}, nil
	case profiles.HPGL, profiles.HPGL2:
		return hpglLanguage{name}, nil
	}
	return nil, fault.Bad("", "choose one of gcode, hpgl and hpgl2", "there is no language %q", string(name))
}

// Write returns the text of p in the machine's language.
func Write(ctx context.Context, p program.Program, m profiles.Machine) ([]byte, error) {
	return WriteTold(ctx, p, m, nil)
}

// WriteTold is [Write] for long programs: it tells now and then how many of the blocks are
// written, unless tell is nil.
func WriteTold(ctx context.Context, p program.Program, m profiles.Machine, tell func(done, total int)) ([]byte, error) {
	l, err := Of(m.Language)
	if err != nil {
		return nil, err
	}
	return l.WriteTold(ctx, p, m, tell)
}

// Rewrite writes p in the machine's language and reads it back, so that its
// blocks know where in the text they stand.
func Rewrite(p program.Program, m profiles.Machine) (program.Program, []byte, error) {
	l, err := Of(m.Language)
	if err != nil {
		return program.Program{}, nil, err
	}
	return rewrite(l, p, m)
}

func rewrite(l Language, p program.Program, m profiles.Machine) (program.Program, []byte, error) {
	ctx := context.Background() // its blocks are there already, and no more than were read or planned
	text, err := l.Write(ctx, p, m)
	if err != nil {
		return program.Program{}, nil, err
	}
	back, err := l.Read(ctx, "the program", text, &m)
	return back, text, err
}

// ReadAny returns the program of a text in whichever language it is, one of ours
// or not; name is for messages. The machine may be nil: then the text alone says
// what is pen and what is travel. Errors are [fault.Error]s. The cost is linear
// in the length of the text.
func ReadAny(ctx context.Context, name string, text []byte, m *profiles.Machine) (program.Program, error) {
	if len(bytes.TrimSpace(text)) == 0 {
		return program.Program{}, fault.Bad(name, "give an HP-GL or G-code program", "the file is empty")
	}
	if bytes.HasPrefix(text, []byte("\xff\xfe")) || bytes.HasPrefix(text, []byte("\xfe\xff")) {
		return program.Program{}, fault.Bad(name, "save it as plain text, in ASCII or UTF-8", "the text is in UTF-16, of which machines read nothing")
	}
	if isSVG(text) {
		return program.Program{}, fault.Bad(name, "prepare a job from it; that makes programs", "this is a drawing in SVG, and no program")
	}
	l, err := Of(Detect(text))
	if err != nil {
		return program.Program{}, err
	}
	return l.Read(ctx, name, text, m)
}

// isSVG reports whether a text is a drawing: one that opens with a tag and soon
// has that of SVG.
func isSVG(text []byte) bool {
	head := bytes.TrimLeft(text[:min(len(text), 2048)], "\xef\xbb\xbf \t\r\n")
	return bytes.HasPrefix(head, []byte("<")) && bytes.Contains(bytes.ToLower(head), []byte("<svg"))
}

// Detect returns the language that a text is in: HPGL if it begins with a
// two-letter instruction, an escape sequence, such as a device control or the
// one that takes a printer to HP-GL/2, or a line of printer commands, else GCode, where a word is one
// letter and a number. It does not tell HP-GL/2 from HP-GL, which their reader
// does, and does not find out whether the text is a program at all.
func Detect(text []byte) profiles.Language {
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf")) // the mark of UTF-8 that some editors put first
	for len(text) > 0 {
		// NUL and DEL fill the gaps of a line, and a stream to a printer or over a line may
		// open with any other control character. ESC opens a sequence.
		text = bytes.TrimLeftFunc(text, func(r rune) bool { return r <= ' ' && r != 0x1b || r == 0x7f })
		line, rest, _ := bytes.Cut(text, []byte("\n"))
		after, isComment := bytes.CutPrefix(line, []byte(";"))
		switch {
		case !isComment && startsHPGL(text), isComment && startsHPGL(after):
			return profiles.HPGL
		case !isComment:
			return profiles.GCode
		case bytes.HasPrefix(after, []byte(";")):
			text = text[1:] // an instruction's end that nothing precedes
		default:
			text = rest // a comment of G-code
		}
	}
	return profiles.GCode
}

// startsHPGL reports whether the text begins with an instruction of HP-GL, an escape
// sequence, or a command for a printer's jobs. In G-code a letter is followed by a number.
func startsHPGL(text []byte) bool {
	switch {
	case bytes.HasPrefix(text, []byte{0x1b}), len(text) >= 4 && bytes.EqualFold(text[:4], []byte("@PJL")):
		return true // these stand in no G-code
	}
	return len(text) >= 2 && hpgl.IsInstruction(string(text[:2]))
}

// UsualMachine names the built-in machine that stands for a language where a
// program names none.
func UsualMachine(l profiles.Language) string {
	switch l {
	case profiles.HPGL:
		return "flatbed-hpgl"
	case profiles.HPGL2:
		return "flatbed-hpgl2"
	}
	return "practice"
}
