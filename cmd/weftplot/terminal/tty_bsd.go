//go:build darwin || dragonfly || freebsd || netbsd || openbsd

package terminal

import "golang.org/x/sys/unix"

const (
	getTermios = unix.TIOCGETA
	setTermios = unix.TIOCSETA
	noKey      = 0xff // what stands for a key that does nothing, POSIX's _POSIX_VDISABLE
)
