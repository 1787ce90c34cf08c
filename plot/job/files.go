package job

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"weftplot/paths/fault"
)

// MaxFile bounds every file that is read, in bytes: a design of a hundred
// megabytes is no line work for a rug.
const MaxFile = 100 << 20

// Reader reads a file by the name that a setting gives it.
type Reader func(name string) ([]byte, error)

// A Place is the folder that the names of files start from; "" is the one that the
// process runs in.
type Place string

// Path returns a name that starts from the place as one that starts from the
// folder that the process runs in.
func (p Place) Path(name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(string(p), name)
}

// Read reads a file as [ReadFile] does; it is a [Reader].
func (p Place) Read(name string) ([]byte, error) { return ReadFile(p.Path(name)) }

// ReadFile reads a file that a person named, of [MaxFile] bytes at most. A file
// that is not there, cannot be read or is too large is a [fault.Input].
func ReadFile(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, fileFault(name, err)
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, fault.Bad(name, "name a file", "this is a folder, not a file")
	}
	data, err := io.ReadAll(io.LimitReader(f, MaxFile+1))
	if err != nil {
		return nil, fileFault(name, err)
	}
	if len(data) > MaxFile {
		return nil, fault.Bad(name, "", "the file is larger than %d MB, the most that is read", MaxFile>>20)
	}
	return data, nil
}

func fileFault(name string, err error) error {
	what := "the file cannot be read"
	switch {
	case errors.Is(err, fs.ErrNotExist):
		what = "there is no such file"
	case errors.Is(err, fs.ErrPermission):
		what = "you may not read this file"
	}
	return &fault.Error{Kind: fault.Input, Where: name, What: what, Do: "check the name and the folder", Err: err}
}
