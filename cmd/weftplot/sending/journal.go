package sending

import (
	"errors"
	"fmt"
	"os"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/paths/fault"
	"weftplot/plot/job"
	"weftplot/profiles"
)

// keeper opens the journals beside the programs.
type keeper struct {
	resume, anew bool
	kept         bool // journals are kept
}

// refuse refuses to start a job anew that broke off, unless that is asked for: a
// line drawn twice blots. The simulated plotter starts with empty cloth every time
// and keeps no journal, unless it is asked to.
func (k keeper) refuse(s terminal.Streams, prog Program, m profiles.Machine) error {
	switch {
	case !k.kept && k.resume:
		return fault.Bad("--resume", "send the job without --resume; with --journal the simulated plotter keeps its cloth and can be resumed",
			"the simulated plotter has new cloth every time, so there is nothing to resume")
	case !k.kept:
		return nil
	}
	path := journalPath(s, prog)
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return fault.Bad(prog.File+job.JournalExt, "move it away", "this is a folder, a pipe or a device, where the journal of the job goes")
	}
	if k.resume || k.anew {
		return nil
	}
	j, err := device.ResumeJournal(journalPath(s, prog), prog.OnMachine(m))
	switch {
	case errors.Is(err, device.InUse):
		return err
	case err != nil:
		return nil // there is none, or it is another program's, or another machine's
	}
	defer j.Close()
	switch {
	case j.Done():
		s.LookAt(prog.File + " was drawn to its end before; on the same cloth every line of it would be drawn twice")
	case j.Sent():
		s.LookAt(prog.File + " was sent to its end before, to a machine that did not say whether it drew it; on the same cloth lines may be drawn twice")
	case j.Drawn() == 0 && j.NeedsHome():
		return fault.Bad(prog.File, "bring it home, as its manual says, then give --resume and --homed, or --anew to draw it all from the beginning",
			"this job broke off, and the machine may have lost its place")
	case j.Drawn() > 0:
		return fault.Bad(prog.File, "give --resume to go on, or --anew to draw it all from the beginning",
			"this job broke off after %d strokes", j.Drawn())
	}
	return nil
}

// begun reports whether the journal of a program proves that something of it was
// drawn.
func (k keeper) begun(s terminal.Streams, prog Program, m profiles.Machine) bool {
	j := journalOf(s, prog, m)
	if j == nil {
		return false
	}
	defer j.Close()
	return j.Done() || j.Drawn() > 0
}

// journalOf opens the journal of this program, on this machine, with these
// marks; nil if there is none.
func journalOf(s terminal.Streams, prog Program, m profiles.Machine) *device.Journal {
	path := journalPath(s, prog)
	if _, err := os.Stat(path); err != nil {
		return nil
	}
	j, err := device.ResumeJournal(path, prog.OnMachine(m))
	if err != nil {
		return nil // it is another program's, or another machine's
	}
	return j
}

func journalPath(s terminal.Streams, prog Program) string { return s.Path(prog.File) + job.JournalExt }

// open puts the journal of a program into the options; done reports that all of the
// program is drawn already. When a job of several programs is resumed, the programs
// that were never reached have no journal yet.
func (k keeper) open(s terminal.Streams, first bool, prog Program, m profiles.Machine, opt *device.Options) (done bool, err error) {
	if !k.kept {
		return false, nil
	}
	path := journalPath(s, prog)
	_, missing := os.Stat(path)
	if k.resume && (first || missing == nil) {
		return k.goOn(s, path, prog, m, opt)
	}
	opt.Journal, err = device.StartJournal(path, prog.OnMachine(m))
	if err != nil {
		err = fmt.Errorf("the journal %s cannot be written: %w", path, err)
	}
	return false, err
}

// goOn opens the journal of a job that broke off and tells the person how far it
// came.
func (k keeper) goOn(s terminal.Streams, path string, prog Program, m profiles.Machine, opt *device.Options) (done bool, err error) {
	j, err := device.ResumeJournal(path, prog.OnMachine(m))
	if err != nil {
		return false, err
	}
	if j.Damaged {
		s.LookAt("the journal is damaged; what could be read of it is used")
	}
	if j.Done() {
		fmt.Fprintf(s.Err, "%s is drawn already\n", prog.File)
		return true, j.Close()
	}
	if words := copiesDone(prog.Program, j.Drawn()); words != "" {
		fmt.Fprintln(s.Err, words)
	}
	n, known := j.Again()
	fmt.Fprintf(s.Err, "%d strokes are proved drawn; up to %d that were sent, %.0f mm, are drawn again\n", j.Drawn(), n, j.AgainMM())
	if !known {
		fmt.Fprintln(s.Err, "the sender did not live to say how it left the machine; a few more strokes may have been begun if the computer lost its power")
	}
	opt.Journal = j
	return false, nil
}
