//go:build !linux

package live

import "os"

// interruptible returns f: on these systems a pseudo-terminal cannot be relied on to
// be polled, so that a read may outlive the closing of its file.
func interruptible(f *os.File) (*os.File, error) { return f, nil }
