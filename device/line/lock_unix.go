//go:build unix

package line

import (
	"errors"
	"fmt"
	"os"
	"os/user"
	"syscall"

	"golang.org/x/sys/unix"
)

// errLocked is a port that another sender holds.
var errLocked = errors.New("another sender holds the port")

// portLock holds a port against a second sender. It is a lock on the device
// itself, so it ends when the process that holds it ends in any way, and leaves
// nothing to clean up.
type portLock struct{ fd int }

// lockPort takes the lock, or returns errLocked, or the system's error when the
// device cannot be opened.
func lockPort(name string) (*portLock, error) {
	fd, err := unix.Open(name, unix.O_RDWR|unix.O_NOCTTY|unix.O_NONBLOCK|unix.O_CLOEXEC, 0)
	if err != nil {
		return nil, err
	}
	switch err := unix.Flock(fd, unix.LOCK_EX|unix.LOCK_NB); err {
	case nil:
		return &portLock{fd: fd}, nil
	case unix.EWOULDBLOCK:
		unix.Close(fd)
		return nil, errLocked
	default:
		// Some systems cannot lock devices; there we rely on the port's
		// exclusive mode, which keeps out all but the superuser.
		return &portLock{fd: fd}, nil
	}
}

// Hold keeps a file, open to be written, against other senders until it is closed.
// It reports false if another holds it.
func Hold(f *os.File) bool {
	err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	return err != unix.EWOULDBLOCK
}

// Held reports whether another sender holds a file. It keeps the file itself for no
// longer than it takes to ask.
func Held(f *os.File) bool {
	if unix.Flock(int(f.Fd()), unix.LOCK_SH|unix.LOCK_NB) == unix.EWOULDBLOCK {
		return true
	}
	_ = unix.Flock(int(f.Fd()), unix.LOCK_UN) // closing the file does it too
	return false
}

func (l *portLock) release() {
	if l.fd >= 0 {
		unix.Close(l.fd)
		l.fd = -1
	}
}

// howToBeLetIn says which group owns a port.
func howToBeLetIn(name string) string {
	info, err := os.Stat(name)
	if err == nil {
		if st, ok := info.Sys().(*syscall.Stat_t); ok {
			if g, err := user.LookupGroupId(fmt.Sprint(st.Gid)); err == nil && g.Name != "root" {
				return fmt.Sprintf("join the group %q, which owns it (as administrator: usermod -aG %s YOUR-NAME), and log in again", g.Name, g.Name)
			}
		}
	}
	return "ask the administrator of this computer to let you use " + name
}
