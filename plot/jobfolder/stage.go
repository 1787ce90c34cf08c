package jobfolder

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"weftplot/plot/disk"
	"weftplot/plot/job"
)

// writeNew writes a folder that is not there: beside its place first, from where it
// takes its name.
func writeNew(dir string, files []job.File) error {
	parent := filepath.Dir(dir)
	if err := os.MkdirAll(parent, 0o777); err != nil {
		return fmt.Errorf("the folder %s cannot be made: %w", parent, disk.Cause(err))
	}
	tmp, err := os.MkdirTemp(parent, "."+filepath.Base(dir)+"-*")
	if err != nil {
		return fmt.Errorf("the folder %s cannot be written: %w", parent, disk.Cause(err))
	}
	defer os.RemoveAll(tmp) // nothing is left of it once the folder has its name
	fresh, err := stage(tmp, dir, files)
	if err != nil {
		return err
	}
	if err := os.Rename(fresh, dir); err != nil {
		return fmt.Errorf("the folder %s cannot be written: %w", dir, disk.Cause(err))
	}
	return nil
}

// stage writes the files into a new folder in tmp, whose name it returns.
func stage(tmp, dir string, files []job.File) (string, error) {
	fresh := filepath.Join(tmp, "new")
	if err := os.Mkdir(fresh, 0o777); err != nil {
		return "", fmt.Errorf("the folder %s cannot be written: %w", dir, disk.Cause(err))
	}
	for _, f := range files {
		if err := os.MkdirAll(filepath.Dir(filepath.Join(fresh, f.Name)), 0o777); err != nil {
			return "", fmt.Errorf("%s cannot be written: %w", filepath.Join(dir, f.Name), disk.Cause(err))
		}
		if err := writeSynced(filepath.Join(fresh, f.Name), f.Data); err != nil {
			return "", fmt.Errorf("%s cannot be written: %w", filepath.Join(dir, f.Name), disk.Cause(err))
		}
	}
	return fresh, nil
}

// writeInPlace puts the files into a folder that is there, in place of the old ones
// that are named, and leaves everything else in it alone. The folder itself is not
// renamed: a person may stand in it.
func writeInPlace(dir string, files []job.File, old []string) error {
	tmp, err := os.MkdirTemp(dir, ".weftplot-*")
	if err != nil {
		return fmt.Errorf("the folder %s cannot be written: %w", dir, disk.Cause(err))
	}
	var done moves
	fresh, err := stage(tmp, dir, files)
	if err == nil {
		err = done.all(dir, tmp, fresh, files, old)
	}
	emptied := loadDirs(dir, files, old)
	if err != nil {
		if back := done.undo(); back != nil {
			// What was there is in tmp, which therefore stays.
			return errors.Join(err, fmt.Errorf("and what was there could not be put back, it is in %s: %w", tmp, disk.Cause(back)))
		}
	}
	for _, load := range emptied {
		os.Remove(load) // where nothing is left in it
	}
	return errors.Join(err, os.RemoveAll(tmp))
}

// loadDirs returns the folders of loads that files of a job folder are or were in.
func loadDirs(dir string, files []job.File, old []string) []string {
	var dirs []string
	add := func(name string) {
		if d := filepath.Dir(filepath.Join(dir, name)); d != filepath.Clean(dir) && !slices.Contains(dirs, d) {
			dirs = append(dirs, d)
		}
	}
	for _, f := range files {
		add(f.Name)
	}
	for _, name := range old {
		add(name)
	}
	return dirs
}

// moves are renamings that were done, in order.
type moves [][2]string

// all moves the old files out of the way and the new ones in, the report last:
// without it the folder is no job to be sent.
func (m *moves) all(dir, tmp, fresh string, files []job.File, old []string) error {
	aside := filepath.Join(tmp, "old")
	if err := os.Mkdir(aside, 0o777); err != nil {
		return fmt.Errorf("the folder %s cannot be written: %w", dir, disk.Cause(err))
	}
	for _, report := range []bool{true, false} {
		for _, name := range old {
			if (name == ReportName) == report {
				if err := m.move(filepath.Join(dir, name), filepath.Join(aside, name)); err != nil {
					return err
				}
			}
		}
	}
	for _, report := range []bool{false, true} {
		for _, f := range files {
			if (f.Name == ReportName) == report {
				if err := m.move(filepath.Join(fresh, f.Name), filepath.Join(dir, f.Name)); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

func (m *moves) move(from, to string) error {
	if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
		return fmt.Errorf("%s cannot be written: %w", to, disk.Cause(err))
	}
	if err := os.Rename(from, to); err != nil {
		return fmt.Errorf("%s cannot be written: %w", to, disk.Cause(err))
	}
	*m = append(*m, [2]string{from, to})
	return nil
}

// undo moves everything back, the last first.
func (m moves) undo() (err error) {
	for i := len(m) - 1; i >= 0; i-- {
		err = errors.Join(err, os.Rename(m[i][1], m[i][0]))
	}
	return err
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
