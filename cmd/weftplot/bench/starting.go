package bench

import (
	"context"
	"path/filepath"

	"weftplot/cmd/weftplot/bench/engine"
	"weftplot/cmd/weftplot/bench/folder"
	"weftplot/cmd/weftplot/bench/requests"
	"weftplot/cmd/weftplot/link"
	"weftplot/device"
	"weftplot/paths/fault"
	"weftplot/plot/jobfolder"
	"weftplot/plot/language"
	"weftplot/profiles"
)

// start sets the machine to work. It returns once that is decided; the work
// itself goes on, whatever becomes of the page.
func (b *bench) start(do, port string, of part) error {
	j, err := b.free(do, port, of)
	if err != nil {
		return err
	}
	programs, m, err := toSend(b.ctx, j.dir, port, of)
	if err != nil {
		return err
	}
	if err := halfOfPart(do, programs, m); err != nil {
		return err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if err := b.mayStart(do, port); err != nil {
		return err
	}
	if b.job != j {
		return engine.ErrSuperseded
	}
	ctx, cancel := context.WithCancel(b.ctx)
	r := &run{do: do, port: port, keys: make(chan device.Key, 16), cancel: cancel, goOn: make(chan struct{}, 1), answers: make(chan bool, 1), programs: programs, machine: m}
	for _, p := range programs {
		next := j.plannedOf(p, m)
		r.plan = append(r.plan, next)
		r.totalMM += next.mm
		r.total += next.strokes
	}
	b.run, b.last = r, outcome{number: b.last.number}
	b.memory.ChoosePort(port)
	b.touch()
	b.work.Go(func() {
		defer cancel()
		text, err := b.carryOut(ctx, r, j)
		b.mu.Lock()
		defer b.mu.Unlock()
		b.run = nil
		b.last = ended(do, text, err, b.last.number+1)
		if err == nil && j.inLoads() && b.last.word == wordDrawn {
			b.last.word, b.last.text = j.loadDrawn(programs, text)
		}
		b.touch()
	})
	return nil
}

// free returns the job on the bench if that part of it may be begun.
func (b *bench) free(do, port string, of part) (*task, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if err := b.mayStart(do, port); err != nil {
		return nil, err
	}
	return b.job, b.job.waits(of)
}

// toSend reads the programs of a job folder, as they are sent: the files of the
// folder must belong together, the machine must understand them and reach what
// they draw, and it must be one that can be at the port.
func toSend(ctx context.Context, dir, port string, of part) ([]jobfolder.Program, profiles.Machine, error) {
	programs, m, err := jobfolder.Place(dir).ReadFolder(ctx, dir, jobfolder.Wanted{})
	if err != nil {
		return nil, m, err
	}
	if err := suits(port, m); err != nil {
		return nil, m, err
	}
	if programs, err = of.programs(programs, m); err != nil {
		return nil, m, err
	}
	for _, p := range programs {
		if err := language.Judge(p.Program, m).Refused(filepath.Base(p.File), false); err != nil {
			return nil, m, err
		}
	}
	return programs, m, nil
}

// suits refuses a real port for a machine that is only simulated.
func suits(port string, m profiles.Machine) error {
	if link.Suits(port, m) {
		return nil
	}
	return fault.Bad("port", "choose the port sim to learn on, or on the step The machine the machine that is on this port", "machine %s is only simulated, and %s is a real port", m.Name, port)
}

// mayStart refuses what must not be begun; b.mu is held.
func (b *bench) mayStart(do, port string) error {
	switch {
	case b.run != nil:
		return requests.ErrUsed
	case b.steer != nil:
		return fault.Bad("", "leave off looking for marks first", "the pen is being steered by hand")
	case b.job == nil:
		return fault.Bad("", "choose a drawing first", "there is no drawing yet")
	case !b.job.settings.HasMachine():
		return errNoMachine
	case b.job.overtaken:
		return errOvertaken(b.job.dir)
	case !b.job.whole || b.wanted != b.job:
		return fault.Bad("", "wait a moment", "the program is still being written")
	case port == "":
		return fault.Bad("port", "choose a port on the step The machine", "no port is chosen")
	}
	if b.job.made == nil {
		return fault.Bad("", "wait a moment", "the program is still being written")
	}
	if b.job.inLoads() { // each load has a cloth of its own
		return nil
	}
	return mayInk(do, b.job.halfDrawn())
}

// mayInk refuses to draw on what is half drawn, and to resume what is not.
func mayInk(do string, half bool) error {
	switch do {
	case doDraw:
		if half {
			return fault.Bad("", "press Resume, or put a new cloth on first", "the cloth is half drawn: every line on it would be drawn twice")
		}
	case doResume:
		if !half {
			return fault.Bad("", "press Draw", "there is nothing to resume")
		}
	case doEdge, doRehearse:
	default:
		return fault.Bad("", "", "there is no such thing to do")
	}
	return nil
}

// newClothOn takes a half-drawn cloth off: its journals are put aside under
// another name, and the job can be drawn from its beginning.
func (b *bench) newClothOn() error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.run != nil || b.job == nil {
		return fault.Bad("", "stop the machine first", "the cloth cannot be changed now")
	}
	if err := folder.PutAside(b.job.dir); err != nil {
		return err
	}
	b.last = outcome{number: b.last.number}
	b.touch()
	b.surveyed = surveyed{}
	loads := b.job.inLoads()
	if !b.job.overtaken && (!loads || len(b.job.settings.MarksFor) == 0) {
		return nil
	}
	return b.make(func(j *task) error {
		j.overtaken = false
		if loads {
			j.settings.MarksFor = nil // they were those of the other cloth
		}
		return nil
	})
}
