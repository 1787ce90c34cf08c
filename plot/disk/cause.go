package disk

import (
	"errors"
	"io/fs"
	"os"
)

// Cause is a file error without the paths, which the sentence round it names.
func Cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	var l *os.LinkError
	if errors.As(err, &l) {
		return l.Err
	}
	return err
}
