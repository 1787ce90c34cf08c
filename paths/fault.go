package paths

import "fmt"

// FaultKind says what kind of trouble a [Fault] is, which decides the exit
// status of the program.
type FaultKind int

const (
	// BadInput is a request or a file that is wrong.
	BadInput FaultKind = iota + 1
	// NoFit is a job that is too large or too fine for the area, the limits or
	// the weave.
	NoFit
)

// Fault is an error in words for the person at the machine.
type Fault struct {
	Kind FaultKind
	// Where names the file, line, element, key or flag; it may be empty.
	Where string
	// What says in one sentence what is wrong, lower case, no full stop.
	What string
	// Do says what to do about it; it may be empty.
	Do string
	// Err is the cause, if another error was; it is not part of the text.
	Err error
}

// Error returns where and what, without the advice.
func (f *Fault) Error() string {
	if f.Where == "" {
		return f.What
	}
	return f.Where + ": " + f.What
}

// Unwrap returns the cause.
func (f *Fault) Unwrap() error { return f.Err }

// Bad returns a fault of kind [BadInput].
func Bad(where, do, format string, args ...any) *Fault {
	return &Fault{Kind: BadInput, Where: where, What: fmt.Sprintf(format, args...), Do: do}
}

// TooBig returns a fault of kind [NoFit].
func TooBig(where, do, format string, args ...any) *Fault {
	return &Fault{Kind: NoFit, Where: where, What: fmt.Sprintf(format, args...), Do: do}
}
