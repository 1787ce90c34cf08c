package main

import (
	_ "embed"
	"fmt"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/link"
	"weftplot/cmd/weftplot/sending"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
	"weftplot/plot/report"
)

// The demo's design: an island workshop's lighthouse mat, with one word of
// lettering so that mirroring shows.
//
//go:embed demo/lighthouse-mat.svg
var demoDesign []byte

// The names of an invented class, two of whom want a smaller mat.
//
//go:embed demo/class.csv
var demoClass []byte

const demoClassName = "class.csv"

// classSettings are those of a dozen small mats for a class, on one width of cloth.
func classSettings() job.Settings {
	return job.Settings{Design: demoName, Width: 8 * paths.MMPerInch, Border: "3", Margin: "2in", Names: demoClassName, Turn: true}
}

const demoName = "lighthouse-mat.svg"

// demoSettings are those of a first rug: a double border, counted in holes.
func demoSettings() job.Settings {
	return job.Settings{Design: demoName, Width: 18 * paths.MMPerInch, Border: "3"}
}

func demoCommand(s terminal.Streams) *cli.Command {
	return newCommand("demo", "", "the built-in demo pattern through the whole job, drawn by the built-in simulated plotter",
		func(c *cli.Context) error { return runDemo(c, s) },
		&cli.StringFlag{Name: "out", Usage: "`DIR` of the job folder", Value: "demo-job"},
		&cli.Float64Flag{Name: "sim-speed", Usage: "how many times faster than life the simulated plotter runs", Value: 100},
		&cli.BoolFlag{Name: "large", Usage: "a runner larger than the machine, on cloth that is moved between three loads and found again"},
		&cli.BoolFlag{Name: "class", Usage: "a dozen small mats for a class, on one cloth, each with a name"},
		replaceFlag(),
	)
}

// readDemo reads the files of the demo, which are built in.
func readDemo(name string, _ int) ([]byte, error) {
	if name == demoClassName {
		return demoClass, nil
	}
	return demoDesign, nil
}

func runDemo(c *cli.Context, s terminal.Streams) error {
	if c.Bool("large") {
		if c.Bool("class") {
			return fault.Bad("--large", "leave out one of the two", "the demo draws a class's mats or a large runner")
		}
		return runLarge(c, s)
	}
	quiet := c.Bool("quiet") || c.Bool("json")
	bar := terminal.NewProgress(s, quiet)
	settings := demoSettings()
	if c.Bool("class") {
		settings = classSettings()
	}
	made, err := makeJob(c.Context, readDemo, settings, bar)
	bar.Done()
	if err != nil {
		return err
	}
	out := c.String("out")
	if err := writeFolder(c, s, demoName, out, made.files); err != nil {
		return err
	}
	if !c.Bool("json") {
		summarize(s, made.report)
		fmt.Fprintf(s.Out, "\nDrawing it on the simulated plotter, %.0f times as fast as life.\n", c.Float64("sim-speed"))
	}
	results, err := drawDemo(c, s, made.job, bar)
	if err != nil {
		return err
	}
	if c.Bool("json") {
		return s.WriteJSON(struct {
			Folder string         `json:"folder"`
			Report report.Report  `json:"report"`
			Sent   []sending.Sent `json:"sent"`
		}{out, made.report, results})
	}
	for _, r := range results {
		sending.PrintSent(s, r)
	}
	if kit := made.job.Kit; kit != nil {
		fmt.Fprintf(s.Out, "%d copies drawn in %d loads\n", len(kit.Copies), len(made.job.Loads))
	}
	fmt.Fprintf(s.Out, "\nLook into %s:\n", out)
	for _, f := range []struct{ name, what string }{
		{"drawn.svg", "the back of the rug as the pen draws it, mirrored"},
		{"rug.svg", "the same from the front, as the finished rug shows it"},
		{"sheet.txt", "one page for the person at the frame"},
		{made.job.PenRuns[0].File, "the program"},
	} {
		fmt.Fprintf(s.Out, "  %-17s %s\n", f.name, f.what)
	}
	return nil
}

// drawDemo draws the job of the demo on the simulated plotter.
func drawDemo(c *cli.Context, s terminal.Streams, j plot.Job, bar *terminal.Progress) ([]sending.Sent, error) {
	machine := j.Inputs.Machine
	line, err := link.Open(link.SimPort, machine, c.Float64("sim-speed"))
	if err != nil {
		return nil, err
	}
	defer line.Close()
	var results []sending.Sent
	for _, run := range j.PenRuns {
		prog := sending.Program{
			Program: jobfolder.Program{File: filepath.Join(c.String("out"), run.File), Pen: run.Pen.Name, Text: run.Text, Program: run.Program},
			Want:    run.OnCloth(), Within: float64(j.Settings.Tolerance),
		}
		r, err := sending.SendOver(c.Context, line, prog, machine, device.Options{}, bar, s.Signals)
		if err != nil {
			return nil, err
		}
		results = append(results, r)
	}
	return results, nil
}
