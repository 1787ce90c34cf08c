package main

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/survey"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/paths/fault"
	"weftplot/paths/weave/cloth"
	"weftplot/plot/job"
)

// findPoints steers the pen to the points of one load of a rug that is drawn in several.
func findPoints(c *cli.Context, s terminal.Streams) error {
	dir, out := c.Args().First(), c.String("out")
	if err := findAsked(c, dir, out); err != nil {
		return err
	}
	l, err := s.Place().ReadLoad(dir, c.Int("load"))
	if err != nil {
		return err
	}
	m := l.Machine
	if c.IsSet("machine") {
		if m, err = job.ReadMachine(s.Place().Read, c.String("machine")); err != nil {
			return err
		}
	}
	marks, err := marksBefore(c, s, out)
	if err != nil {
		return err
	}
	found := cloth.NewSurveyOf(l.Grid, l.Fit, marks)
	reg, err := steerWith(c, s, m, out, func(keys *terminal.Keyboard, pilot *device.Pilot, keep func([]cloth.Mark) error) (cloth.Survey, error) {
		return survey.SteerLoad(c.Context, s, keys, pilot, m.ParkAt(), found, l.Load, keep)
	})
	if err != nil {
		return err
	}
	if err := l.Refused(reg); err != nil {
		return fault.At(out, err)
	}
	if err := printFit(c, s, out, reg); err != nil || c.Bool("json") {
		return err
	}
	fmt.Fprintf(s.Out, "next            weftplot prepare %s/job.toml --marks-for %d=%s --out %s\n", dir, l.N, out, dir)
	return nil
}

// findAsked refuses what the points of a load are not found by.
func findAsked(c *cli.Context, dir, out string) error {
	switch {
	case dir == "" || c.Args().Len() > 1:
		return fault.Bad("--load", "weftplot register DIR --load 2 --port PORT --out marks-2.toml", "say which one job folder the load is in")
	case c.String("port") == "":
		return fault.Bad("--port", `"weftplot ports" lists them; sim is the built-in simulated plotter`, "say which port the machine is on")
	case out == "":
		return fault.Bad("--out", "give --out marks-2.toml", "say which file the marks go to")
	}
	for _, other := range []string{"check", "across", "along", "width", "height", "count", "backing", "fit"} {
		if c.IsSet(other) {
			return fault.Bad("--"+other, "leave it out", "a load is found as its job folder says")
		}
	}
	_, err := simSpeed(c)
	return err
}
