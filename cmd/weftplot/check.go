package main

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"weftplot/paths"
	"weftplot/plot"
)

func checkCommand(s streams) *cli.Command {
	return &cli.Command{
		Name:      "check",
		Usage:     "says what a design holds, what was ignored and why, and what cannot be worked at this size",
		ArgsUsage: "DESIGN",
		Flags:     append(jobFlags(), outputFlags()...),
		Action: func(c *cli.Context) error {
			name, err := oneArgument(c, "a design")
			if err != nil {
				return err
			}
			settings, dir, err := settingsFor(c, s, name)
			if err != nil {
				return err
			}
			in, settings, _, err := loadInputs(from(dir), settings)
			if err != nil {
				return err
			}
			r, err := plot.Check(in, settings)
			if err != nil {
				return err
			}
			if c.Bool("json") {
				return writeJSON(s.out, r)
			}
			printCheck(s, r)
			return nil
		},
	}
}

func printCheck(s streams, r plot.CheckReport) {
	p := func(format string, args ...any) { fmt.Fprintf(s.out, format+"\n", args...) }
	p("%s", r.Name)
	if r.HasSize {
		p("as drawn        %s x %s", paths.Length(r.SizeMM[0]).Both(), paths.Length(r.SizeMM[1]).Both())
	} else {
		p("as drawn        it states no size; its width is %.3f of its height", r.SizeMM[0]/max(r.SizeMM[1], 1e-9))
	}
	if r.FinishedMM != nil {
		p("as asked        %s x %s, %.4g x %.4g channels", paths.Length(r.FinishedMM[0]).Both(), paths.Length(r.FinishedMM[1]).Both(), r.FinishedChannels[0], r.FinishedChannels[1])
	}
	p("line work       %d strokes, %.2f m as drawn", r.Strokes, r.LengthMM/1000)
	for _, l := range r.Layers {
		p("  layer %-20s %5d strokes, %8.2f m", l.Name, l.Strokes, l.LengthMM/1000)
	}
	p("%s", r.Side)
	section := func(title string, lines []string) {
		if len(lines) == 0 {
			return
		}
		p("")
		p("%s", title)
		for _, l := range lines {
			p("  %s", l)
		}
	}
	var ignored, warnings []string
	for _, n := range r.Ignored {
		ignored = append(ignored, n.Message)
	}
	for _, w := range r.Warnings {
		warnings = append(warnings, w.Message)
	}
	section("Not drawn, or to be looked at in the file:", ignored)
	section("At this size:", warnings)
	if len(ignored)+len(warnings) == 0 {
		p("")
		p("Nothing was ignored and nothing stands against it.")
	}
}

func writeJSON(w interface{ Write([]byte) (int, error) }, v any) error {
	b, err := plot.Encode(v)
	if err != nil {
		return err
	}
	_, err = w.Write(b)
	return err
}
