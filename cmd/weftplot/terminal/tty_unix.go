//go:build linux || darwin || dragonfly || freebsd || netbsd || openbsd

package terminal

import "golang.org/x/sys/unix"

// keysOneByOne makes the terminal hand over each key as it is pressed, and show
// none. Ctrl-C still interrupts. Ctrl-Z does not suspend the program: a suspended
// sender would leave the pen standing on the cloth.
func keysOneByOne(fd int) error {
	t, err := unix.IoctlGetTermios(fd, getTermios)
	if err != nil {
		return err
	}
	t.Lflag &^= unix.ICANON | unix.ECHO | unix.IEXTEN
	t.Lflag |= unix.ISIG
	t.Iflag |= unix.ICRNL
	t.Cc[unix.VSUSP] = noKey
	t.Cc[unix.VMIN], t.Cc[unix.VTIME] = 1, 0
	return unix.IoctlSetTermios(fd, setTermios, t)
}

// inBackground reports whether another job of the shell has the terminal: to
// touch it would stop this one.
func inBackground(fd int) bool {
	group, err := unix.IoctlGetInt(fd, unix.TIOCGPGRP)
	return err == nil && group != unix.Getpgrp()
}
