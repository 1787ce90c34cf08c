// Package disk reads files that a person named, within limits, and writes files
// whole or not at all.
//
// Errors of reading are a [fault.Input]; those of a disk that refuses to be written
// name the file.
package disk

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"syscall"

	"weftplot/paths/fault"
)

// The most that is read of a file in bytes, by what it holds.
const (
	// MaxFile bounds designs, pictures, programs and reports: a design of a hundred
	// megabytes is no line work for a rug.
	MaxFile = 100 << 20
	// MaxFont bounds fonts.
	MaxFont = 50 << 20
	// MaxText bounds what a person writes: profiles, marks and job files.
	MaxText = 1 << 20
)

// Reader reads a file of at most so many bytes by the name that a setting gives it.
type Reader func(name string, most int) ([]byte, error)

// Read reads a file that a person named, of at most so many bytes. A file
// that is not there, cannot be read or is too large is a [fault.Input], and so is
// anything but a regular file: a pipe may never end, or never begin.
func Read(name string, most int) ([]byte, error) {
	info, err := os.Stat(name)
	if err != nil {
		return nil, Fault(name, err)
	}
	if err := regular(name, info); err != nil {
		return nil, err
	}
	// Should a pipe have taken the file's place meanwhile, opening it does not wait.
	f, err := os.OpenFile(name, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, Fault(name, err)
	}
	defer f.Close()
	if info, err = f.Stat(); err != nil {
		return nil, Fault(name, err)
	}
	if err := regular(name, info); err != nil {
		return nil, err
	}
	tooLarge := fault.Bad(name, "check that it is the file you mean", "the file is larger than %d MB, the most that is read of such a file", most>>20)
	if info.Size() > int64(most) {
		return nil, tooLarge
	}
	data, err := io.ReadAll(io.LimitReader(f, int64(most)+1))
	if err != nil {
		return nil, Fault(name, err)
	}
	if len(data) > most {
		return nil, tooLarge
	}
	return data, nil
}

// regular returns the fault of what is no regular file.
func regular(name string, info fs.FileInfo) error {
	switch {
	case info.IsDir():
		return fault.Bad(name, "name a file", "this is a folder, not a file")
	case !info.Mode().IsRegular():
		return fault.Bad(name, "save what it holds as a file, and name that", "this is a pipe or a device, not a file")
	}
	return nil
}

// Fault returns what a person is told when a file that they named cannot be opened or
// read: a [fault.Input].
func Fault(name string, err error) error {
	what := "the file cannot be read"
	switch {
	case errors.Is(err, fs.ErrNotExist):
		what = "there is no such file"
	case errors.Is(err, fs.ErrPermission):
		what = "you may not read this file"
	}
	return &fault.Error{Kind: fault.Input, Where: name, What: what, Do: "check the name and the folder", Err: err}
}
