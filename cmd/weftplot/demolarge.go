package main

import (
	_ "embed"
	"errors"
	"fmt"
	"path/filepath"
	"strconv"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/link"
	"weftplot/cmd/weftplot/sending"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/paths"
	"weftplot/paths/weave/cloth"
	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
	"weftplot/plot/onecloth"
	"weftplot/plot/report"
)

// The design of the large demo: a runner for the workshop's quay.
//
//go:embed demo/quay-runner.svg
var demoRunner []byte

const demoRunnerName = "quay-runner.svg"

// largeSettings are those of a runner that takes three loads of the practice machine.
func largeSettings() job.Settings {
	return job.Settings{Design: demoRunnerName, Width: 400, Border: "3", Panels: true, MarksFor: map[string]string{}}
}

// A largeDemo is a rug in several loads on one simulated cloth.
type largeDemo struct {
	c        *cli.Context
	s        terminal.Streams
	settings job.Settings
	files    map[string][]byte // of marks, by name
	cloth    *onecloth.Cloth
	made     made
	sent     []sending.Sent
}

// runLarge draws a runner in three loads. Before each the cloth is laid anew, by chance,
// and found again by its points.
func runLarge(c *cli.Context, s terminal.Streams) error {
	const seed = 18 // the same cloth each time
	d := &largeDemo{c: c, s: s, settings: largeSettings(), files: map[string][]byte{}, cloth: onecloth.New(seed, onecloth.Usual)}
	if err := d.make(); err != nil {
		return err
	}
	for n := range d.made.job.Loads {
		d.cloth.Lay(d.made.job, false)
		if err := d.find(n + 1); err != nil {
			return err
		}
		if err := d.draw(n); err != nil {
			return err
		}
	}
	return d.judge()
}

// read reads the files of the demo: those built in, and marks that were found.
func (d *largeDemo) read(name string, _ int) ([]byte, error) {
	if data, ok := d.files[name]; ok {
		return data, nil
	}
	return demoRunner, nil
}

// make makes the job with the marks that there are, and writes its folder.
func (d *largeDemo) make() error {
	bar := terminal.NewProgress(d.s, d.c.Bool("quiet") || d.c.Bool("json"))
	made, err := makeJob(d.c.Context, d.read, d.settings, bar)
	bar.Done()
	if err != nil {
		return err
	}
	d.made = made
	return writeFolder(d.c, d.s, demoRunnerName, d.c.String("out"), made.files)
}

// find reads the points of a load as a person would, and makes its programs.
func (d *largeDemo) find(n int) error {
	marks := d.cloth.Find(d.made.job, false)
	name := fmt.Sprintf("marks-%d.toml", n)
	d.files[name] = cloth.FormatMarks(marks)
	d.settings.MarksFor[strconv.Itoa(n)] = name
	if err := d.make(); err != nil {
		return err
	}
	if n == 1 && !d.c.Bool("json") {
		summarize(d.s, d.made.report)
		fmt.Fprintf(d.s.Out, "\nDrawing it on the simulated plotter, %.0f times as fast as life.\n", d.c.Float64("sim-speed"))
	}
	load := d.made.job.Loads[n-1]
	d.say("load %d of %d: the cloth is laid anew, and found by %d of its %d points%s", n, len(d.made.job.Loads), len(marks), len(load.Points), expectedWords(load))
	return nil
}

// expectedWords say what error is expected where a load meets others, or all over one that
// meets none.
func expectedWords(l plot.Load) string {
	if load, _ := l.ToFind(); len(l.Meets) == 0 {
		return fmt.Sprintf("; error to expect all over it: %.2f channels", load.ErrorOver(l.Registration))
	}
	return fmt.Sprintf("; error to expect at the joints: %.2f channels", l.Expected)
}

func (d *largeDemo) say(format string, args ...any) {
	if !d.c.Bool("json") {
		fmt.Fprintf(d.s.Out, format+"\n", args...)
	}
}

// draw draws a load, by its number from 0, on the simulated plotter.
func (d *largeDemo) draw(n int) error {
	j := d.made.job
	machine := j.Inputs.Machine
	line, err := link.Open(link.SimPort, machine, d.c.Float64("sim-speed"))
	if err != nil {
		return err
	}
	defer line.Close()
	bar := terminal.NewProgress(d.s, d.c.Bool("quiet") || d.c.Bool("json"))
	for _, run := range j.Loads[n].PenRuns {
		prog := sending.Program{
			Program: jobfolder.Program{File: filepath.Join(d.c.String("out"), run.File), Pen: run.Pen.Name, Text: run.Text, Program: run.Program},
			Want:    run.OnCloth(), Within: float64(j.Settings.Tolerance),
		}
		r, err := sending.SendOver(d.c.Context, line, prog, machine, device.Options{}, bar, d.s.Signals)
		if err != nil {
			return err
		}
		d.sent = append(d.sent, r)
		if !d.c.Bool("json") {
			sending.PrintSent(d.s, r)
		}
	}
	var drawn []paths.Stroke
	drawn = append(drawn, line.Drawn()...)
	d.cloth.Draw(j, drawn)
	return nil
}

// judge judges the whole cloth.
func (d *largeDemo) judge() error {
	j := d.made.job
	v := d.cloth.Judge(j)
	if d.c.Bool("json") {
		err := d.s.WriteJSON(struct {
			Folder string           `json:"folder"`
			Report report.Report    `json:"report"`
			Sent   []sending.Sent   `json:"sent"`
			Cloth  onecloth.Verdict `json:"cloth"`
		}{d.c.String("out"), d.made.report, d.sent, v})
		if err != nil {
			return err
		}
	}
	d.say("\nThe whole cloth: %v.", v)
	if !v.Sound() {
		return errors.New("the loads do not make one rug")
	}
	d.say("\nLook into %s:", d.c.String("out"))
	for _, f := range []struct{ name, what string }{
		{"drawn.svg", "the whole back of the rug, with its loads and joints"},
		{"load-2/points.svg", "what to find before the second load"},
		{"load-2/drawn.svg", "the second load as the pen draws it"},
		{"sheet.txt", "where to lay the cloth for each load"},
	} {
		d.say("  %-17s %s", f.name, f.what)
	}
	return nil
}
