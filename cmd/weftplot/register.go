package main

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/plot"
	"weftplot/profiles"
)

func registerCommand(s streams) *cli.Command {
	return &cli.Command{
		Name:  "register",
		Usage: "fits the marks found on the stretched backing, and says how the cloth lies",
		Flags: append([]cli.Flag{
			&cli.StringFlag{Name: "check", Usage: "`FILE` of the marks to fit and report on"},
			&cli.StringFlag{Name: "backing", Usage: "`NAME` of the backing, or a file of its profile", Value: "monks-cloth"},
			&cli.StringFlag{Name: "count", Usage: "channels counted on the stretched backing, such as `12x13/in`"},
			&cli.StringFlag{Name: "fit", Usage: "how the marks are fitted: " + strings.Join(weave.Models, ", "), Value: weave.Auto},
			&cli.StringFlag{Name: "across", Usage: "channels counted across over a length, such as `48/4in`"},
			&cli.StringFlag{Name: "along", Usage: "channels counted along over a length, such as `52/4in`"},
			&cli.StringFlag{Name: "width", Usage: "finished `LENGTH` across of the rug the count is for"},
			&cli.StringFlag{Name: "height", Usage: "finished `LENGTH` along of the rug the count is for"},
		}, outputFlags()...),
		Action: func(c *cli.Context) error {
			if c.Args().Present() {
				return paths.Bad("", "weftplot register --check marks.toml", "register does not know %q", c.Args().First())
			}
			switch name := c.String("check"); {
			case name != "":
				return checkMarks(c, s, name)
			case c.IsSet("across") || c.IsSet("along"):
				return countWeave(c, s)
			}
			return paths.Bad("--check", "weftplot register --check marks.toml, or weftplot register --across 48/4in --along 52/4in",
				"say which file of marks to check, or what was counted")
		},
	}
}

func checkMarks(c *cli.Context, s streams, name string) error {
	backing, _, err := loadProfile(&kept{read: from(s.dir)}, profiles.BackingKind, c.String("backing"), profiles.ParseBacking)
	if err != nil {
		return err
	}
	count := backing.Count
	if text := c.String("count"); text != "" {
		if count, err = paths.ParseCount(text); err != nil {
			return plot.AtFlag("count", err)
		}
	}
	data, err := readInput(s.path(name))
	if err != nil {
		return err
	}
	marks, err := weave.ParseMarks(name, data)
	if err != nil {
		return err
	}
	reg, err := weave.Fit(marks, weave.FitOptions{Model: c.String("fit"), Expect: count})
	if err != nil {
		return plot.AtFile(name, err)
	}
	r := plot.NewRegistrationReport(reg.Report())
	if c.Bool("json") {
		return writeJSON(s.out, r)
	}
	fmt.Fprintf(s.out, "%s: %d marks, fitted as %s\n", name, len(r.Marks), r.Model)
	fmt.Fprintf(s.out, "off the fit     %.2f mm rms, %.2f mm at most (%.2f channels)\n", r.RMS, r.Max, r.MaxChannels)
	if r.LeaveOneOut != nil {
		fmt.Fprintf(s.out, "between marks   about %.2f mm, each mark left out in turn\n", *r.LeaveOneOut)
	} else {
		fmt.Fprintf(s.out, "between marks   not known: there is no mark to spare\n")
	}
	fmt.Fprintf(s.out, "count           %s at the centre, %s to %s over the marks\n", r.Count, r.CountLow, r.CountHigh)
	fmt.Fprintf(s.out, "skew and bow    %.2f %% and %.2f %% (%.2f %% along the cloth)\n", r.SkewPercent, r.BowPercent, r.BowAlong)
	for _, w := range r.Words {
		fmt.Fprintf(s.out, "%s\n", w)
	}
	for _, w := range reg.Report().Warnings {
		fmt.Fprintf(s.err, "look at: %s\n", w.Message)
	}
	return nil
}
