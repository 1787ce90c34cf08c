package jobfolder

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/plot/disk"
	"weftplot/plot/job"
)

// JournalExt is the ending of the journals that sending leaves beside a program.
const JournalExt = ".journal"

// ClothExt is the ending of the simulated plotter's cloth, kept beside a program.
const ClothExt = ".cloth"

// Writing says how a job folder is written over one that is there.
type Writing struct {
	// Replace writes over another design's job, over files that were changed since
	// they were written, and over one of which strokes are drawn already.
	Replace bool
	// Begun reports whether a journal says that strokes are on the cloth. Nil takes
	// every journal for one that does.
	Begun func(journal string) (bool, error)
	// From is the job file in the folder that the job was read from, "" for none: it
	// may have been changed.
	From string
	// Ahead has the files that [WriteAhead] put into the folder since its report was
	// written, by name, with the [Hash] of each: they are this job's, though the
	// report does not say so yet.
	Ahead map[string]string
}

// Write writes the files as the folder dir, whole or not at all. The report
// must be among them. A job folder that is there already is written over in place:
// the files that its report lists are replaced or removed, and a person's own
// files stay. Journals stay with programs that stay the same.
//
// A file, a folder that holds something else than a job, one that holds another
// design's job, a changed file or the journal of a cloth that is begun are a
// [fault.Input], and so are names that leave the folder. All stays as it was then,
// and after any other error too.
func Write(dir string, files []job.File, w Writing) error {
	dir = filepath.Clean(dir)
	for _, f := range files {
		if !isCleanName(f.Name) {
			return fault.Bad(f.Name, "give it another name", "this is no name for a file of a job folder")
		}
	}
	info, err := os.Lstat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return writeNew(dir, files)
	case err != nil:
		return fmt.Errorf("the folder %s cannot be looked at: %w", dir, disk.Cause(err))
	case !info.IsDir():
		return fault.Bad(dir, "give another [out], or move away what is there", "there is a file where the job folder would go")
	}
	old, err := w.replaceable(dir, files)
	if err != nil {
		return err
	}
	return writeInPlace(dir, files, old)
}

// replaceable returns the names of the files in dir that the new ones replace.
func (w Writing) replaceable(dir string, files []job.File) ([]string, error) {
	entries, err := listed(dir)
	if err != nil {
		return nil, fmt.Errorf("the folder %s cannot be looked at: %w", dir, disk.Cause(err))
	}
	if len(entries) == 0 {
		return nil, nil
	}
	m, err := readManifest(dir)
	if err != nil && !w.allAhead(dir, entries) {
		return nil, fault.Bad(dir, "give another [out], or move away what is there",
			"the folder holds something else than a job, and nothing of it is overwritten")
	}
	var old []string
	for _, e := range entries {
		if slices.Contains(m.Files, e) || w.own(dir, e) {
			old = append(old, e)
		}
	}
	if err := realLoads(dir, files, old); err != nil {
		return nil, err
	}
	for _, f := range files {
		if _, err := os.Lstat(filepath.Join(dir, f.Name)); err == nil && !slices.Contains(old, f.Name) {
			return nil, fault.Bad(filepath.Join(dir, f.Name), "give another [out], or move the file away", "this file is not of the job in the folder, and would be overwritten")
		}
	}
	if err := w.meant(dir, m, old, files); err != nil {
		return nil, err
	}
	stale, err := w.staleJournals(dir, m, entries, files)
	return append(old, stale...), err
}

// meant refuses to write over what the person may not mean to lose.
func (w Writing) meant(dir string, m manifest, old []string, files []job.File) error {
	if w.Replace || len(m.Files) == 0 {
		return nil
	}
	if err := w.sameDesign(dir, m, files); err != nil {
		return err
	}
	return w.unchanged(dir, m, old, files)
}

// sameDesign refuses another design's job: one of another name and another design.
func (w Writing) sameDesign(dir string, m manifest, files []job.File) error {
	i := slices.IndexFunc(files, func(f job.File) bool { return f.Name == ReportName })
	if i < 0 {
		return fmt.Errorf("the files of the folder %s have no report among them", dir)
	}
	fresh, err := parseManifest(ReportName, files[i].Data)
	if err != nil {
		return err
	}
	same := fresh.Name == m.Name
	for name, hash := range m.Hashes {
		if strings.HasPrefix(name, "design.") && fresh.Hashes[name] == hash {
			same = true
		}
	}
	if same {
		return nil
	}
	return fault.Bad(dir, "give another [out], or [replace] to write over it", "the folder holds the job of another design, %q", label.Clean(m.Name, label.Line))
}

// unchanged refuses to write over a file that is not as it was written.
func (w Writing) unchanged(dir string, m manifest, old []string, files []job.File) error {
	for _, name := range old {
		if name == ReportName || name == w.From || w.own(dir, name) {
			continue
		}
		data, err := disk.Read(filepath.Join(dir, name), disk.MaxFile)
		if err != nil {
			return err
		}
		kept := slices.ContainsFunc(files, func(f job.File) bool { return f.Name == name && bytes.Equal(f.Data, data) })
		if !kept && Hash(data) != m.Hashes[name] {
			return changedByHand(filepath.Join(dir, name))
		}
	}
	return nil
}

// staleJournals returns the journals, and the simulated plotter's cloths, that belong to programs which the new files
// change. One that says that strokes are drawn is a fault, unless it is to be
// replaced.
func (w Writing) staleJournals(dir string, m manifest, entries []string, files []job.File) ([]string, error) {
	var stale []string
	for _, e := range entries {
		ext := filepath.Ext(e)
		program := strings.TrimSuffix(e, ext)
		if ext != JournalExt && ext != ClothExt || !slices.Contains(m.Files, program) {
			continue
		}
		data, err := disk.Read(filepath.Join(dir, program), disk.MaxFile)
		if err == nil && slices.ContainsFunc(files, func(f job.File) bool { return f.Name == program && bytes.Equal(f.Data, data) }) {
			continue
		}
		begun := ext == JournalExt
		if begun && w.Begun != nil {
			if begun, err = w.Begun(filepath.Join(dir, e)); err != nil {
				return nil, err
			}
		}
		if begun && !w.Replace {
			return nil, fault.Bad(dir, "give another [out], or [replace] if that cloth is given up",
				"strokes of the job in this folder are on a cloth already, and this would be another job: what its journal %s proves drawn would be lost", e)
		}
		stale = append(stale, e)
	}
	return stale, nil
}
