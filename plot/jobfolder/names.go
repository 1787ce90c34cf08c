package jobfolder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/plot/disk"
	"weftplot/plot/job"
)

// loadDir are the folders of loads in a job folder.
var loadDir = regexp.MustCompile(`^load-[1-9][0-9]{0,4}$`)

// isName reports whether a name can be that of a file of a job folder: a plain name, or
// one in the folder of a load, "load-2/plot.gcode". It leaves the folder on no system.
func isName(name string) bool {
	base := name
	if dir, rest, nested := strings.Cut(name, "/"); nested {
		if base = rest; !loadDir.MatchString(dir) {
			return false
		}
	}
	return base != "." && base == filepath.Base(base) && filepath.IsLocal(base) && !strings.ContainsAny(base, `/\`)
}

// isCleanName is isName for a file that is to be written.
func isCleanName(name string) bool {
	base := name[strings.LastIndexByte(name, '/')+1:]
	return isName(name) && base == label.Clean(base, label.File)
}

// listed returns the names of what is in a job folder, and in those of its loads.
func listed(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	var names []string
	for _, e := range entries {
		if !e.IsDir() || !loadDir.MatchString(e.Name()) {
			names = append(names, e.Name())
			continue
		}
		inside, err := os.ReadDir(filepath.Join(dir, e.Name()))
		if err != nil {
			return nil, err
		}
		for _, f := range inside {
			names = append(names, e.Name()+"/"+f.Name())
		}
	}
	return names, nil
}

// realLoads refuses a folder in which something else has the place of a load's folder,
// such as a link that leads elsewhere.
func realLoads(dir string, files []job.File, old []string) error {
	for _, f := range files {
		old = append(old, f.Name)
	}
	for _, name := range old {
		load, _, nested := strings.Cut(name, "/")
		if !nested {
			continue
		}
		info, err := os.Lstat(filepath.Join(dir, load))
		if err == nil && !info.IsDir() {
			return fault.Bad(filepath.Join(dir, load), "move it away", "this is no folder, where the files of a load go")
		}
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("the folder %s cannot be looked at: %w", filepath.Join(dir, load), disk.Cause(err))
		}
	}
	return nil
}

// folderOf returns the job folder that a program lies in, and its name there: a program
// of a load lies one deeper.
func (p Place) folderOf(name string) (dir, file string) {
	dir, file = filepath.Dir(name), filepath.Base(name)
	if load := filepath.Base(dir); loadDir.MatchString(load) && !IsJob(p.Path(dir)) && IsJob(p.Path(filepath.Dir(dir))) {
		return filepath.Dir(dir), load + "/" + file
	}
	return dir, file
}
