package device

import (
	"weftplot/device/flow"
	"weftplot/device/line"
)

// The kinds of trouble that [Send] and a [Pilot] report, for [errors.Is]: those of
// the line and those of the flow controls.
const (
	// NoPort is a port that is not there or is no serial port.
	NoPort = line.NoPort
	// NoPermission is a port that this user may not open.
	NoPermission = line.NoPermission
	// InUse is a port that another sender holds.
	InUse = line.InUse
	// Lost is a line that broke: unplugged, or hung up.
	Lost = line.Lost
	// Silent is a machine that does not answer, or stopped answering.
	Silent = flow.Silent
	// Garbled is a machine whose answers make no sense.
	Garbled = flow.Garbled
	// Rejected is a part of the program that the machine would not do.
	Rejected = flow.Rejected
	// Alarm is a machine that stopped by itself.
	Alarm = flow.Alarm
	// Restarted is a machine that restarted in the middle of a job.
	Restarted = flow.Restarted
	// Stopped is a job that was stopped on request.
	Stopped = flow.Stopped
)
