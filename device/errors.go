package device

import (
	"errors"
	"fmt"
)

// Kind says what kind of trouble an [Error] is.
type Kind int

const (
	// NoPort is a port that is not there or is no serial port.
	NoPort Kind = iota + 1
	// NoPermission is a port that this user may not open.
	NoPermission
	// InUse is a port that another sender holds.
	InUse
	// Silent is a machine that does not answer, or stopped answering.
	Silent
	// Garbled is a machine whose answers make no sense: a wrong baud rate, or
	// one that speaks otherwise than its profile says.
	Garbled
	// Lost is a line that broke: unplugged, or hung up.
	Lost
	// Rejected is a piece of program that the machine would not do.
	Rejected
	// Alarm is a machine that stopped by itself and may not know where it is.
	Alarm
	// Restarted is a machine that started anew in mid-job and no longer knows
	// where it is.
	Restarted
	// Stopped is a job that was stopped on request.
	Stopped
)

// Error is trouble with a port or a machine, in words for the person at it.
type Error struct {
	Kind Kind
	// Where names the port, or the line of the program; it may be empty.
	Where string
	// What says what went wrong, lower case, no full stop.
	What string
	// Do says what to do about it; it may be empty.
	Do string
	// State says how the machine was left; empty when nothing was sent to it.
	State string
	// Err is the cause, if another error was.
	Err error
}

// Error returns where, what, and how the machine was left, without the advice.
func (e *Error) Error() string {
	s := e.What
	if e.Where != "" {
		s = e.Where + ": " + s
	}
	if e.State != "" {
		s += "; " + e.State
	}
	return s
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// IsKind reports whether err is, or wraps, an [Error] of the kind.
func IsKind(err error, k Kind) bool {
	var e *Error
	return errors.As(err, &e) && e.Kind == k
}

// lostLine is the error of a line that broke.
func lostLine(name string, err error) *Error {
	return &Error{Kind: Lost, Where: name, What: "the line to the machine broke: " + err.Error(),
		Do: "look at plug and power; the machine may stand with its pen down: lift it by hand", Err: err}
}

// garbage is the error of a machine whose answers make no sense from the first.
func garbage(job Job) *Error {
	return &Error{Kind: Garbled, What: fmt.Sprintf("what the machine answers makes no sense at %d baud", job.Machine.Serial.Baud),
		Do: "set serial.baud in the machine's profile to what its manual says"}
}
