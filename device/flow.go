package device

import (
	"fmt"
	"time"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/profiles"
)

// flow is a controller's way of saying that it can take more bytes, and of
// telling how far it has got. There is one small type for each.
type flow interface {
	// greet finds out that the machine listens, and readies it.
	greet() error
	// send waits until the machine can take the piece, and writes it.
	send(p piece) error
	// written returns the offset in the text before which all is written, taken
	// that before which the machine has taken all, going by what it said, and
	// done that before which it has surely carried all out.
	written() int
	taken() int
	done() int
	// settle waits until everything sent has been carried out. After it, and
	// only then, the machine stands still with nothing left to do.
	settle() error
	// raise lifts the pen between two strokes, where the program does so only
	// on its way to the next. It reports whether it can.
	raise() (bool, error)
	// halt brings the machine to a stop, whatever it was doing, with the pen
	// up. It returns how the machine was left, in words.
	halt() string
	// where returns where the machine says that it stands, after greet, settle
	// or halt, and false if it does not say.
	where() (paths.Point, bool)
	// sees reports whether the machine can be looked at between moves: whether
	// it stands where it should, and with its pen as it should, which settle
	// then finds out. seeDown waits, where the pen is seen, until it was seen
	// down in a stroke that is written but for its end, or the time is over.
	sees() (place, pen bool)
	seeDown(stroke int, until time.Duration) error
	// strayed returns what is known of a stray line after halt, nil if of none.
	strayed() *straying
	// trust says that the machine counts as the program does from where it is.
	trust()
	// restarted reports whether the machine restarted when the port was opened.
	restarted() bool
	// proves reports whether settle is the machine's own word that all is done,
	// or only what is predicted.
	proves() bool
	// onward returns the flow for another job on the same line, after settle or
	// halt.
	onward(job Job, c course) flow
}

// newFlow returns the flow of the job's machine.
func newFlow(w *wire, job Job, c course) (flow, error) {
	s := job.Machine.Serial
	isGCode := job.Machine.Language == profiles.GCode
	if s.Flow == profiles.LineAck && !isGCode {
		return nil, fault.Bad("serial.flow", "choose xon-xoff, space-query, enq-ack or none",
			"line-ack is for G-code, this machine reads %s", job.Machine.Language)
	}
	if (s.Flow == profiles.SpaceQuery || s.Flow == profiles.EnqAck) && isGCode {
		return nil, fault.Bad("serial.flow", "choose line-ack, xon-xoff or none", "%s is for the HP-GL languages", s.Flow)
	}
	switch s.Flow {
	case profiles.LineAck:
		return newLineAck(w, job, c), nil
	case profiles.XonXoff:
		return newStream(w, job, c, &xonXoff{setUp: !isGCode}), nil
	case profiles.SpaceQuery:
		return newStream(w, job, c, &spaceQuery{}), nil
	case profiles.EnqAck:
		return newStream(w, job, c, &enqAck{}), nil
	case profiles.NoFlow:
		return newStream(w, job, c, &paced{}), nil
	}
	return nil, fault.Bad("serial.flow", "", "%q is no flow control", s.Flow)
}

// lineName names a line of the program.
func lineName(n int) string { return fmt.Sprintf("line %d of the program", n) }

// seconds turns s into a duration.
func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }
