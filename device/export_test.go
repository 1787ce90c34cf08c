package device

import (
	"time"
	"weftplot/paths/fault"

	"go.bug.st/serial"
)

// OverSerial returns the port that Open would make of the library's.
func OverSerial(name string, p serial.Port) Port {
	return &serialPort{name: name, port: p, lock: &noLock, born: time.Now()}
}

// ParseReply shows how a reply is understood.
func ParseReply(line string) (kind, state string, x, y float64, hasAt bool) {
	r := parseReply(line)
	kind = [...]string{"noise", "ok", "error", "alarm", "status", "talk"}[r.kind]
	return kind, r.state, r.at.X, r.at.Y, r.hasAt
}

// OpenError shows how an error of a port's opening is put.
func OpenError(name string, err error) *fault.Error { return openError(name, err) }

// MachineText and MachineHash show how a journal knows a machine.
var (
	MachineText = machineText
	MachineHash = machineHash
)
