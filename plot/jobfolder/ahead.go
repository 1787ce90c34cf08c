package jobfolder

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"weftplot/paths/fault"
	"weftplot/plot/disk"
	"weftplot/plot/job"
)

// own reports whether a file is one that was written ahead of the report.
func (w Writing) own(dir, name string) bool {
	hash := w.Ahead[name]
	if hash == "" {
		return false
	}
	data, err := disk.Read(filepath.Join(dir, name), disk.MaxFile)
	return err == nil && Hash(data) == hash
}

// WriteAhead writes files of a job, such as its settings and the design, before its
// programs are made, which may take long: each file whole or not at all, and only
// where it differs. It returns w with these files added to Ahead. Until
// [Write] follows, the parts of the folder do not belong together and nothing
// of it is sent. A file that a person changed is a [fault.Input], as for
// [Write].
func WriteAhead(dir string, files []job.File, w Writing) (Writing, error) {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return w, fmt.Errorf("the folder %s cannot be made: %w", dir, disk.Cause(err))
	}
	w.Ahead = maps.Clone(w.Ahead)
	if w.Ahead == nil {
		w.Ahead = map[string]string{}
	}
	m, _ := readManifest(dir) // a folder that has no report yet knows no hashes
	for _, f := range files {
		name := filepath.Join(dir, f.Name)
		data, err := disk.Read(name, disk.MaxFile)
		there := err == nil
		if _, e := os.Lstat(name); err != nil && !errors.Is(e, fs.ErrNotExist) {
			return w, err
		}
		switch {
		case there && bytes.Equal(data, f.Data):
		case there && !w.Replace && f.Name != w.From && Hash(data) != w.Ahead[f.Name] && Hash(data) != m.Hashes[f.Name]:
			return w, changedByHand(name)
		default:
			if err := disk.Write(name, f.Data); err != nil {
				return w, err
			}
		}
		w.Ahead[f.Name] = Hash(f.Data)
	}
	return w, nil
}

// changedByHand is the fault of a file that a person changed.
func changedByHand(name string) error {
	return fault.Bad(name, "keep it under another name, give another [out], or give [replace] to write over it", "this file was changed since the job was prepared")
}

// allAhead reports whether a folder holds nothing but files written ahead.
func (w Writing) allAhead(dir string, entries []string) bool {
	return !slices.ContainsFunc(entries, func(name string) bool { return !w.own(dir, name) })
}
