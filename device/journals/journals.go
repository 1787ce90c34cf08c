// Package journals opens the journals that lie beside the programs of a job
// folder, and says what they prove of the job as a whole.
package journals

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"weftplot/device"
	"weftplot/plot/disk"
	"weftplot/plot/jobfolder"
)

// Program is a program in a file, and the job that it is.
type Program struct {
	File string // where the program lies
	Job  device.Job
}

// Path returns where the journal of a program lies.
func Path(program string) string { return program + jobfolder.JournalExt }

// Open opens the journal that a program is drawn with: to resume, the one that is
// there, else a new one. When a job of several programs is resumed, those that
// were never reached have no journal yet; first says that this is the first
// program, which must have one. A journal that cannot be gone on with is a
// [fault.Error].
func (p Program) Open(resume, first bool) (*device.Journal, error) {
	path := Path(p.File)
	_, missing := os.Stat(path)
	if resume && (first || missing == nil) {
		return device.ResumeJournal(path, p.Job)
	}
	j, err := device.StartJournal(path, p.Job)
	if err != nil && !errors.Is(err, device.InUse) {
		err = fmt.Errorf("the journal %s cannot be written: %w", path, disk.Cause(err))
	}
	return j, err
}

// State is what journals prove of a job.
type State struct {
	Strokes int  // of the whole job
	Drawn   int  // of them, proved to be on the cloth
	Again   int  // of them, may be drawn again when the job is resumed
	Known   bool // Again is known: the sender lived to say how it left the machine
	Done    bool // all is drawn, or was sent to a machine that does not say so
	Sent    bool // some of it was sent to the end to a machine that does not say that it drew it
	Begun   bool // ink may be on the cloth, and not all is
	// NeedsHome tells that the machine may have lost its place.
	NeedsHome bool
}

// Look reads the journals of all programs of a job. A journal of another
// program, machine or cloth counts as none. One that another sender holds is an
// error of kind [device.InUse].
func Look(programs []Program) (State, error) {
	s := State{Known: true}
	ended := 0
	for _, p := range programs {
		s.Strokes += len(p.Job.Program.Strokes())
		j, err := p.find()
		if err != nil {
			return s, err
		}
		if j == nil {
			continue
		}
		s.add(j, p.File)
		if j.Done() || j.Sent() {
			ended++
		}
		j.Close()
	}
	s.Done = ended > 0 && ended == len(programs)
	s.Begun = s.Begun && !s.Done
	return s, nil
}

func (s *State) add(j *device.Journal, program string) {
	again, known := j.Again()
	s.Drawn += j.Drawn()
	s.NeedsHome = s.NeedsHome || j.NeedsHome() && !j.Sent()
	switch {
	case j.Done():
		s.Begun = true
	case j.Sent():
		s.Begun, s.Sent = true, true
	default:
		s.Again += again
		s.Known = s.Known && known
		inked, err := device.Begun(Path(program))
		s.Begun = s.Begun || inked || err != nil || j.Drawn() > 0
	}
}

// find opens the journal of a program, nil where there is none of it.
func (p Program) find() (*device.Journal, error) {
	if _, err := os.Stat(Path(p.File)); err != nil {
		return nil, nil
	}
	j, err := device.ReadJournal(Path(p.File), p.Job)
	if errors.Is(err, device.InUse) {
		return nil, err
	}
	if err != nil {
		return nil, nil // another program's, machine's or cloth's
	}
	return j, nil
}

// Beside returns the files in a folder that lie beside a program and are named
// after it with an extension more. Those of an earlier cloth, which were put
// aside, are not among them.
func Beside(dir, ext string) []string {
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

// PutAside renames the journals in a job folder, and the simulated plotter's
// cloth, so that the record of a cloth is kept but not gone on with.
func PutAside(dir string) error {
	for _, name := range append(Beside(dir, jobfolder.JournalExt), Beside(dir, jobfolder.ClothExt)...) {
		ext := filepath.Ext(name)
		for n := 1; ; n++ {
			to := fmt.Sprintf("%s.%d%s", strings.TrimSuffix(name, ext), n, ext)
			if _, err := os.Lstat(to); err == nil {
				continue
			}
			if err := os.Rename(name, to); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return fmt.Errorf("%s cannot be put aside: %w", name, disk.Cause(err))
			}
			break
		}
	}
	return nil
}
