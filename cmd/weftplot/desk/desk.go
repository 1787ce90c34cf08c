// Package desk remembers what a person says once for all jobs on a computer: which
// machine stands there.
package desk

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/natefinch/atomic"
	"github.com/pelletier/go-toml/v2"

	"weftplot/paths/fault"
	"weftplot/paths/keyfile"
	"weftplot/plot/disk"
	"weftplot/plot/job"
)

// Desk is the folder in which it is kept; "" keeps nothing.
type Desk string

// Here is the desk of the person who runs the program: a folder below
// [os.UserConfigDir], or none where there is no such folder.
func Here() Desk {
	dir, err := os.UserConfigDir()
	if err != nil {
		return ""
	}
	return Desk(filepath.Join(dir, "weftplot"))
}

// kept is what the file holds.
type kept struct {
	// Machine is the name of a built-in machine, or the whole name of a file.
	Machine string `toml:"machine"`
}

// File is the name of the file in which it is kept.
func (d Desk) File() string { return filepath.Join(string(d), "desk.toml") }

// Machine returns the machine that is remembered, "" for none, and for a file that
// cannot be read: what is wrong with it is for [Desk.Default] to say.
func (d Desk) Machine() string {
	m, err := d.Default()
	if err != nil {
		return ""
	}
	return m
}

// Default returns the machine that is remembered: the name of a built-in one, the
// whole name of a file, or "" for none. A file that cannot be read, or that names a
// profile that is gone, is a [fault.Input].
func (d Desk) Default() (string, error) {
	if d == "" {
		return "", nil
	}
	data, err := disk.Read(d.File(), disk.MaxText)
	if _, stat := os.Stat(d.File()); errors.Is(stat, fs.ErrNotExist) {
		return "", nil
	}
	const again = `say it again by "weftplot profiles use FILE", or for once with [machine]`
	if err != nil {
		return "", fault.Bad(d.File(), again, "the machine of this computer cannot be read")
	}
	var k kept
	if err := keyfile.Decode(d.File(), data, &k); err != nil {
		return "", err
	}
	if job.IsFile(k.Machine) {
		if _, err := os.Stat(k.Machine); err != nil {
			return "", fault.Bad(d.File(), again, "the machine of this computer is kept in %s, which is not there", k.Machine)
		}
	}
	return k.Machine, nil
}

// Use remembers a machine: the name of a built-in one, or the whole name of a file.
// "" forgets it.
func (d Desk) Use(machine string) error {
	if d == "" {
		return fault.Bad("", "say it with each job: [machine]", "this computer has no folder for what a person wants kept")
	}
	if machine == "" {
		if err := os.Remove(d.File()); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		return nil
	}
	data, err := toml.Marshal(kept{machine})
	if err != nil {
		return err
	}
	if err := os.MkdirAll(string(d), 0o777); err != nil {
		return err
	}
	head := "# The machine that weftplot takes on this computer where none is said.\n"
	return atomic.WriteFile(d.File(), bytes.NewReader(append([]byte(head), data...)))
}
