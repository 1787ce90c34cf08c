package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/link"
	"weftplot/cmd/weftplot/sending"
	"weftplot/cmd/weftplot/survey"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/plot/disk"
	"weftplot/plot/job"
	"weftplot/profiles"
)

// findMarks steers the pen to marks on the stretched cloth. It writes the file after
// each mark, so that none is lost.
func findMarks(c *cli.Context, s terminal.Streams) error {
	out := c.String("out")
	if out == "" {
		return fault.Bad("--out", "give --out marks.toml", "say which file the marks go to")
	}
	name, err := machineAsked(c, s)
	if err != nil {
		return err
	}
	m, err := job.ReadMachine(s.Place().Read, name)
	if err != nil {
		return err
	}
	found, err := surveyOf(c, s, out)
	if err != nil {
		return err
	}
	reg, err := steerWith(c, s, m, out, func(keys *terminal.Keyboard, pilot *device.Pilot, keep func([]cloth.Mark) error) (cloth.Survey, error) {
		return survey.Steer(c.Context, s, keys, pilot, m.ParkAt(), found, keep)
	})
	if err != nil {
		return err
	}
	return printFit(c, s, out, reg)
}

// steerWith opens the machine and the keyboard, has marks taken and fits them. The file
// out is written after each.
func steerWith(c *cli.Context, s terminal.Streams, m profiles.Machine, out string, steer func(*terminal.Keyboard, *device.Pilot, func([]cloth.Mark) error) (cloth.Survey, error)) (cloth.Registration, error) {
	var none cloth.Registration
	keys, err := terminal.OpenKeyboard(s)
	if err != nil {
		return none, err
	}
	defer keys.Close()
	if c.String("port") != link.SimPort {
		sending.SayCautions(s.Err)
	}
	line, err := link.Open(c.String("port"), m, c.Float64("sim-speed"))
	if err != nil {
		return none, err
	}
	defer line.Close()
	pilot, err := device.NewPilot(c.Context, line, m)
	if err != nil {
		return none, err
	}
	found, err := steer(keys, pilot, func(marks []cloth.Mark) error { return keepMarks(s.Path(out), marks) })
	n := len(found.Marks())
	switch {
	case n == 1:
		fmt.Fprintf(s.Err, "the mark is in %s\n", out)
	case n > 1:
		fmt.Fprintf(s.Err, "the %d marks are in %s\n", n, out)
	}
	switch {
	case err != nil:
		return none, err
	case n == 0:
		return none, fault.Bad("", "steer to four places near the rug's corners at least, and mark each", "no mark was taken")
	}
	reg, err := found.Fit()
	return reg, fault.At(out, err)
}

// surveyOf begins a survey. Marks that are in the file already may be of a cloth that
// was stretched again since, so they are used, or overwritten, only when a flag says
// so.
func surveyOf(c *cli.Context, s terminal.Streams, out string) (cloth.Survey, error) {
	count, err := expectedCount(c, s)
	if err != nil {
		return cloth.Survey{}, err
	}
	g, err := weave.NewGrid(count)
	if err != nil {
		return cloth.Survey{}, fault.At("--count", err)
	}
	size, err := sizeFlags(c, count)
	if err != nil {
		return cloth.Survey{}, err
	}
	if (size[0] > 0) != (size[1] > 0) {
		return cloth.Survey{}, fault.Bad("--width", "give both, or neither", "the rug's size is its --width and its --height")
	}
	marks, err := marksBefore(c, s, out)
	if err != nil {
		return cloth.Survey{}, err
	}
	extent := g.PlaceOf(paths.Point{X: float64(size[0]), Y: float64(size[1])})
	return cloth.NewSurvey(g, c.String("fit"), extent, marks), nil
}

// marksBefore returns the marks that are in the file already, to go on with.
func marksBefore(c *cli.Context, s terminal.Streams, out string) ([]cloth.Mark, error) {
	if info, err := os.Stat(filepath.Dir(s.Path(out))); err != nil || !info.IsDir() {
		return nil, fault.Bad(out, "make the folder first", "there is no folder %s for the marks", filepath.Dir(out))
	}
	_, err := os.Stat(s.Path(out))
	switch {
	case c.Bool("resume"):
		data, err := disk.Read(s.Path(out), disk.MaxText)
		if err != nil {
			return nil, err
		}
		return cloth.ParseMarks(out, data)
	case !errors.Is(err, fs.ErrNotExist) && !c.Bool("anew"):
		return nil, fault.Bad(out, "give --resume to go on with its marks, --anew to find them anew, or another --out", "this file is there already")
	}
	return nil, nil
}

// keepMarks writes the marks; the file appears whole. Without marks there is
// none.
func keepMarks(path string, marks []cloth.Mark) error {
	if len(marks) == 0 {
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("the last mark is forgotten, but its file cannot be removed: %w", err)
		}
		return nil
	}
	if err := disk.Write(path, cloth.FormatMarks(marks)); err != nil {
		return fmt.Errorf("the marks cannot be written: %w", err)
	}
	return nil
}
