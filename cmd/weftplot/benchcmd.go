package main

import (
	"cmp"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/bench"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths/fault"
	"weftplot/plot/job"
)

func benchCommand(s terminal.Streams) *cli.Command {
	return &cli.Command{
		Name:      "bench",
		Usage:     "the whole job as a page in the browser",
		ArgsUsage: "[DESIGN or JOB]",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "dir", Usage: "`DIR` below which each job has its folder", Value: "."},
			&cli.StringFlag{Name: "listen", Usage: "`ADDRESS:PORT` of this computer alone to serve on; port 0 takes a free one", Value: "127.0.0.1:0"},
			&cli.StringFlag{Name: "machine", Usage: "`NAME` of the machine that new jobs begin with, or a file of its profile", DefaultText: "the one of this computer, or the last"},
			&cli.BoolFlag{Name: "no-open", Usage: "print the address, and open no browser"},
		},
		Action: func(c *cli.Context) error {
			if c.NArg() > 1 {
				return fault.Bad("", "weftplot bench "+c.Command.ArgsUsage, "bench takes one design or job, and %d arguments were given", c.NArg())
			}
			open := c.Args().First()
			if open != "" {
				open = s.Path(open)
			}
			dir, err := filepath.Abs(s.Path(c.String("dir")))
			if err != nil {
				return err
			}
			machine, err := machineWanted(c, s)
			if err != nil {
				return err
			}
			if job.IsFile(machine.Said) {
				machine.Said = s.Path(machine.Said)
			}
			return bench.Serve(c.Context, bench.Options{
				Listen: c.String("listen"), Dir: dir, Open: open, NoBrowser: c.Bool("no-open"),
				Machine: cmp.Or(machine.Said, machine.Here),
				Names:   flagOf, Out: s.Out, Err: s.Err,
			})
		},
	}
}
