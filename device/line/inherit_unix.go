//go:build unix

package line

import (
	"os"
	"syscall"

	"golang.org/x/sys/unix"
)

// mostFiles is how many open files are looked through for the port's.
const mostFiles = 1024

// alone runs open, which opens the port of that name, and keeps the port from the
// programs that this one starts. The serial library leaves it to them: a browser
// would hold the machine's line after its sender has hung up.
func alone[P any](name string, open func() (P, error)) (P, error) {
	syscall.ForkLock.RLock() // nothing is started in between
	defer syscall.ForkLock.RUnlock()
	p, err := open()
	if err != nil {
		return p, err
	}
	port, err := os.Stat(name)
	if err != nil {
		return p, nil // pulled out already: the first read tells it
	}
	is := port.Sys().(*syscall.Stat_t)
	for fd := 3; fd < mostFiles; fd++ {
		var s unix.Stat_t
		if unix.Fstat(fd, &s) == nil && s.Mode&unix.S_IFMT == unix.S_IFCHR && uint64(s.Rdev) == uint64(is.Rdev) {
			unix.CloseOnExec(fd)
		}
	}
	return p, nil
}
