package device

import (
	"fmt"
	"weftplot/paths/fault"
)

// The kinds of trouble with a port or a machine.
const (
	// NoPort is a port that is not there or is no serial port.
	NoPort fault.Kind = "there is no such port"
	// NoPermission is a port that this user may not open.
	NoPermission fault.Kind = "the port may not be opened"
	// InUse is a port that another sender holds.
	InUse fault.Kind = "the port is in use"
	// Silent is a machine that does not answer, or stopped answering.
	Silent fault.Kind = "the machine is silent"
	// Garbled is a machine whose answers make no sense: a wrong baud rate, or
	// one that speaks otherwise than its profile says.
	Garbled fault.Kind = "what came is garbled"
	// Lost is a line that broke: unplugged, or hung up.
	Lost fault.Kind = "the line broke"
	// Rejected is a piece of program that the machine would not do.
	Rejected fault.Kind = "the machine refused a part of the program"
	// Alarm is a machine that stopped by itself and may not know where it is.
	Alarm fault.Kind = "the machine is in alarm"
	// Restarted is a machine that started anew in mid-job and no longer knows
	// where it is.
	Restarted fault.Kind = "the machine restarted"
	// Stopped is a job that was stopped on request.
	Stopped fault.Kind = "stopped on request"
)

// lostLine is the error of a line that broke.
func lostLine(name string, err error) *fault.Error {
	return &fault.Error{Kind: Lost, Where: name, What: "the line to the machine broke: " + err.Error(),
		Do: "look at plug and power; the machine may stand with its pen down: lift it by hand", Err: err}
}

// garbage is the error of a machine whose answers make no sense from the first.
func garbage(job Job) *fault.Error {
	return &fault.Error{Kind: Garbled, What: fmt.Sprintf("what the machine answers makes no sense at %d baud", job.Machine.Serial.Baud),
		Do: "set serial.baud in the machine's profile to what its manual says"}
}
