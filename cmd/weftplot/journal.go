package main

import (
	"fmt"
	"os"

	"weftplot/device"
	"weftplot/paths"
	"weftplot/plot"
	"weftplot/profiles"
)

// keeper opens the journals beside the programs.
type keeper struct{ resume, anew bool }

// open puts the journal of a load into the options; done reports that the
// journal says that all of it is drawn. The simulated plotter starts with empty
// cloth every time and keeps no journal. A job that broke off is not begun anew
// unless that is asked for: a line drawn twice blots.
func (k keeper) open(s streams, port string, l load, m profiles.Machine, opt *device.Options) (done bool, err error) {
	if port == simPort {
		if k.resume {
			return false, paths.Bad("--resume", "send the job without --resume", "the simulated plotter has new cloth every time, so there is nothing to resume")
		}
		return false, nil
	}
	path := s.path(l.file) + plot.JournalExt
	if k.resume {
		return k.goOn(s, path, l, m, opt)
	}
	if !k.anew {
		if err := brokenOff(path, l, m); err != nil {
			return false, err
		}
	}
	opt.Journal, err = device.StartJournal(path, l.job(m))
	if err != nil {
		err = fmt.Errorf("the journal %s cannot be written: %w", path, err)
	}
	return false, err
}

// goOn opens the journal of a job that broke off and says what it means.
func (k keeper) goOn(s streams, path string, l load, m profiles.Machine, opt *device.Options) (done bool, err error) {
	j, err := device.ResumeJournal(path, l.job(m))
	if err != nil {
		return false, err
	}
	if j.Damaged {
		fmt.Fprintf(s.err, "look at: the journal is damaged; what could be read of it is used\n")
	}
	if j.Done() {
		fmt.Fprintf(s.err, "%s is drawn already\n", l.file)
		return true, j.Close()
	}
	if n, known := j.Again(); known {
		fmt.Fprintf(s.err, "%d strokes are proved drawn; %d may be drawn again\n", j.Drawn(), n)
	} else {
		fmt.Fprintf(s.err, "%d strokes are proved drawn; the sender did not live to say how many more were begun\n", j.Drawn())
	}
	opt.Journal = j
	return false, nil
}

// brokenOff refuses to begin a job anew whose journal tells that it broke off.
func brokenOff(path string, l load, m profiles.Machine) error {
	if _, err := os.Stat(path); err != nil {
		return nil // there is none
	}
	j, err := device.ResumeJournal(path, l.job(m))
	if err != nil {
		return nil // it is another program's, or another machine's
	}
	defer j.Close()
	if j.Done() || j.Drawn() == 0 {
		return nil
	}
	return paths.Bad(l.file, "give --resume to go on, or --anew to draw it all from the beginning",
		"this job broke off after %d strokes", j.Drawn())
}
