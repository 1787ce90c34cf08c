package main

import (
	_ "embed"
	"fmt"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"weftplot/device"
	"weftplot/plot"
)

// The demo's design: an island workshop's lighthouse mat, with one word of
// lettering so that mirroring shows.
//
//go:embed demo/lighthouse-mat.svg
var demoDesign []byte

const demoName = "lighthouse-mat.svg"

// demoSettings are those of a first rug: a double border, counted in holes.
func demoSettings() plot.Settings {
	s := plot.Defaults()
	s.Design, s.Width, s.Border = demoName, 457.2, "3" // 18 in
	return s
}

func demoCommand(s streams) *cli.Command {
	return &cli.Command{
		Name:  "demo",
		Usage: "the built-in demo pattern through the whole job, drawn by the built-in simulated plotter",
		Flags: append([]cli.Flag{
			&cli.StringFlag{Name: "out", Usage: "`DIR` of the job folder", Value: "demo-job"},
			&cli.Float64Flag{Name: "sim-speed", Usage: "how many times faster than life the simulated plotter runs", Value: 100},
		}, outputFlags()...),
		Action: func(c *cli.Context) error { return runDemo(c, s) },
	}
}

func runDemo(c *cli.Context, s streams) error {
	quiet := c.Bool("quiet") || c.Bool("json")
	bar := newProgress(s, quiet)
	job, files, err := makeJob(c.Context, func(string) ([]byte, error) { return demoDesign, nil }, demoSettings(), bar)
	bar.Done()
	if err != nil {
		return err
	}
	out := c.String("out")
	if err := plot.WriteFolder(s.path(out), files); err != nil {
		return err
	}
	if !c.Bool("json") {
		summarize(s.out, job)
		fmt.Fprintf(s.out, "\nDrawing it on the simulated plotter, %.0f times as fast as life.\n", c.Float64("sim-speed"))
	}
	line, err := openLink(simPort, job.Inputs.Machine, c.Float64("sim-speed"))
	if err != nil {
		return err
	}
	defer line.Close()
	var results []sent
	for i, run := range job.Runs {
		l := load{file: filepath.Join(out, job.FileName(i)), pen: run.Pen.Name, text: run.Text, program: run.Program,
			want: run.Asked, within: float64(job.Settings.Tolerance)}
		r, err := sendOver(c.Context, line, l, job.Inputs.Machine, device.Options{}, bar)
		if err != nil {
			return err
		}
		results = append(results, r)
	}
	if c.Bool("json") {
		return writeJSON(s.out, struct {
			Folder string      `json:"folder"`
			Report plot.Report `json:"report"`
			Sent   []sent      `json:"sent"`
		}{out, job.Report(fileNames(files)), results})
	}
	for _, r := range results {
		printSent(s, r)
	}
	fmt.Fprintf(s.out, "\nLook into %s:\n", out)
	for _, f := range []struct{ name, what string }{
		{"drawn.svg", "the back of the rug as the pen draws it, mirrored"},
		{"rug.svg", "the same from the front, as the finished rug shows it"},
		{"sheet.txt", "one page for the person at the frame"},
		{job.FileName(0), "the program"},
	} {
		fmt.Fprintf(s.out, "  %-12s %s\n", f.name, f.what)
	}
	return nil
}

func fileNames(files []plot.File) []string {
	names := make([]string, len(files))
	for i, f := range files {
		names[i] = f.Name
	}
	return names
}
