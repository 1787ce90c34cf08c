package folder

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"weftplot/device"
	"weftplot/device/journals"
	"weftplot/paths/fault"
	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
)

// A Clash is what becomes of the journals in a folder when new files are written.
type Clash struct {
	Half  bool // a job is half drawn by programs that the files would change
	Stale bool // programs that were sent would change
}

// HalfDrawnByOthers is the kind of error that a half-drawn job is when its programs would
// be made otherwise now.
const HalfDrawnByOthers = fault.Kind("half drawn by other programs")

// ClashOf compares the programs in a job folder that were sent with new files. Each load has
// a folder of its own within it: the programs of one that was never sent may change while
// others are drawn.
func ClashOf(dir string, files []job.File) Clash {
	fresh := map[string][]byte{}
	for _, f := range files {
		fresh[f.Name] = f.Data
	}
	sent := map[string]bool{} // the extensions of programs that were sent, and the folders of their loads
	for _, journal := range Journals(dir) {
		sent[filepath.Ext(strings.TrimSuffix(journal, jobfolder.JournalExt))] = true
		sent[filepath.Dir(journal)] = true
	}
	begun, whole, same := false, true, true
	for _, name := range jobfolder.Listed(dir) {
		if !sent[filepath.Ext(name)] {
			continue
		}
		text, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			continue // what is not there cannot be gone on with
		}
		inked, done := Recorded(journals.Path(filepath.Join(dir, name)), text)
		begun = begun || inked
		whole = whole && done
		if sent[filepath.Dir(filepath.Join(dir, name))] {
			same = same && bytes.Equal(text, fresh[name])
		}
	}
	return Clash{Half: begun && !whole && !same, Stale: len(sent) > 0 && !same}
}

// Recorded reports what the journal of a program says of it: that ink may be on
// the cloth, and that all of it is drawn. A journal that cannot be read may say
// the first.
func Recorded(journal string, text []byte) (inked, done bool) {
	ours, done, err := device.Recorded(journal, text)
	if ours {
		inked, err = device.Begun(journal)
	}
	return inked || err != nil && !errors.Is(err, fs.ErrNotExist), done
}
