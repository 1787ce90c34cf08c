package main

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"

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
	// want is what is to be on the cloth; nil means what the program says.
	want []paths.Stroke
	// within is how far it may stray from that, mm.
	within float64
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
	results := []sent{}
	for i, l := range loads {
		if i > 0 && !c.Bool("edge") && !c.Bool("rehearse") {
			if err := pen.change(c.Context, l.pen); err != nil {
				return err
			}
		}
		opt := device.Options{Rehearse: c.Bool("rehearse"), Edge: c.Bool("edge"), Pause: pen.ask}
		r, err := sendOne(c.Context, s, l, m, port, c.Float64("sim-speed"), opt, c.Bool("quiet"))
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
	bar := newProgress(s, quiet)
	defer bar.Done()
	opt.Progress = func(p device.Progress) {
		bar.Step(words(p), int(p.DrawnMM), int(p.TotalMM))
	}
	out, err := device.Send(ctx, port, device.Job{Program: l.program, Text: l.text, Machine: m}, opt)
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

// findLoads returns the programs of a job folder in order, or the one program
// that was named, with the machine they are for.
func findLoads(s streams, name, machine string) ([]load, profiles.Machine, error) {
	info, err := os.Stat(s.path(name))
	if err != nil {
		return nil, profiles.Machine{}, fileFault(name, err)
	}
	dir, loads := filepath.Dir(name), []load{{file: name}}
	if info.IsDir() {
		dir = name
		if loads, err = loadsOf(s, name); err != nil {
			return nil, profiles.Machine{}, err
		}
	}
	m, known, err := machineFor(s, dir, machine)
	if err != nil {
		return nil, m, err
	}
	for i := range loads {
		l := &loads[i]
		if l.text, err = readInput(s.path(l.file)); err != nil {
			return nil, m, err
		}
		if known {
			l.program, err = plot.ReadProgram(l.file, l.text, &m)
		} else {
			l.program, m, err = readProgram(s, l.file, l.text, "")
		}
		if err != nil {
			return nil, m, err
		}
		if err := speaks(l.file, l.program, m); err != nil {
			return nil, m, err
		}
	}
	return loads, m, nil
}

// loadsOf lists the programs that the report of a job folder names.
func loadsOf(s streams, dir string) ([]load, error) {
	name := filepath.Join(dir, "report.json")
	data, err := readInput(s.path(name))
	if err != nil {
		return nil, paths.Bad(dir, "name a program, or a folder that prepare made", "this is no job folder: it has no report.json")
	}
	var r plot.Report
	if err := json.Unmarshal(data, &r); err != nil || len(r.Pens) == 0 {
		return nil, paths.Bad(name, "prepare the job again", "the report cannot be read")
	}
	var loads []load
	for _, p := range r.Pens {
		loads = append(loads, load{file: filepath.Join(dir, filepath.Base(p.File)), pen: p.Pen})
	}
	return loads, nil
}

// machineFor returns the machine that was named, else the one that the job
// folder was made for; known is false when there is neither.
func machineFor(s streams, dir, machine string) (m profiles.Machine, known bool, err error) {
	k := &kept{read: from(s.dir)}
	if machine == "" {
		name := filepath.Join(dir, "job.toml")
		data, err := os.ReadFile(s.path(name))
		if err != nil {
			return m, false, nil // a program by itself
		}
		settings, err := plot.ParseSettings(name, data)
		if err != nil {
			return m, false, err
		}
		k.read = from(s.path(dir))
		var in plot.Inputs
		err = k.loadMachine(&in, &settings)
		return in.Machine, true, err
	}
	m, _, err = loadProfile(k, profiles.MachineKind, machine, profiles.ParseMachine)
	return m, true, err
}

// speaks refuses a program in a language that the machine does not read, and
// one that says itself that it was made for another machine.
func speaks(file string, p program.Program, m profiles.Machine) error {
	isGCode := p.Language == string(profiles.GCode)
	if isGCode != (m.Language == profiles.GCode) {
		return paths.Bad(file, "name the machine it was made for with --machine, or prepare the job for this one",
			"the program is in %s, and machine %s reads %s", p.Language, m.Name, m.Language)
	}
	if p.Machine != "" && p.Machine != m.Name {
		return paths.Bad(file, "name the machine it was made for with --machine, or prepare the job for this one",
			"the program was made for machine %s, not for %s", p.Machine, m.Name)
	}
	return nil
}

// penUser asks the person at the machine for a pen, or to go on.
type penUser struct {
	s     streams
	quiet bool
	lines *bufio.Scanner
}

// change asks for the next pen between two programs.
func (u *penUser) change(ctx context.Context, pen string) error {
	return u.ask(ctx, "put in the pen "+pen)
}

// ask says what to do and waits for a line. Where nobody can answer, that is an
// error: a job must not go on with the wrong pen.
func (u *penUser) ask(ctx context.Context, what string) error {
	if !onTerminal(u.s.in) {
		return paths.Bad("", "send one program after the other: each file of the job folder is a run of its own",
			"the job waits for you (%s), and nobody is at a terminal to say that it is done", strings.TrimSpace(what))
	}
	fmt.Fprintf(u.s.err, "%s, then press Enter: ", what)
	if u.lines == nil {
		u.lines = bufio.NewScanner(u.s.in)
	}
	answered := make(chan bool, 1)
	go func() { answered <- u.lines.Scan() }()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-answered:
		return nil
	}
}
