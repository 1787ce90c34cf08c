//go:build !linux && !darwin && !dragonfly && !freebsd && !netbsd && !openbsd

package terminal

import "golang.org/x/term"

// keysOneByOne makes the terminal hand over each key as it is pressed, and show
// none. Ctrl-C comes as a key as well.
func keysOneByOne(fd int) error {
	_, err := term.MakeRaw(fd)
	return err
}

// inBackground is for systems whose shells share out their terminal.
func inBackground(int) bool { return false }
