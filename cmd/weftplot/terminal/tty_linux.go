package terminal

import "golang.org/x/sys/unix"

const (
	getTermios = unix.TCGETS
	setTermios = unix.TCSETS
	noKey      = 0 // what stands for a key that does nothing, POSIX's _POSIX_VDISABLE
)
