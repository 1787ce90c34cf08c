package line

import "weftplot/paths/fault"

// The kinds of trouble with a port. Test for them with [errors.Is].
const (
	// NoPort is a port that does not exist or is not a serial port.
	NoPort fault.Kind = "there is no such port"
	// NoPermission is a port that this user may not open.
	NoPermission fault.Kind = "the port may not be opened"
	// InUse is a port that another sender holds.
	InUse fault.Kind = "the port is in use"
	// Lost is a line that broke: unplugged, or hung up.
	Lost fault.Kind = "the line broke"
)

// lostLine returns the error of a line that broke.
func lostLine(name string, err error) *fault.Error {
	return &fault.Error{Kind: Lost, Where: name, What: "the line to the machine broke: " + err.Error(),
		Do: "look at plug and power; the machine may stand with its pen down: lift it by hand", Err: err}
}
