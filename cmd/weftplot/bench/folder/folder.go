// Package folder is the folder of a job on the disk: where a new one goes, the journals in it,
// and what becomes of them when new files are written.
package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"weftplot/device/journals"
	"weftplot/plot/jobfolder"
)

var unfit = regexp.MustCompile(`[^\p{L}\p{N}._-]+`)

// New returns a folder below dir, named after a drawing, that is not there
// yet.
func New(dir, drawing string) string {
	name := strings.TrimSuffix(filepath.Base(drawing), filepath.Ext(drawing))
	name = strings.Trim(unfit.ReplaceAllString(name, "-"), "-.")
	if len(name) > 60 {
		name = strings.ToValidUTF8(name[:60], "")
	}
	if name == "" {
		name = "rug"
	}
	for n := 1; ; n++ {
		path := filepath.Join(dir, name+"-job")
		if n > 1 {
			path = fmt.Sprintf("%s-%d", path, n)
		}
		if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
			return path
		}
	}
}

// Programs are the folders in which programs of a job lie: its own, and of a kit
// that of each load.
func Programs(dir string) []string {
	loads, _ := filepath.Glob(filepath.Join(dir, "load-*")) // the pattern is sound
	return append([]string{dir}, loads...)
}

// Journals are the journals beside the programs of a job folder.
func Journals(dir string) []string {
	var out []string
	for _, d := range Programs(dir) {
		out = append(out, journals.Beside(d, jobfolder.JournalExt)...)
	}
	return out
}

// takenName is the file of marks that were taken and that the job is not made with yet.
const takenName = "marks-taken.toml"

// takenFile is the file of the marks that were taken for a load, from 1, or for a rug that is
// drawn at once, 0, and that the job is not made with yet.
func takenFile(dir string, load int) string {
	if load > 0 {
		dir = filepath.Join(dir, fmt.Sprintf("load-%d", load))
	}
	return filepath.Join(dir, takenName)
}

// PutAside puts all journals of a job folder aside, and removes marks that were taken on the
// cloth that is put aside.
func PutAside(dir string) error {
	var err error
	for _, d := range Programs(dir) {
		err = errors.Join(err, journals.PutAside(d))
		if e := os.Remove(filepath.Join(d, takenName)); !errors.Is(e, fs.ErrNotExist) {
			err = errors.Join(err, e)
		}
	}
	return err
}
