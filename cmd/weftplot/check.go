package main

import (
	"fmt"
	"slices"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths"
	"weftplot/plot/check"
	"weftplot/plot/job"
	"weftplot/plot/report"
)

func checkCommand(s terminal.Streams) *cli.Command {
	return newCommand("check", "DESIGN", "says what a design holds, what was ignored and why, and what cannot be worked at this size",
		withArgument(s, "a design", runCheck),
		append(jobFlags(),
			&cli.StringFlag{Name: "out", Usage: "`FILE` of a picture, .svg or .png, with every listed place numbered", DefaultText: "none"},
			&cli.IntFlag{Name: "pixels", Usage: "width of a .png in `PIXELS`", Value: 1600})...)
}

func runCheck(c *cli.Context, s terminal.Streams, name string) error {
	out := c.String("out")
	if err := canBePicture(s, out, name, c.Int("pixels")); err != nil {
		return err
	}
	settings, place, err := settingsFor(c, s, name)
	if err != nil {
		return err
	}
	bar := terminal.NewProgress(s, c.Bool("quiet"))
	defer bar.Done()
	bar.Begin("reading")
	in, settings, _, err := job.ReadInputsTold(place.Read, settings, func(done, total int) { bar.Step("reading", done, total) })
	if err != nil {
		return err
	}
	bar.Begin("looking")
	r, err := check.Design(c.Context, in, settings, report.Options{Names: flagOf})
	if err != nil {
		return err
	}
	if out != "" {
		bar.Begin("drawing")
		scene, err := r.Scene()
		if err != nil {
			return err
		}
		if err := writePicture(s, out, scene, c.Int("pixels")); err != nil {
			return err
		}
	}
	bar.Done()
	if c.Bool("json") {
		return s.WriteJSON(r)
	}
	printCheck(s, r)
	if out != "" {
		fmt.Fprintf(s.Out, "\nThe numbers are those in the picture %s, which shows the finished rug from its front.\n", out)
	}
	return nil
}

// printCheck prints the report page by page: what the file holds, what is not drawn,
// what happens at this size, and the findings.
func printCheck(s terminal.Streams, r check.Report) {
	p := func(format string, args ...any) { s.Printf(format+"\n", args...) }
	printContents(p, r)
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
	var ignored, warnings, sizes []string
	for _, n := range r.Ignored {
		ignored = append(ignored, n.Message)
	}
	for _, w := range r.Warnings {
		// The findings report these place by place, and all that have a place.
		if w.Code != "too-fine" && w.Code != "doubles-merged" && w.At == nil {
			warnings = append(warnings, w.Message)
		}
	}
	section("Not drawn, or to be looked at in the file:", ignored)
	section("At this size:", warnings)
	for _, size := range r.Sizes {
		sizes = append(sizes, size.Message)
	}
	section("Motifs along the border:", r.Repeat.Words())
	section("Sizes near this one at which more of what repeats is a whole number of rows:", sizes)
	printFindings(p, r.Findings, r.Gauge)
	if len(ignored)+len(warnings)+len(r.Findings) == 0 {
		p("")
		p("Nothing was ignored and nothing stands against it.")
	}
}

// printContents prints what a design holds: its sizes, line work, layers and side.
func printContents(p func(format string, args ...any), r check.Report) {
	p("%s", r.Name)
	switch {
	case r.SizeMM != nil:
		p("as drawn        %s x %s", paths.Length(r.SizeMM[0]).Both(), paths.Length(r.SizeMM[1]).Both())
	case r.WidthToHeight > 0:
		p("as drawn        it states no size; its width is %.3f of its height", r.WidthToHeight)
	default:
		p("as drawn        it states no size")
	}
	if r.FinishedMM != nil {
		p("as asked        %s x %s, %.4g x %.4g channels", paths.Length(r.FinishedMM[0]).Both(), paths.Length(r.FinishedMM[1]).Both(), r.FinishedChannels[0], r.FinishedChannels[1])
	}
	if r.LengthMM != nil {
		p("line work       %d strokes, %.2f m as drawn", r.Strokes, *r.LengthMM/1000)
	} else {
		p("line work       %d strokes", r.Strokes)
	}
	for _, l := range r.Layers {
		length := ""
		if l.LengthMM != nil {
			length = fmt.Sprintf(", %8.2f m", *l.LengthMM/1000)
		}
		p("  layer %-20s %5d strokes%s", l.Name, l.Strokes, length)
	}
	p("%s", r.Side)
}

// kindsOfFindings are the headings of the page, in the order in which findings
// are numbered.
var kindsOfFindings = []struct{ code, title, advice string }{
	{check.FoundDouble, "Lines drawn twice", "a marker that passes twice blots; they are drawn once unless you give --keep-doubles"},
	{check.FoundGap, "Gaps nearly closed", "close them in the design, or the line breaks there"},
	{check.FoundClose, "Lines that leave no row of loops between them", "they will become one"},
	{check.FoundSpeck, "Shapes smaller than a row of loops", "they will hardly show"},
	{check.FoundEmpty, "Shapes that hold no loop", "they will not show: make them larger, or leave a line out"},
	{check.FoundNarrow, "Shapes, or parts of them, narrower than two rows of loops", "they close up when they are worked"},
	{check.FoundLettering, "Lettering, or what looks like it", "which way it will read"},
	{check.FoundNoted, "Places of what is not drawn, or to be looked at in the file", "as said above"},
	{check.FoundWarned, "Places where the job needs a look", "at this size"},
}

// printFindings lists the findings by kind, with their numbers and places.
func printFindings(p func(string, ...any), list []check.Finding, gauge string) {
	if slices.ContainsFunc(list, func(f check.Finding) bool { return f.At != nil }) {
		p("")
		p("Places are on the finished rug, seen from its front. %s", gauge)
	}
	for _, k := range kindsOfFindings {
		n, more, total := 0, 0, 0.
		for _, f := range list {
			if f.Code != k.code {
				continue
			}
			total += f.LengthMM
			if n++; !f.Listed {
				more++
			}
		}
		if n == 0 {
			continue
		}
		p("")
		title := k.title
		if k.code == check.FoundDouble || k.code == check.FoundClose {
			title += fmt.Sprintf(" (%.1f cm in all)", total/10)
		}
		p("%s: %s.", title, k.advice)
		for _, f := range list {
			if f.Code == k.code && f.Listed {
				p("  %2d  %s", f.Number, placed(f))
			}
		}
		if more > 0 {
			p("      and %d more, which --json lists", more)
		}
	}
}

// placed is what was found, with its layer and its place on the finished rug.
func placed(f check.Finding) string {
	text := f.Message
	if f.Layer != "" {
		text = fmt.Sprintf("layer %q: %s", f.Layer, text)
	}
	if f.At != nil {
		text += fmt.Sprintf("; %.1f cm from the left, %.1f cm from the bottom of the rug", f.At[0]/10, f.At[1]/10)
	}
	return text
}
