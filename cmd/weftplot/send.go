package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"weftplot/device"
	"weftplot/device/sim"
	"weftplot/paths"
	"weftplot/plot"
	"weftplot/plot/program"
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
	file    string // for messages
	pen     string // empty when it is not known
	text    []byte
	program program.Program
	layers  []plot.LayerRun // as the job folder tells them
	// want is what is to be on the cloth; nil means what the program says.
	want []paths.Stroke
	// within is how far it may stray from that, mm.
	within float64
	// marks tells one registration of the cloth from another; "" for none.
	marks string
}

// job is what the load asks of machine m.
func (l load) job(m profiles.Machine) device.Job {
	return device.Job{Program: l.program, Text: l.text, Machine: m, Marks: l.marks}
}

// sent says what became of one program, and is the answer to --json.
type sent struct {
	File       string     `json:"file"`
	Strokes    int        `json:"strokes"`
	DrawMM     float64    `json:"draw_mm"`
	TimeS      float64    `json:"time_s"`
	PredictedS float64    `json:"predicted_s"`
	Rehearsal  bool       `json:"rehearsal"`
	Simulated  *simulated `json:"simulated,omitempty"`
}

// simulated compares the simulated plotter's cloth with what was asked.
type simulated struct {
	Asked       int     `json:"asked"`
	Drawn       int     `json:"drawn"`
	Matched     int     `json:"matched"`
	DeviationMM float64 `json:"deviation_mm"`
}

func runSend(c *cli.Context, s streams, name string) error {
	port := c.String("port")
	if port == "" {
		return paths.Bad("--port", `"weftplot ports" lists them; sim is the built-in simulated plotter`, "say which port the machine is on")
	}
	if f := c.Float64("sim-speed"); !(f > 0 && f <= 1000) {
		return paths.Bad("--sim-speed", "give a factor above 0 and up to 1000", "%g times as fast is not possible", f)
	}
	loads, m, err := findLoads(s, name, c.String("machine"))
	if err != nil {
		return err
	}
	pen := &penUser{s: s, quiet: c.Bool("quiet") || c.Bool("json")}
	keep := keeper{resume: c.Bool("resume"), anew: c.Bool("anew")}
	results := []sent{}
	drawing := !c.Bool("edge") && !c.Bool("rehearse")
	for i, l := range loads {
		if i > 0 && drawing {
			if err := pen.change(c.Context, l.pen); err != nil {
				return err
			}
		}
		opt := device.Options{Rehearse: c.Bool("rehearse"), Edge: c.Bool("edge"), Homed: c.Bool("homed"), Pause: pen.ask}
		if drawing {
			done, err := keep.open(s, port, l, m, &opt)
			if err != nil {
				return err
			}
			if done {
				continue
			}
		}
		r, err := sendOne(c.Context, s, l, m, port, c.Float64("sim-speed"), opt, c.Bool("quiet"))
		if opt.Journal != nil {
			err = errors.Join(err, opt.Journal.Close())
		}
		if err != nil {
			return err
		}
		results = append(results, r)
		if !c.Bool("json") {
			printSent(s, r)
		}
	}
	if c.Bool("json") {
		return writeJSON(s.out, results)
	}
	return nil
}

// sendOne opens the port, sends one program and compares, on the simulated
// plotter, what came onto the cloth with what was asked.
func sendOne(ctx context.Context, s streams, l load, m profiles.Machine, name string, factor float64, opt device.Options, quiet bool) (sent, error) {
	if broken := plot.BrokenLimits(l.program, m); len(broken) > 0 {
		return sent{}, paths.TooBig(l.file, `"weftplot preview --out" shows where; prepare the job for this machine`, "%s", broken[0].Message)
	}
	var port device.Port
	var server *sim.Server
	var err error
	if name == simPort {
		if server, err = sim.Serve(m, factor); err != nil {
			return sent{}, err
		}
		defer server.Close()
		port, err = server.Open()
	} else {
		port, err = device.Open(name, m.Serial)
	}
	if err != nil {
		return sent{}, err
	}
	defer port.Close()
	if pace := device.PaceOf(l.job(m)); pace.Late > 0 && !quiet {
		fmt.Fprintf(s.err, "look at: %d moves come later over this line than the machine could draw them; it will slow down or stand still%s\n", pace.Late, fasterLine(pace))
	}
	bar := newProgress(s, quiet)
	defer bar.Done()
	opt.Progress = func(p device.Progress) {
		bar.Step(words(p), int(p.DrawnMM), int(p.TotalMM))
	}
	out, err := device.Send(ctx, port, l.job(m), opt)
	bar.Done()
	r := sent{File: l.file, Strokes: out.Strokes, DrawMM: out.DrawnMM, TimeS: out.Seconds, PredictedS: out.Predicted, Rehearsal: opt.Rehearse || opt.Edge}
	if err != nil || server == nil {
		return r, err
	}
	want, within := l.want, l.within
	switch {
	case r.Rehearsal:
		want = nil
	case want == nil:
		want = l.program.Strokes()
	}
	rep := sim.Compare(want, server.Cloth().Strokes(), max(within, 0.05)+m.Step())
	r.Simulated = &simulated{rep.Wanted, rep.Drawn, rep.Matched, rep.Deviation}
	if !rep.Same() {
		return r, fmt.Errorf("the simulated plotter drew something else: %s", rep)
	}
	return r, nil
}

// fasterLine says which baud rate would do.
func fasterLine(p device.Pace) string {
	if p.Baud == 0 {
		return ": prepare the job with a greater --tolerance"
	}
	return fmt.Sprintf(": %d baud would do", p.Baud)
}

// words say what a job is at.
func words(p device.Progress) string {
	if p.State != device.Drawing {
		return p.State.String()
	}
	return fmt.Sprintf("stroke %d of %d, %s, %s left", p.Stroke, p.Strokes, p.Layer, plot.Minutes(p.SecondsLeft))
}

func printSent(s streams, r sent) {
	what := "drawn"
	if r.Rehearsal {
		what = "gone through with the pen up"
	}
	fmt.Fprintf(s.out, "%s: %s in %s, %s predicted\n", filepath.Base(r.File), what, plot.Minutes(r.TimeS), plot.Minutes(r.PredictedS))
	if r.Simulated != nil {
		fmt.Fprintf(s.out, "on the simulated plotter's cloth: %d of %d strokes as asked, none of them off by more than %.3f mm\n",
			r.Simulated.Matched, r.Simulated.Asked, r.Simulated.DeviationMM)
	}
}
