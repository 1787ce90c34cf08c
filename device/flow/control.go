package flow

import (
	"time"

	"weftplot/device/timeline"
	"weftplot/paths"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Job is a program and the machine it is for.
type Job struct {
	// Program is what Text says, as its reader gave it: its blocks know where
	// in the text they stand.
	Program program.Program
	// Text is what goes over the wire, byte for byte, but for lines that do
	// nothing.
	Text    []byte
	Machine profiles.Machine
	// Marks names the registration that the program was made with, such as the
	// hash of its file; empty if there was none. Only a journal looks at it.
	Marks string
}

// Control feeds one machine. The methods that talk to the machine return
// [fault.Error]s of the kinds of this package, the line's own errors, or what
// [line.Wire.Stop] returns; after an error only Halt, Where and Strayed may be
// called. Offsets are bytes of the job's text.
type Control interface {
	// Greet finds out that the machine listens, and readies it.
	Greet() error
	// Send waits until the machine can take the chunk, and writes it.
	Send(c language.Chunk) error
	// Written returns the offset before which all is written, Acknowledged that
	// before which the machine has taken all, by its own word, and Done that
	// before which it has surely carried all out.
	Written() int
	Acknowledged() int
	Done() int
	// Settle waits until everything sent has been carried out. After it, and
	// only then, the machine stands still with nothing left to do.
	Settle() error
	// Raise lifts the pen between two strokes, where the program does so only
	// on its way to the next. It reports whether it can.
	Raise() (bool, error)
	// Halt brings the machine to a stop, whatever it was doing, with the pen
	// up, and returns how it was left.
	Halt() Left
	// Where returns where the machine says that it stands, mm, after Greet,
	// Settle or Halt, and false if it does not say.
	Where() (paths.Point, bool)
	// Sees reports whether the machine can be looked at between moves: whether
	// Settle finds out that it stands where it should, and with its pen as it
	// should. SeeDown waits, where the pen is seen, until it was seen down in a
	// stroke that is written but for its end, or until the time is over.
	Sees() (place, pen bool)
	SeeDown(stroke int, until time.Duration) error
	// Strayed returns what is known of a stray line after Halt, nil if there is
	// none.
	Strayed() *Stray
	// Trust says that the machine counts as the program does from where it is.
	Trust()
	// Restarted reports whether the machine restarted when the port was opened,
	// Lost whether it did so since.
	Restarted() bool
	Lost() bool
	// Hear takes in what the machine says while nothing is sent to it.
	Hear() error
	// Proves reports, after Greet, whether the end of Settle is the machine's own
	// word that all it was sent is done, or only a prediction. Tells reports whether
	// the machine also says where it went: else a line that was garbled on its way
	// is carried out as it came, and its answer proves nothing of what was drawn.
	Proves() bool
	Tells() bool
	// Onward returns the control for another job on the same line, after Settle
	// or Halt. The timeline is that of the job's program.
	Onward(job Job, t timeline.Timeline) Control
}

// Left is how a machine was left, in words for the person at it.
type Left string

// The ways in which a machine is left.
const (
	PenLifted  Left = "the machine was stopped and the pen lifted"
	PenSent    Left = "the machine was told to lift the pen, and does not say whether it has: look"
	PenUnknown Left = "the machine could not be told to lift the pen"
)

// Stray is what is known of a machine that was found off the program's route.
type Stray struct {
	Last  paths.Point   // where it was last seen on the route, mm
	When  time.Duration // and when, by the port's clock
	Until time.Duration // when it stood
	Down  bool          // the pen may have been down since
	Lost  bool          // the machine no longer knows its place
	// Unseen tells that the machine went wrong and does not say where it goes:
	// stray lines may be anywhere. The rest is not known then.
	Unseen bool
}
