//go:build !unix

package line

import (
	"errors"
	"os"
)

// errLocked is a port that another sender holds.
var errLocked = errors.New("another sender holds the port")

// portLock does nothing: the system itself opens a serial port for one program
// only.
type portLock struct{}

func lockPort(string) (*portLock, error) { return &portLock{}, nil }

func (*portLock) release() {}

// Hold does nothing on this system.
func Hold(*os.File) bool { return true }

// Held knows of no holder on this system.
func Held(*os.File) bool { return false }

// howToBeLetIn says how a user gets permission to use a port.
func howToBeLetIn(name string) string {
	return "ask the administrator of this computer to let you use " + name
}
