// Package sending sends programs from the command line: over a port or to the
// built-in simulated plotter, with a person's keys, changes of pens, and journals
// from which a job that broke off goes on. What goes over the wire is in package
// device; here is what a person sees and says.
package sending

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"weftplot/cmd/weftplot/link"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/jobfolder"
	"weftplot/plot/language"
	"weftplot/plot/motion"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Program is one program to be sent.
type Program struct {
	jobfolder.Program
	// Want is what is to be on the cloth; nil means what the program says.
	Want []paths.Stroke
	// Within is how far it may stray from that, mm.
	Within float64
}

// OnMachine returns the program as a job for machine m.
func (prog Program) OnMachine(m profiles.Machine) device.Job {
	return device.Job{Program: prog.Program.Program, Text: prog.Text, Machine: m, Marks: prog.Marks}
}

// Request says what is to be sent, over which line and how.
type Request struct {
	Programs []Program        // in their order
	Machine  profiles.Machine // that draws them
	Port     string           // [link.SimPort] is the built-in simulated plotter
	// SimSpeed is how many times faster than life the simulated plotter runs.
	SimSpeed float64
	// Resume goes on with a job that broke off, Anew draws one from its beginning.
	Resume, Anew bool
	// Journal lets the simulated plotter keep its cloth and a journal beside the
	// programs, so that it can be resumed. On a real port a journal is always kept.
	Journal bool
	// AtOnce draws without offering a rehearsal first.
	AtOnce bool
	// Again are the words of the command line that send this once more, without the
	// program's name in front.
	Again []string
	// Options say what all programs are sent with.
	Options device.Options
	// Quiet shows no progress; JSON prints nothing, as the results will be.
	Quiet, JSON bool
}

// sending is a request under way.
type sending struct {
	Request
	s       terminal.Streams
	keep    keeper
	link    *link.Link
	keys    *terminal.Keyboard // nil where nobody is at a terminal
	results []Sent
}

// Send sends the programs one after the other, with the person changing pens between
// them, and returns what became of each. What must not be sent is a [fault.Input] or
// a [fault.Fit], trouble with the line or the machine a [fault.Error] of a kind of
// package device, and a person's wish to leave is [context.Canceled].
func Send(ctx context.Context, s terminal.Streams, r Request) ([]Sent, error) {
	x := &sending{Request: r, s: s, keep: keeper{resume: r.Resume, anew: r.Anew, kept: r.Port != link.SimPort || r.Journal}}
	if err := x.check(); err != nil {
		return nil, err
	}
	var err error
	if x.keys, err = terminal.OpenKeyboard(s); err != nil {
		return nil, err
	}
	defer x.keys.Close()
	if x.Port != link.SimPort {
		SayCautions(s.Err, x.Programs[0].Cautions...)
	}
	if x.link, err = link.Open(x.Port, x.Machine, x.SimSpeed); err != nil {
		return nil, err
	}
	defer x.link.Close()
	if x.drawing() && !x.AtOnce && !x.Resume {
		if err := x.offer(ctx); err != nil {
			return nil, err
		}
	}
	if err := x.keepCloth(); err != nil {
		return nil, err
	}
	if err := x.all(ctx, x.Options); err != nil {
		return nil, err
	}
	if err := x.compareCloth(); err != nil {
		return nil, err
	}
	return x.results, nil
}

// drawing reports whether the pen is to come down.
func (x *sending) drawing() bool { return !x.Options.Edge && !x.Options.Rehearse }

// check refuses what must not be sent, before anything is, and says what to
// look at.
func (x *sending) check() error {
	if err := x.forThisPort(); err != nil {
		return err
	}
	if err := x.attended(); err != nil {
		return err
	}
	for _, prog := range x.Programs {
		if err := language.Judge(prog.Program.Program, x.Machine).Refused(prog.File, x.Options.AsItIs); err != nil {
			return err
		}
		if x.drawing() {
			if err := x.keep.refuse(x.s, prog, x.Machine); err != nil {
				return err
			}
		}
		if pace := motion.PaceOf(prog.Program.Program.Blocks, x.Machine); pace.Late > 0 {
			x.s.LookAt(fmt.Sprintf("%s: %d moves come later over this line than the machine could draw them; it will slow down or stand still%s",
				prog.File, pace.Late, fasterLine(pace)))
		}
	}
	return nil
}

// attended refuses a job that will wait for a person where nobody is at a terminal,
// before any of it is drawn.
func (x *sending) attended() error {
	if !x.drawing() || terminal.OnTerminal(x.s.In) {
		return nil
	}
	if n := len(x.Programs); n > 1 {
		var files, pens []string
		for _, p := range x.Programs {
			files, pens = append(files, p.File), append(pens, p.Pen)
		}
		return fault.Bad("", "send it from a terminal, or one program after the other, each with its pen put in before: "+strings.Join(files, ", "),
			"this job is drawn with %d pens (%s), and nobody is at a terminal to change them; nothing was sent", n, strings.Join(pens, ", "))
	}
	for _, b := range x.Programs[0].Program.Program.Blocks {
		if b.Kind == program.Pause {
			return fault.Bad(x.Programs[0].File, "send it from a terminal",
				"the program waits for a person on its way (M0, M1 or NR), and nobody is at a terminal to say that it may go on; nothing was sent")
		}
	}
	return nil
}

// forThisPort refuses to send a real machine what was made for the simulated one,
// whose reach and speeds are not its own.
func (x *sending) forThisPort() error {
	if link.Suits(x.Port, x.Machine) {
		return nil
	}
	prog := x.Programs[0]
	again := filepath.Join(filepath.Dir(prog.File), "job.toml")
	if _, err := os.Stat(x.s.Path(again)); err != nil {
		return fault.Bad(prog.File, `say which machine is at the port, such as --machine gantry-servo; "weftplot profiles" lists them`,
			"the program would be sent as to the simulated machine, %s, which is at --port %s only", x.Machine.Name, link.SimPort)
	}
	return fault.Bad(prog.File, fmt.Sprintf(`prepare it for the machine at the port, such as "weftplot prepare %s --machine gantry-servo"; "weftplot profiles" lists them`, again),
		"this job is for the simulated machine, %s, which is at --port %s only", x.Machine.Name, link.SimPort)
}

// all sends the programs in order, with the person changing pens between them.
func (x *sending) all(ctx context.Context, opt device.Options) error {
	pen := &penUser{s: x.s, keys: x.keys}
	opt.Pause = pen.ask
	if x.keys != nil {
		opt.Confirm = pen.confirm
	}
	drawing := !opt.Edge && !opt.Rehearse
	for i, prog := range x.Programs {
		opt.Journal = nil
		if drawing {
			done, err := x.keep.open(x.s, i == 0, prog, x.Machine, &opt)
			if err != nil {
				return err
			}
			if done {
				continue
			}
		}
		r, err := x.one(ctx, prog, opt, pen, i > 0 && drawing)
		if j := opt.Journal; j != nil {
			err = errors.Join(withNext(err, x.Again, j), j.Close())
		}
		if err != nil {
			return err
		}
		x.results = append(x.results, r)
		if !x.JSON {
			PrintSent(x.s, r)
		}
	}
	return nil
}

// one sends one program, after a change of pens if that is needed.
func (x *sending) one(ctx context.Context, prog Program, opt device.Options, pen *penUser, change bool) (Sent, error) {
	if change {
		if err := pen.change(ctx, prog.Pen); err != nil {
			if bad := opt.Journal.Untouched(); bad != nil {
				err = errors.Join(err, bad)
			}
			return Sent{}, err
		}
	}
	bar := terminal.NewProgress(x.s, x.Quiet)
	defer bar.Done()
	pen.bar = bar
	if x.keys != nil {
		h := newHelm(bar)
		defer x.keys.Hand(h.press)()
		opt.Keys = h.asked
		bar.Say("%s", helmKeys)
	}
	return SendOver(ctx, x.link, prog, x.Machine, opt, bar, x.s.Signals)
}

// fasterLine says which baud rate would do.
func fasterLine(p motion.Pace) string {
	if p.Baud == 0 {
		return ": prepare the job with a greater [tolerance]"
	}
	return fmt.Sprintf(": %d baud would do", p.Baud)
}
