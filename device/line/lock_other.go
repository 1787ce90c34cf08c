//go:build !unix

package line

import "errors"

// errLocked is a port that another sender holds.
var errLocked = errors.New("another sender holds the port")

// portLock does nothing: the system itself opens a serial port for one program
// only.
type portLock struct{}

func lockPort(string) (*portLock, error) { return &portLock{}, nil }

func (*portLock) release() {}

// howToBeLetIn says how a user gets permission to use a port.
func howToBeLetIn(name string) string {
	return "ask the administrator of this computer to let you use " + name
}
