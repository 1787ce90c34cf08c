package job

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"weftplot/paths/fault"
)

// File is one file of a job folder.
type File struct {
	Name string // in the folder
	Data []byte // all of it
}

// ReportName is the file by which a job folder is known.
const ReportName = "report.json"

// WriteFolder writes the files as the folder dir, whole or not at all: they are
// written to a new folder beside it, which then takes its name. A job folder
// that is there already is replaced; a file, or a folder that holds anything
// but a job, is a [fault.Error] and stays as it is.
func WriteFolder(dir string, files []File) error {
	dir = filepath.Clean(dir)
	taken, err := replaceable(dir)
	if err != nil {
		return err
	}
	parent := filepath.Dir(dir)
	if err := os.MkdirAll(parent, 0o777); err != nil {
		return fmt.Errorf("the folder %s cannot be made: %w", parent, reason(err))
	}
	tmp, err := os.MkdirTemp(parent, "."+filepath.Base(dir)+"-*")
	fresh := filepath.Join(tmp, "new")
	if err == nil {
		defer os.RemoveAll(tmp) // nothing is left of it once it has its name
		err = os.Mkdir(fresh, 0o777)
	}
	if err != nil {
		return fmt.Errorf("the folder %s cannot be written: %w", parent, reason(err))
	}
	for _, f := range files {
		if err := writeSynced(filepath.Join(fresh, f.Name), f.Data); err != nil {
			return fmt.Errorf("%s cannot be written: %w", filepath.Join(dir, f.Name), reason(err))
		}
	}
	old := filepath.Join(tmp, "old")
	if taken {
		if err := os.Rename(dir, old); err != nil {
			return fmt.Errorf("the folder %s cannot be replaced: %w", dir, reason(err))
		}
	}
	if err := os.Rename(fresh, dir); err != nil {
		if taken {
			err = errors.Join(err, os.Rename(old, dir))
		}
		return fmt.Errorf("the folder %s cannot be written: %w", dir, reason(err))
	}
	return nil
}

// writeSynced writes a new file and waits until the disk has it.
func writeSynced(name string, data []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	if _, err = f.Write(data); err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

// replaceable reports whether something stands at dir that a new job folder may
// replace: an empty folder, or a job folder. Anything else is a fault.
func replaceable(dir string) (bool, error) {
	const do = "give another [out], or move away what is there"
	info, err := os.Lstat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, fmt.Errorf("the folder %s cannot be looked at: %w", dir, reason(err))
	case !info.IsDir():
		return false, fault.Bad(dir, do, "there is a file where the job folder would go")
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return false, fmt.Errorf("the folder %s cannot be looked at: %w", dir, reason(err))
	}
	if len(entries) == 0 || IsJobFolder(dir) {
		return true, nil
	}
	return false, fault.Bad(dir, do, "the folder holds something else than a job, and nothing of it is overwritten")
}

// IsJobFolder reports whether dir is a folder that [WriteFolder] wrote: it has
// our report, and nothing beside the files that the report names.
func IsJobFolder(dir string) bool {
	data, err := os.ReadFile(filepath.Join(dir, ReportName))
	if err != nil {
		return false
	}
	var r struct {
		Version int      `json:"version"`
		Files   []string `json:"files"`
	}
	if json.Unmarshal(data, &r) != nil || r.Version == 0 || len(r.Files) == 0 {
		return false
	}
	known := map[string]bool{ReportName: true}
	for _, f := range r.Files {
		known[f] = true
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return false
	}
	for _, e := range entries {
		if ext := filepath.Ext(e.Name()); !known[e.Name()] && ext != JournalExt && ext != ClothExt {
			return false
		}
	}
	return true
}

// JournalExt is the ending of the journals that sending leaves beside a program.
const JournalExt = ".journal"

// ClothExt is the ending of the simulated plotter's cloth, kept beside a program.
const ClothExt = ".cloth"

// reason is the cause of a file error without the path, which the sentence
// around it names already.
func reason(err error) error {
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
