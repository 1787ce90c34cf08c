package live

import (
	"os"

	"golang.org/x/sys/unix"
)

// interruptible returns f as a file whose reads end when it is closed and whose
// writes keep their deadline. A file whose number was once asked for, as the opening
// of a pseudo-terminal does, has neither: a read of it ends only when the last
// process that holds the other end lets go. It closes f.
func interruptible(f *os.File) (*os.File, error) {
	defer f.Close()
	fd, err := unix.FcntlInt(f.Fd(), unix.F_DUPFD_CLOEXEC, 0)
	if err != nil {
		return nil, os.NewSyscallError("fcntl", err)
	}
	if err := unix.SetNonblock(fd, true); err != nil {
		unix.Close(fd)
		return nil, os.NewSyscallError("fcntl", err)
	}
	return os.NewFile(uintptr(fd), f.Name()), nil
}
