package main

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/paths/weave/cloth/models"
	"weftplot/plot/disk"
	"weftplot/plot/job"
	"weftplot/plot/report"
)

func registerCommand(s terminal.Streams) *cli.Command {
	return newCommand("register", "[DIR]", "steers the pen to marks on the stretched backing, fits them, and says how the cloth lies",
		func(c *cli.Context) error {
			if c.IsSet("load") {
				return findPoints(c, s)
			}
			if c.Args().Present() {
				return fault.Bad("", "weftplot register --check marks.toml", "register does not know %q", c.Args().First())
			}
			if _, err := simSpeed(c); err != nil {
				return err
			}
			switch name := c.String("check"); {
			case name != "" && c.IsSet("port"):
				return fault.Bad("--check", "leave out one of the two", "marks are either found with --port or checked")
			case c.IsSet("port"):
				return findMarks(c, s)
			case name != "":
				return checkMarks(c, s, name)
			case c.IsSet("across") || c.IsSet("along"):
				return countWeave(c, s)
			}
			return fault.Bad("--port", "weftplot register --port PORT --out marks.toml, weftplot register --check marks.toml, or weftplot register --across 48/4in --along 52/4in",
				"say where the machine is that finds the marks, which file of marks to check, or what was counted")
		},
		&cli.StringFlag{Name: "port", Usage: "find the marks with the machine at this `PORT`, by keys on a terminal, else by lines from the standard input (help lists them); sim is the built-in simulated plotter"},
		&cli.IntFlag{Name: "load", Usage: "find the points of this `LOAD` of the job folder DIR, whose rug is drawn in several"},
		&cli.StringFlag{Name: "out", Usage: "`FILE` that the marks go to, each as it is taken"},
		&cli.StringFlag{Name: "machine", Usage: "`NAME` of the machine, or a file of its profile", Value: "practice"},
		&cli.BoolFlag{Name: "resume", Usage: "go on with the marks in the file"},
		&cli.BoolFlag{Name: "anew", Usage: "write over the marks in the file"},
		&cli.Float64Flag{Name: "sim-speed", Usage: "how many times faster than life the simulated plotter runs", Value: 60},
		&cli.StringFlag{Name: "check", Usage: "`FILE` of the marks to fit and report on"},
		&cli.StringFlag{Name: "backing", Usage: "`NAME` of the backing, or a file of its profile", Value: "monks-cloth"},
		&cli.StringFlag{Name: "count", Usage: "channels counted on the stretched backing, such as `12x13/in`", DefaultText: "the backing's"},
		&cli.StringFlag{Name: "fit", Usage: "how the marks are fitted: " + strings.Join(models.Names, ", "), Value: models.Auto},
		&cli.StringFlag{Name: "across", Usage: "channels counted across over a length, such as `48/4in`", DefaultText: "by the marks"},
		&cli.StringFlag{Name: "along", Usage: "channels counted along over a length, such as `52/4in`", DefaultText: "by the marks"},
		&cli.StringFlag{Name: "width", Usage: "finished `LENGTH` across of the rug", DefaultText: "by the marks"},
		&cli.StringFlag{Name: "height", Usage: "finished `LENGTH` along of the rug", DefaultText: "by the marks"},
	)
}

func checkMarks(c *cli.Context, s terminal.Streams, name string) error {
	count, err := expectedCount(c, s)
	if err != nil {
		return err
	}
	data, err := disk.Read(s.Path(name), disk.MaxText)
	if err != nil {
		return err
	}
	marks, err := cloth.ParseMarks(name, data)
	if err != nil {
		return err
	}
	size, err := sizeFlags(c, count)
	if err != nil {
		return err
	}
	opt := cloth.FitOptions{Model: c.String("fit"), Expect: count}
	if size[0] > 0 && size[1] > 0 {
		opt.Extent = weave.Place{Across: float64(size[0]) * count.Across, Along: float64(size[1]) * count.Along}
	}
	reg, err := cloth.Fit(marks, opt)
	if err != nil {
		return fault.At(name, err)
	}
	return printFit(c, s, name, reg)
}

// expectedCount is the count that was made by hand, else the backing's.
func expectedCount(c *cli.Context, s terminal.Streams) (paths.Count, error) {
	if text := c.String("count"); text != "" {
		count, err := paths.ParseCount(text)
		return count, fault.At("--count", err)
	}
	backing, err := job.ReadBacking(s.Place().Read, c.String("backing"))
	return backing.Count, err
}

// printFit says how the marks in a file fit and how the cloth lies.
func printFit(c *cli.Context, s terminal.Streams, name string, reg cloth.Registration) error {
	r := report.NewRegistration(reg.Report())
	for _, w := range reg.Report().Warnings {
		s.LookAt(w.Message)
	}
	if c.Bool("json") {
		return s.WriteJSON(r)
	}
	fmt.Fprintf(s.Out, "%s: %d marks, fitted as %s\n", name, len(r.Marks), r.Model)
	fmt.Fprintf(s.Out, "off the fit     %.2f mm rms, %.2f mm at most (%.2f channels)\n", r.RMS, r.Max, r.MaxChannels)
	if r.LeaveOneOut != nil {
		fmt.Fprintf(s.Out, "between marks   about %.2f mm, each mark left out in turn\n", *r.LeaveOneOut)
	} else {
		fmt.Fprintf(s.Out, "between marks   not known: there is no mark to spare\n")
	}
	fmt.Fprintf(s.Out, "error to expect %.2f channels at the worst place, or less, in 2 of 3 cloths like this, and %.2f in 95 of 100\n", r.LikelyError, r.ExpectedError)
	if r.Next != nil && r.ExpectedError > cloth.EnoughError {
		fmt.Fprintf(s.Out, "next mark       channel %g across, %g along would bring the %.2f to about %.2f\n", r.Next.Across, r.Next.Along, r.ExpectedError, r.Next.Then)
	}
	fmt.Fprintf(s.Out, "count           %s at the centre, %s to %s over the marks\n", r.Count, r.CountLow, r.CountHigh)
	fmt.Fprintf(s.Out, "skew and bow    %.2f %% and %.2f %% (%.2f %% along the cloth)\n", r.SkewPercent, r.BowPercent, r.BowAlong)
	for _, w := range r.Words {
		fmt.Fprintf(s.Out, "%s\n", w)
	}
	return nil
}
