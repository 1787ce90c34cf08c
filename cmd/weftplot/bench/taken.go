package bench

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"weftplot/cmd/weftplot/bench/folder"
	"weftplot/paths/weave/cloth"
	"weftplot/plot"
	"weftplot/plot/disk"
)

// keepTaken writes the marks that were taken for a load, from 1, or for a rug that is drawn
// at once, 0. They lie beside its programs until the job is made with them, so that they
// are there again when the program ended meanwhile.
func keepTaken(dir string, load int, marks []cloth.Mark) error {
	name := folder.Taken(dir, load)
	if len(marks) == 0 {
		if err := os.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("the marks that were taken are not wanted, but cannot be removed: %w", err)
		}
		return nil
	}
	return disk.Write(name, cloth.FormatMarks(marks))
}

// taken returns the marks that were taken for a load and that the job was never made with;
// none where there are none, or where they are those of other points: the job was changed
// since.
func taken(dir string, made *plot.Job, load int) []cloth.Mark {
	name := folder.Taken(dir, load)
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

// notKept says that marks are not in the folder, for what cause.
func notKept(err error) string { return "It is not kept in the job's folder: " + sentence(err) }

// goesOnWith says of marks that were taken before that they are there.
func goesOnWith(marks []cloth.Mark) string {
	of := "The mark that was taken before is"
	if n := len(marks); n > 1 {
		of = fmt.Sprintf("The %d marks that were taken before are", n)
	}
	return of + " gone on with. Where the cloth was moved since, take them again, or remove them."
}
