package flow

import (
	"fmt"

	"weftplot/paths/fault"
)

// The kinds of trouble with a machine. Test for them with [errors.Is].
const (
	// Silent is a machine that does not answer, or stopped answering.
	Silent fault.Kind = "the machine is silent"
	// Garbled is a machine whose answers make no sense: a wrong baud rate, or
	// one that answers otherwise than its profile says.
	Garbled fault.Kind = "what came is garbled"
	// Rejected is a part of the program that the machine would not do.
	Rejected fault.Kind = "the machine refused a part of the program"
	// Alarm is a machine that stopped by itself and may not know where it is.
	Alarm fault.Kind = "the machine is in alarm"
	// Restarted is a machine that restarted in the middle of a job and no longer
	// knows where it is.
	Restarted fault.Kind = "the machine restarted"
	// Stopped is a job that was stopped on request.
	Stopped fault.Kind = "stopped on request"
)

// WrongBaud is the error of a machine whose answers make no sense from the first.
func WrongBaud(job Job) *fault.Error {
	return &fault.Error{Kind: Garbled, What: fmt.Sprintf("what the machine answers makes no sense at %d baud", job.Machine.Serial.Baud),
		Do: "set serial.baud in the machine's profile to what its manual says"}
}

// LookAtSettings is advice for a machine from which nothing is heard at all.
const LookAtSettings = "look whether it is switched on, the port is the right one, and serial.baud and serial.flow of its profile are what its manual says"
