// Package fault has the error for the person at the machine: a sentence that
// says where, what is wrong and what to do about it. Every room uses this one
// type, so a caller tests an error by its kind,
//
//	errors.Is(err, fault.Input)
//
// and finds the advice with [errors.As]. It is not for errors inside the
// program: those stay plain.
package fault

import (
	"errors"
	"fmt"
)

// Kind is a kind of trouble. It is itself an error, so that [errors.Is] finds it
// in whatever wraps an [Error] of the kind. Packages add kinds of their own.
type Kind string

// Error returns the kind in words.
func (k Kind) Error() string { return string(k) }

const (
	// Input is a request or a file that is wrong.
	Input Kind = "the request or the input is wrong"
	// Fit is a job that is too large or too fine for the area, the limits or the
	// weave.
	Fit Kind = "it does not fit"
)

// Error is trouble in words for the person at the machine.
type Error struct {
	Kind Kind
	// Where names the file, line, element, setting, port or line of a program;
	// it may be empty.
	Where string
	// What says in one sentence what is wrong, lower case, no full stop.
	What string
	// Do says what to do about it; it may be empty.
	Do string
	// State says how a machine was left; it is empty when nothing was sent to one.
	State string
	// Err is the cause, if another error was; it is not part of the text.
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

// Is reports whether target is the error's kind.
func (e *Error) Is(target error) bool { return target == e.Kind }

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// Bad returns an error of kind [Input].
func Bad(where, do, format string, args ...any) *Error {
	return &Error{Kind: Input, Where: where, What: fmt.Sprintf(format, args...), Do: do}
}

// TooBig returns an error of kind [Fit].
func TooBig(where, do, format string, args ...any) *Error {
	return &Error{Kind: Fit, Where: where, What: fmt.Sprintf(format, args...), Do: do}
}

// Request returns the first [Error] in err's tree when it is of kind [Input] or
// [Fit]: trouble that another request would mend. Else it returns nil.
func Request(err error) *Error {
	var e *Error
	if errors.As(err, &e) && (e.Kind == Input || e.Kind == Fit) {
		return e
	}
	return nil
}

// At returns err with where put in front of the Where of the [Error] in its
// tree. An error of another type, or nil, is returned as it is.
func At(where string, err error) error {
	var e *Error
	if err == nil || !errors.As(err, &e) {
		return err
	}
	f := *e
	if f.Where == "" {
		f.Where = where
	} else {
		f.Where = where + ": " + f.Where
	}
	return &f
}
