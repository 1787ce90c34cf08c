package bench

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"weftplot/device"
	"weftplot/device/journals"
	"weftplot/plot/folder"
	"weftplot/plot/job"
)

// The files of a job folder that are looked for by name.
const (
	jobFile   = "job.toml"
	marksFile = "marks.toml"
)

// cause is a file error without the path, which the sentence around it names.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
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

// writing says how the folder of the job is written over; bench.writing is held.
func (j *task) writing() folder.Writing {
	return folder.Writing{Begun: device.Begun, From: jobFile, Ahead: *j.ahead, Replace: j.replace}
}

// lying returns the programs of a job that is made as they lie in its folder.
func (j *task) lying() []journals.Program {
	marks := ""
	if data, ok := j.bytes[marksFile]; ok && j.settings.Marks != "" {
		marks = folder.Hash(data)
	}
	if j.inLoads() {
		var out []journals.Program
		for _, l := range j.made.Loads {
			out = append(out, j.lyingOf(l)...)
		}
		return out
	}
	var out []journals.Program
	for _, r := range j.made.PenRuns {
		out = append(out, journals.Program{File: filepath.Join(j.dir, r.File),
			Job: device.Job{Program: r.Program, Text: r.Text, Machine: j.made.Inputs.Machine, Marks: marks}})
	}
	return out
}

// begun is what the journals of a job prove of it. While a sender holds them it
// is what was known before.
func (j *task) begun() journals.State {
	if j.made == nil {
		return journals.State{Known: true}
	}
	if s, err := journals.Look(j.lying()); err == nil {
		j.known = s
	}
	return j.known
}

// hasJournals reports whether anything in the job's folder was ever sent.
func (j *task) hasJournals() bool { return len(journalsIn(j.dir)) > 0 }

// programFolders are the folders in which programs of a job lie: its own, and of a kit
// that of each load.
func programFolders(dir string) []string {
	loads, _ := filepath.Glob(filepath.Join(dir, "load-*")) // the pattern is sound
	return append([]string{dir}, loads...)
}

// journalsIn are the journals beside the programs of a job folder.
func journalsIn(dir string) []string {
	var out []string
	for _, d := range programFolders(dir) {
		out = append(out, journals.Beside(d, folder.JournalExt)...)
	}
	return out
}

// putAside puts all journals of a job folder aside.
func putAside(dir string) error {
	var err error
	for _, d := range programFolders(dir) {
		err = errors.Join(err, journals.PutAside(d))
	}
	return err
}

// halfDrawn reports whether the job was begun on this cloth and is not done: ink
// may be on it.
func (j *task) halfDrawn() bool { return j.whole && (j.begun().Begun || j.betweenLoads()) }

// A clash is what becomes of the journals in a folder when new files are written.
type clash struct {
	half  bool // a job is half drawn by programs that the files would change
	stale bool // programs that were sent would change
}

// clashOf compares the programs in a job folder that were sent with new files.
func clashOf(dir string, files []job.File) clash {
	fresh := map[string][]byte{}
	for _, f := range files {
		fresh[f.Name] = f.Data
	}
	sent := map[string]bool{} // the extensions of programs that were sent
	for _, journal := range journalsIn(dir) {
		sent[filepath.Ext(strings.TrimSuffix(journal, folder.JournalExt))] = true
	}
	begun, whole, same := false, true, true
	for _, name := range folder.Listed(dir) {
		if !sent[filepath.Ext(name)] {
			continue
		}
		text, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			continue // what is not there cannot be gone on with
		}
		inked, done := recorded(journals.Path(filepath.Join(dir, name)), text)
		begun = begun || inked
		whole = whole && done
		same = same && bytes.Equal(text, fresh[name])
	}
	return clash{half: begun && !whole && !same, stale: len(sent) > 0 && !same}
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
