package disk

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/natefinch/atomic"
)

// Write writes a file so that it is there whole or not at all, in place of
// one that may be there. A new one can be read by all, as files commonly can: a
// temporary file cannot. A folder that is missing, or a disk that refuses, is an
// error that names the file.
func Write(name string, data []byte) error {
	if info, err := os.Stat(filepath.Dir(name)); err != nil || !info.IsDir() {
		return fmt.Errorf("%s cannot be written: there is no folder %s; make it, or give another one", name, filepath.Dir(name))
	}
	_, err := os.Stat(name)
	isNew := errors.Is(err, fs.ErrNotExist)
	if err := atomic.WriteFile(name, bytes.NewReader(data)); err != nil {
		return fmt.Errorf("%s cannot be written: %w", name, err)
	}
	if isNew {
		return os.Chmod(name, 0o644)
	}
	return nil
}
