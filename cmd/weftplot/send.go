package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/urfave/cli/v2"

	"weftplot/device"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/job"
	"weftplot/plot/motion"
	"weftplot/plot/report"
	"weftplot/profiles"
)

func sendCommand(s streams) *cli.Command {
	return &cli.Command{
		Name:      "send",
		Usage:     "draws a program, or a job folder, over a serial line",
		ArgsUsage: "PROGRAM or DIR",
		Flags: append([]cli.Flag{
			&cli.StringFlag{Name: "port", Usage: "`PORT` of the machine; sim is the built-in simulated plotter"},
			&cli.StringFlag{Name: "machine", Usage: "`NAME` of the machine, or a file of its profile"},
			&cli.BoolFlag{Name: "resume", Usage: "go on with a job that broke off, after what its journal proves drawn"},
			&cli.BoolFlag{Name: "homed", Usage: "with --resume: the machine was just brought home, so it knows its place again"},
			&cli.BoolFlag{Name: "anew", Usage: "draw a job that broke off from its beginning"},
			&cli.BoolFlag{Name: "rehearse", Usage: "the whole job with the pen up"},
			&cli.BoolFlag{Name: "edge", Usage: "once round what will be drawn, with the pen up"},
			&cli.BoolFlag{Name: "yes", Usage: "draw at once, without the offer to rehearse first"},
			&cli.Float64Flag{Name: "sim-speed", Usage: "how many times faster than life the simulated plotter runs", Value: 60},
		}, outputFlags()...),
		Action: func(c *cli.Context) error {
			name, err := oneArgument(c, "a program or a job folder")
			if err != nil {
				return err
			}
			return runSend(c, s, name)
		},
	}
}

// load is one program to be sent.
type load struct {
	job.Program
	// want is what is to be on the cloth; nil means what the program says.
	want []paths.Stroke
	// within is how far it may stray from that, mm.
	within float64
}

// onMachine is what the load asks of machine m.
func (l load) onMachine(m profiles.Machine) device.Job {
	return device.Job{Program: l.Program.Program, Text: l.Text, Machine: m, Marks: l.Marks}
}

// sending is a "send" under way: what is sent, over which line, by whom.
type sending struct {
	s     streams
	loads []load
	m     profiles.Machine
	port  string
	keep  keeper
	opt   device.Options // what all of them are sent with
	quiet bool
	json  bool

	link    *link
	keys    *keyboard // nil where nobody is at a terminal
	results []sent
}

func runSend(c *cli.Context, s streams, name string) error {
	port := c.String("port")
	if port == "" {
		return fault.Bad("--port", `"weftplot ports" lists them; sim is the built-in simulated plotter`, "say which port the machine is on")
	}
	factor := c.Float64("sim-speed")
	if !(factor > 0 && factor <= 1000) {
		return fault.Bad("--sim-speed", "give a factor above 0 and up to 1000", "%g times as fast is not possible", factor)
	}
	programs, m, err := s.place().ReadFolder(name, c.String("machine"))
	if err != nil {
		return err
	}
	loads := make([]load, len(programs))
	for i, p := range programs {
		loads[i] = load{Program: p}
	}
	x := &sending{
		s: s, loads: loads, m: m, port: port, quiet: c.Bool("quiet"), json: c.Bool("json"),
		keep: keeper{resume: c.Bool("resume"), anew: c.Bool("anew")},
		opt:  device.Options{Rehearse: c.Bool("rehearse"), Edge: c.Bool("edge"), Homed: c.Bool("homed")},
	}
	if err := x.check(); err != nil {
		return err
	}
	if x.keys, err = openKeyboard(s); err != nil {
		return err
	}
	defer x.keys.Close()
	if port != simPort {
		sayCautions(s.err)
	}
	if x.link, err = openLink(port, m, factor); err != nil {
		return err
	}
	defer x.link.Close()
	if x.drawing() && !c.Bool("yes") && !x.keep.resume {
		if err := x.offer(c.Context); err != nil {
			return err
		}
	}
	if err := x.all(c.Context, x.opt); err != nil {
		return err
	}
	if x.json {
		return writeJSON(s.out, x.results)
	}
	return nil
}

// drawing reports whether the pen is to come down.
func (x *sending) drawing() bool { return !x.opt.Edge && !x.opt.Rehearse }

// check refuses what must not be sent, before anything is, and says what to
// look at.
func (x *sending) check() error {
	for _, l := range x.loads {
		if broken := report.BrokenLimits(l.Program.Program, x.m); len(broken) > 0 {
			return fault.TooBig(l.File, `"weftplot preview --out" shows where; prepare the job for this machine`, "%s", broken[0].Message)
		}
		if x.drawing() {
			if err := x.keep.refuse(x.s, x.port, l, x.m); err != nil {
				return err
			}
		}
		if pace := motion.PaceOf(l.Program.Program.Blocks, x.m); pace.Late > 0 {
			lookAt(x.s, fmt.Sprintf("%s: %d moves come later over this line than the machine could draw them; it will slow down or stand still%s",
				l.File, pace.Late, fasterLine(pace)))
		}
	}
	return nil
}

// all sends the programs in order, with the person changing pens between them.
func (x *sending) all(ctx context.Context, opt device.Options) error {
	pen := &penUser{s: x.s, keys: x.keys}
	opt.Pause = pen.ask
	drawing := !opt.Edge && !opt.Rehearse
	for i, l := range x.loads {
		opt.Journal = nil
		if drawing {
			done, err := x.keep.open(x.s, x.port, i == 0, l, x.m, &opt)
			if err != nil {
				return err
			}
			if done {
				continue
			}
		}
		r, err := x.one(ctx, l, opt, pen, i > 0 && drawing)
		if opt.Journal != nil {
			err = errors.Join(err, opt.Journal.Close())
		}
		if err != nil {
			return err
		}
		x.results = append(x.results, r)
		if !x.json {
			printSent(x.s, r)
		}
	}
	return nil
}

// one sends one program, after a change of pens if that is needed.
func (x *sending) one(ctx context.Context, l load, opt device.Options, pen *penUser, change bool) (sent, error) {
	if change {
		if err := pen.change(ctx, l.Pen); err != nil {
			return sent{}, err
		}
	}
	bar := newProgress(x.s, x.quiet)
	defer bar.Done()
	pen.bar = bar
	if x.keys != nil {
		h := newHelm(bar)
		defer x.keys.hand(h.press)()
		opt.Keys = h.asked
		bar.Say("%s", helmKeys)
	}
	return sendOver(ctx, x.link, l, x.m, opt, bar)
}

// fasterLine says which baud rate would do.
func fasterLine(p motion.Pace) string {
	if p.Baud == 0 {
		return ": prepare the job with a greater --tolerance"
	}
	return fmt.Sprintf(": %d baud would do", p.Baud)
}
