package sending

import (
	"fmt"
	"os"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/device/journals"
	"weftplot/paths/fault"
	"weftplot/plot/jobfolder"
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
	path := journals.Path(s.Path(prog.File))
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return fault.Bad(prog.File+jobfolder.JournalExt, "move it away", "this is a folder, a pipe or a device, where the journal of the job goes")
	}
	if k.resume || k.anew {
		return nil
	}
	state, err := journals.Look([]journals.Program{prog.lying(s, m)})
	switch {
	case err != nil:
		return err
	case state.Sent:
		s.LookAt(prog.File + " was sent to its end before, to a machine that did not say whether it drew it; on the same cloth lines may be drawn twice")
	case state.Done:
		s.LookAt(prog.File + " was drawn to its end before; on the same cloth every line of it would be drawn twice")
	case state.Drawn == 0 && state.NeedsHome:
		return fault.Bad(prog.File, "bring it home, as its manual says, then give --resume and --homed, or --anew to draw it all from the beginning",
			"this job broke off, and the machine may have lost its place")
	case state.Drawn > 0:
		return fault.Bad(prog.File, "give --resume to go on, or --anew to draw it all from the beginning",
			"this job broke off after %d strokes", state.Drawn)
	}
	return nil
}

// begun reports whether the journal of a program proves that something of it was
// drawn.
func (k keeper) begun(s terminal.Streams, prog Program, m profiles.Machine) bool {
	state, err := journals.Look([]journals.Program{prog.lying(s, m)})
	return err == nil && (state.Done && !state.Sent || state.Drawn > 0)
}

// lying returns the program as it lies beside its journal.
func (prog Program) lying(s terminal.Streams, m profiles.Machine) journals.Program {
	return journals.Program{File: s.Path(prog.File), Job: prog.OnMachine(m)}
}

// open puts the journal of a program into the options; done reports that all of the
// program is drawn already. On resuming it tells the person how far the job came.
func (k keeper) open(s terminal.Streams, first bool, prog Program, m profiles.Machine, opt *device.Options) (done bool, err error) {
	if !k.kept {
		return false, nil
	}
	_, missing := os.Stat(journals.Path(s.Path(prog.File)))
	j, err := prog.lying(s, m).Open(k.resume, first)
	if err != nil {
		return false, err
	}
	if !k.resume || !first && missing != nil {
		opt.Journal = j
		return false, nil
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
	if j.Sent() && n == 0 {
		fmt.Fprintf(s.Err, "%s was sent to its end, and the machine answered for all of it, but it does not say where its pen went: look at the cloth; --anew draws all of it again\n", prog.File)
		return true, j.Close()
	}
	fmt.Fprintf(s.Err, "%d strokes are proved drawn; up to %d that were sent, %.0f mm, are drawn again\n", j.Drawn(), n, j.AgainMM())
	if !known {
		fmt.Fprintln(s.Err, "the sender did not live to say how it left the machine; a few more strokes may have been begun if the computer lost its power")
	}
	opt.Journal = j
	return false, nil
}
