package bench

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"weftplot/device"
	"weftplot/plot/job"
)

// The files of a job folder that are looked for by name.
const (
	jobFile    = "job.toml"
	reportFile = "report.json"
	marksFile  = "marks.toml"
)

// writeJob brings a job folder up to date file by file, each whole or not at
// all; the report, which names the others, comes last. Journals stay; what the
// old report names and the new one does not is removed.
func writeJob(dir string, files []job.File) error {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return fmt.Errorf("the folder %s cannot be made: %w", dir, cause(err))
	}
	old := reported(dir)
	var report job.File
	keep := map[string]bool{}
	for _, f := range files {
		keep[f.Name] = true
		if f.Name == reportFile {
			report = f
			continue
		}
		if err := put(dir, f); err != nil {
			return err
		}
	}
	for _, name := range old {
		if !keep[name] && filepath.Base(name) == name {
			_ = os.Remove(filepath.Join(dir, name)) // one file too many harms nobody
		}
	}
	return put(dir, report)
}

// put writes a file unless it is there as it should be.
func put(dir string, f job.File) error {
	name := filepath.Join(dir, f.Name)
	was, err := os.ReadFile(name)
	if err == nil && bytes.Equal(was, f.Data) {
		return nil
	}
	return job.WriteWhole(name, f.Data)
}

// cause is a file error without the path, which the sentence around it names.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// reported returns the files that the report in a folder names.
func reported(dir string) []string {
	data, err := os.ReadFile(filepath.Join(dir, reportFile))
	if err != nil {
		return nil
	}
	var r struct {
		Files []string `json:"files"`
	}
	if json.Unmarshal(data, &r) != nil {
		return nil
	}
	return r.Files
}

var unfit = regexp.MustCompile(`[^\p{L}\p{N}._-]+`)

// newFolder returns a folder below dir, named after a drawing, that is not there
// yet.
func newFolder(dir, drawing string) string {
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

// journal opens the journal of the run of a pen, nil where there is none of this
// program, machine and cloth.
func (j *task) journal(i int) *device.Journal {
	path := j.journalPath(i)
	if _, err := os.Stat(path); err != nil {
		return nil
	}
	kept, err := device.ResumeJournal(path, j.deviceJob(i))
	if err != nil {
		return nil // it is another program's
	}
	return kept
}

func (j *task) journalPath(i int) string {
	return filepath.Join(j.dir, j.made.PenRuns[i].File) + job.JournalExt
}

// clothPath is the file of the simulated plotter's cloth.
func (j *task) clothPath() string {
	return filepath.Join(j.dir, j.made.PenRuns[0].File) + job.ClothExt
}

// begun is what the journals of a job prove.
type begun struct {
	Drawn     int  `json:"drawn"`   // strokes proved to be on the cloth
	Strokes   int  `json:"strokes"` // of the whole job
	Again     int  `json:"again"`   // that may be drawn again
	Known     bool `json:"known"`   // Again is known
	Done      bool `json:"done"`
	Half      bool `json:"half"`       // the job was begun and is not all on the cloth
	NeedsHome bool `json:"needs_home"` // the machine has lost its place
}

// begun reads the journals.
func (j *task) begun() begun {
	var out begun
	done := 0
	out.Known = true
	for i, r := range j.made.PenRuns {
		out.Strokes += r.Totals.Strokes
		kept := j.journal(i)
		if kept == nil {
			continue
		}
		out.Drawn += kept.Drawn()
		again, known := kept.Again()
		out.Again += again
		out.Known = out.Known && (known || kept.Done())
		out.NeedsHome = out.NeedsHome || kept.NeedsHome()
		if kept.Done() {
			done++
		}
		out.Half = true
		kept.Close()
	}
	out.Done = done == len(j.made.PenRuns) && done > 0
	out.Half = out.Half && !out.Done
	return out
}

// beside returns the files in a folder that lie beside a program and are named
// after it with an extension more. Those of an earlier cloth, which were put
// aside, are not among them.
func beside(dir, ext string) []string {
	entries, _ := os.ReadDir(dir) // a folder that is not there yet has none
	var out []string
	for _, e := range entries {
		program, is := strings.CutSuffix(e.Name(), ext)
		if !is {
			continue
		}
		if _, err := os.Stat(filepath.Join(dir, program)); err == nil {
			out = append(out, filepath.Join(dir, e.Name()))
		}
	}
	return out
}

// hasJournals reports whether anything in the job's folder was ever sent.
func (j *task) hasJournals() bool { return len(beside(j.dir, job.JournalExt)) > 0 }

// halfDrawn reports whether the job was begun on this cloth and is not done: ink
// may be on it.
func (j *task) halfDrawn() bool { return j.whole && j.begun().Half }

// putAside renames the journals of a job, and the simulated cloth, so that the
// record of a half-drawn cloth is kept but not gone on with.
func (j *task) putAside() error {
	names := append(beside(j.dir, job.JournalExt), beside(j.dir, job.ClothExt)...)
	for _, name := range names {
		ext := filepath.Ext(name)
		for n := 1; ; n++ {
			to := fmt.Sprintf("%s.%d%s", strings.TrimSuffix(name, ext), n, ext)
			if _, err := os.Lstat(to); err == nil {
				continue
			}
			if err := os.Rename(name, to); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return fmt.Errorf("%s cannot be put aside: %w", name, cause(err))
			}
			break
		}
	}
	return nil
}

// overtaken reports whether a job folder holds a job that is half drawn by
// programs which the new files would change: with those alone it can be gone on
// with.
func overtaken(dir string, files []job.File) bool {
	fresh := map[string][]byte{}
	for _, f := range files {
		fresh[f.Name] = f.Data
	}
	names := reported(dir)
	kinds := map[string]bool{} // the extensions of programs that were sent
	for _, journal := range beside(dir, job.JournalExt) {
		kinds[filepath.Ext(strings.TrimSuffix(journal, job.JournalExt))] = true
	}
	begun, whole, same := false, true, true
	for _, name := range names {
		if !kinds[filepath.Ext(name)] || filepath.Base(name) != name {
			continue
		}
		text, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			continue // what is not there cannot be gone on with
		}
		inked, done := recorded(filepath.Join(dir, name)+job.JournalExt, text)
		begun = begun || inked
		whole = whole && done
		same = same && bytes.Equal(text, fresh[name])
	}
	return begun && !whole && !same
}

// recorded reports what the journal of a program says of it: that ink may be on
// the cloth, and that all of it is drawn. A journal that cannot be read may say
// the first.
func recorded(journal string, text []byte) (inked, done bool) {
	ours, done, err := device.Recorded(journal, text)
	if ours {
		inked, err = device.Begun(journal)
	}
	return inked || err != nil && !errors.Is(err, fs.ErrNotExist), done
}
