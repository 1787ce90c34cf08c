package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/dryrun"
	"weftplot/plot/figures"
	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
	"weftplot/plot/program"
	"weftplot/profiles"
)

func previewCommand(s terminal.Streams) *cli.Command {
	return newCommand("preview", "PROGRAM or DIR", "dry run of a job folder, or of any HP-GL or G-code program: picture, extents, strokes, lengths, time, feeds, broken limits",
		withArgument(s, "a program or a job folder", runPreview),
		&cli.StringFlag{Name: "out", Usage: "`FILE` of the picture, .svg or .png", DefaultText: "none"},
		&cli.StringFlag{Name: "machine", Usage: "`NAME` of the machine, or a file of its profile", DefaultText: "the job's"},
		&cli.IntFlag{Name: "from", Usage: "begin with stroke `N`", DefaultText: "the first"},
		&cli.IntFlag{Name: "to", Usage: "end with stroke `N`", DefaultText: "the last"},
		&cli.IntFlag{Name: "pen", Usage: "only what pen `N` of the program draws", DefaultText: "all"},
		&cli.StringFlag{Name: "ink", Usage: "`NAME` of the pen whose line is shown", Value: "fine-marker"},
		&cli.IntFlag{Name: "pixels", Usage: "width of a .png in `PIXELS`", Value: 1600},
	)
}

func runPreview(c *cli.Context, s terminal.Streams, name string) error {
	out := c.String("out")
	if err := canBePicture(s, out, name, c.Int("pixels")); err != nil {
		return err
	}
	part, err := partAsked(c)
	if err != nil {
		return err
	}
	machine, err := machineWanted(c, s)
	if err != nil {
		return err
	}
	bar := terminal.NewProgress(s, c.Bool("quiet"))
	defer bar.Done()
	bar.Begin("reading")
	programs, m, err := programsToPreview(c.Context, s, name, machine)
	if err != nil {
		return err
	}
	bar.Begin("running dry")
	var reviews []dryrun.Review
	for _, p := range programs {
		r, err := dryrun.New(p.program, m, part)
		if err != nil {
			return fault.At(p.file, err)
		}
		reviews = append(reviews, r)
	}
	bar.Begin("drawing")
	err = drawReviews(c, s, programs, reviews)
	bar.Done()
	if err != nil {
		return err
	}
	if c.Bool("json") {
		err = s.WriteJSON(reviewsJSON(programs, reviews))
	} else {
		for i, r := range reviews {
			printReview(s, programs[i].file, r)
			if out != "" {
				fmt.Fprintf(s.Out, "picture         %s\n", nthPicture(out, i))
			}
		}
	}
	for i, r := range reviews {
		if err == nil {
			err = r.Judgement.Unfit(programs[i].file)
		}
	}
	return err
}

// drawReviews writes the pictures, where they are asked for.
func drawReviews(c *cli.Context, s terminal.Streams, programs []previewed, reviews []dryrun.Review) error {
	out := c.String("out")
	if out == "" {
		return nil
	}
	pen, err := job.ReadPen(s.Place().Read, c.String("ink"))
	for i, r := range reviews {
		if err == nil {
			err = writePicture(s, nthPicture(out, i), r.Scene(filepath.Base(programs[i].file), pen), c.Int("pixels"))
		}
	}
	return err
}

// A previewed program is one of a job folder, or one that is named by its file.
type previewed struct {
	file    string
	program program.Program
}

// programsToPreview reads a program, or those of a job folder in their order.
func programsToPreview(ctx context.Context, s terminal.Streams, name string, machine jobfolder.Wanted) ([]previewed, profiles.Machine, error) {
	if info, err := os.Stat(s.Path(name)); err != nil || !info.IsDir() {
		p, m, err := s.Place().ReadProgram(ctx, name, machine)
		return []previewed{{name, p}}, m, err
	}
	programs, m, err := s.Place().ReadFolder(ctx, name, jobfolder.Wanted{})
	var out []previewed
	for _, p := range programs {
		prog := p.Program
		if machine.Said != "" && err == nil { // how another machine would run it
			prog, m, err = s.Place().ReadProgram(ctx, p.File, machine)
		}
		out = append(out, previewed{p.File, prog})
	}
	return out, m, err
}

// reviewsJSON is the dry run of a program, or of several with their files.
func reviewsJSON(programs []previewed, reviews []dryrun.Review) any {
	if len(reviews) == 1 {
		return reviews[0].Summary
	}
	type one struct {
		File string `json:"file"`
		dryrun.Summary
	}
	var all []one
	for i, r := range reviews {
		all = append(all, one{programs[i].file, r.Summary})
	}
	return map[string]any{"programs": all}
}

// nthPicture is the name of the picture of the program with index i.
func nthPicture(out string, i int) string {
	if i == 0 || out == "" {
		return out
	}
	ext := filepath.Ext(out)
	return fmt.Sprintf("%s-%d%s", strings.TrimSuffix(out, ext), i+1, ext)
}

// partAsked reads which part of the program is to be shown.
func partAsked(c *cli.Context) (program.Part, error) {
	part := program.Part{From: c.Int("from"), To: c.Int("to"), Pen: c.Int("pen")}
	for _, f := range []struct {
		name, what string
		n          int
	}{{"from", "strokes", part.From}, {"to", "strokes", part.To}, {"pen", "pens", part.Pen}} {
		if c.IsSet(f.name) && f.n < 1 {
			return part, fault.Bad("--"+f.name, "give a number from 1", "%s are numbered from 1; there is none %d", f.what, f.n)
		}
	}
	if part.To > 0 && part.To < part.From {
		return part, fault.Bad("--to", "give the later stroke with --to", "stroke %d comes before stroke %d", part.To, part.From)
	}
	return part, nil
}

func printReview(s terminal.Streams, name string, r dryrun.Review) {
	sum := r.Summary
	p := func(format string, args ...any) { s.Printf(format+"\n", args...) }
	p("%s: %s, as machine %s would run it", filepath.Base(name), sum.Language, r.Machine.Name)
	if part := r.PartWords(); part != "" {
		p("part            %s", part)
	}
	if b := sum.Bounds; b != nil {
		p("extents         %.2f, %.2f to %.2f, %.2f mm: %s x %s", b[0], b[1], b[2], b[3], paths.Length(b[2]-b[0]).Both(), paths.Length(b[3]-b[1]).Both())
	} else {
		p("extents         nothing is drawn")
	}
	p("strokes         %d, %d pen lifts", sum.Strokes, sum.PenLifts)
	p("drawn           %.2f m at up to %.4g mm/s, %.2f m of travel", sum.DrawMM/1000, sum.MaxSpeed, sum.TravelMM/1000)
	if sum.MaxFeed > 0 {
		p("asked           up to %.4g mm/s", sum.MaxFeed)
	}
	if len(sum.Pens) > 0 {
		p("pens            %s", strings.Trim(strings.Join(strings.Fields(fmt.Sprint(sum.Pens)), ", "), "[]"))
	}
	p("time            %s", figures.Minutes(sum.TimeS))
	if n := len(sum.Stops); n > 0 {
		first := sum.Stops[0]
		p("stops           %d for a person, the first on line %d: %s", n, first.Line, first.For)
	}
	if n := len(sum.NotUnderstood); n > 0 {
		p("not understood  %d, so send refuses it", n)
	}
	if n := len(sum.Limits); n > 0 {
		p("limits          %d broken", n)
	}
	for _, w := range sum.Warnings {
		p("look at         %s", w.Message)
	}
}

// sameFile reports whether two names are the same file on the disk.
func sameFile(a, b string) bool {
	pa, errA := filepath.Abs(a)
	pb, errB := filepath.Abs(b)
	return errA == nil && errB == nil && pa == pb
}
