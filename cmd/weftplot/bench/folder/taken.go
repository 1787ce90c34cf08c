package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"weftplot/paths/weave/cloth"
	"weftplot/plot"
	"weftplot/plot/disk"
)

// KeepTaken writes the marks that were taken for a load, from 1, or for a rug that is drawn
// at once, 0. They lie beside its programs until the job is made with them, so that they
// are there again when the program ended meanwhile.
func KeepTaken(dir string, load int, marks []cloth.Mark) error {
	name := takenFile(dir, load)
	if len(marks) == 0 {
		if err := os.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("the marks that were taken are not wanted, but cannot be removed: %w", err)
		}
		return nil
	}
	return disk.Write(name, cloth.FormatMarks(marks))
}

// Taken returns the marks that were taken for a load and that the job was never made with;
// none where there are none, or where they are those of other points: the job was changed
// since.
func Taken(dir string, made *plot.Job, load int) []cloth.Mark {
	name := takenFile(dir, load)
	data, err := disk.Read(name, disk.MaxText)
	if err != nil {
		return nil
	}
	marks, err := cloth.ParseMarks(filepath.Base(name), data)
	if err != nil || load > 0 && made.Loads[load-1].Foreign(marks) {
		return nil
	}
	return marks
}
