package main

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave/cloth"
	"weftplot/plot"
	"weftplot/profiles"
)

// jobFlags are the flags that decide a job; each has its key in job.toml.
func jobFlags() []cli.Flag {
	str := func(name, usage string) cli.Flag { return &cli.StringFlag{Name: name, Usage: usage} }
	return []cli.Flag{
		str("units", "what the design is drawn in, where its file does not say or is wrong (DXF): "+strings.Join(plot.Units, ", ")),
		str("width", "finished `LENGTH` across, outer line to outer line; the height follows"),
		str("height", "finished `LENGTH` along; the width follows"),
		str("craft", "punch-needle (worked from the back) or hooking (from the front)"),
		str("transfer", "direct (on the backing), tracing (paper under it) or iron-on (paper that the iron turns over)"),
		str("backing", "`NAME` of the backing, or a file of its profile"),
		str("count", "channels counted on the stretched backing, such as `12x13/in`"),
		str("margin", "`LENGTH` of backing left round the finished rug"),
		str("border", "edge, or `ROWS` of holes left empty before each further line, such as 4 or 4,2"),
		&cli.IntFlag{Name: "clearance", Usage: "`ROWS` kept free between the innermost border line and the artwork"},
		&cli.Float64Flag{Name: "snap", Usage: "lines within so many `DEGREES` of the weave go into a channel"},
		&cli.BoolFlag{Name: "no-snap", Usage: "leave every line where the design has it"},
		&cli.BoolFlag{Name: "dashes", Usage: "draw dashed lines as dashes, not whole"},
		&cli.BoolFlag{Name: "unite", Usage: "draw filled shapes as the edges that are seen, overlapping ones of a colour as one"},
		&cli.StringSliceFlag{Name: "font", Usage: "`FILE` of a font to draw text with, or FAMILY=FILE; may be repeated"},
		&cli.StringSliceFlag{Name: "skip", Usage: "`LAYER` that is not drawn; may be repeated"},
		str("marks", "`FILE` of the registration of this piece of backing"),
		str("fit", "how the marks are fitted: "+strings.Join(cloth.Models, ", ")),
		str("at", "`LENGTH,LENGTH` from the machine's 0,0 to the rug's lower left corner as drawn"),
		str("machine", "`NAME` of the machine, or a file of its profile"),
		str("language", "gcode, hpgl or hpgl2, where the machine reads another than its profile says"),
		str("pen", "`NAME` of the pen, or a file of its profile"),
		&cli.StringSliceFlag{Name: "pen-for", Usage: "`LAYER=NAME`: another pen for one layer; may be repeated"},
		str("tolerance", "greatest `LENGTH` between the drawn line and the true one"),
		str("effort", "quick, normal or thorough: how long to look for a shorter order"),
		str("least", "what the order keeps small: travel or time"),
		&cli.BoolFlag{Name: "keep-doubles", Usage: "draw lines that stand twice in the design twice"},
	}
}

func prepareCommand(s streams) *cli.Command {
	return &cli.Command{
		Name:      "prepare",
		Usage:     "makes the job folder: program, proofs, report, sheet",
		ArgsUsage: "DESIGN or JOB.toml",
		Flags:     append(append(jobFlags(), &cli.StringFlag{Name: "out", Usage: "`DIR` of the job folder"}), outputFlags()...),
		Action: func(c *cli.Context) error {
			name, err := oneArgument(c, "a design or a job.toml")
			if err != nil {
				return err
			}
			return runPrepare(c, s, name)
		},
	}
}

func runPrepare(c *cli.Context, s streams, name string) error {
	settings, dir, err := settingsFor(c, s, name)
	if err != nil {
		return err
	}
	bar := newProgress(s, c.Bool("quiet"))
	job, files, err := makeJob(c.Context, from(dir), settings, bar)
	bar.Done()
	if err != nil {
		return err
	}
	if c.Context.Err() != nil {
		fmt.Fprintln(s.err, "the search for a shorter order was stopped; the best so far is kept")
	}
	out := c.String("out")
	if out == "" {
		out = defaultOut(s, name, job.Settings.Name)
	}
	if err := plot.WriteFolder(s.path(out), files); err != nil {
		return err
	}
	if c.Bool("json") {
		_, err := s.out.Write(files[0].Data)
		return err
	}
	for _, w := range job.Warnings {
		fmt.Fprintf(s.err, "look at: %s\n", w.Message)
	}
	summarize(s.out, job)
	fmt.Fprintf(s.out, "job folder      %s\n", out)
	return nil
}

// makeJob loads the inputs that the settings name, runs the pipeline and
// returns the files of the job folder, the report first. When ctx is cancelled
// the search for a shorter order ends, and the job goes on with the best so far.
func makeJob(ctx context.Context, read func(string) ([]byte, error), settings plot.Settings, bar *progress) (*plot.Job, []plot.File, error) {
	in, settings, extra, err := loadInputs(read, settings)
	if err != nil {
		return nil, nil, err
	}
	in.Progress = bar.Step
	in.Stop = func() bool { return ctx.Err() != nil }
	job, err := plot.Make(in, settings)
	if err != nil {
		return nil, nil, err
	}
	files, err := job.Files(extra)
	return job, files, err
}

// settingsFor returns the settings of a design with the command's flags, or of
// a job file with the flags over it, and the folder its file names start from.
func settingsFor(c *cli.Context, s streams, name string) (plot.Settings, string, error) {
	settings, dir := plot.Defaults(), s.dir
	if strings.EqualFold(filepath.Ext(name), ".toml") {
		data, err := readInput(s.path(name))
		if err != nil {
			return settings, "", err
		}
		if settings, err = plot.ParseSettings(name, data); err != nil {
			return settings, "", err
		}
		dir = filepath.Dir(s.path(name))
		if err := flagFiles(c, s, dir); err != nil {
			return settings, "", err
		}
	} else {
		settings.Design = name
	}
	if err := applyFlags(c, &settings); err != nil || dir == s.dir || !c.IsSet("font") {
		return settings, dir, err
	}
	for i, name := range settings.Font { // named from the folder of the person
		family, file, named := strings.Cut(name, "=")
		if !named {
			family, file = "", name
		}
		abs, err := filepath.Abs(s.path(file))
		if err != nil {
			return settings, "", fmt.Errorf("the folder you are in cannot be found: %w", err)
		}
		if settings.Font[i] = abs; named {
			settings.Font[i] = family + "=" + abs
		}
	}
	return settings, dir, nil
}

// flagFiles makes the file names among the flags, which start from the folder
// of the person, start from the folder of the job file instead.
func flagFiles(c *cli.Context, s streams, dir string) error {
	for _, flag := range []string{"marks", "machine", "backing", "pen"} {
		name := c.String(flag)
		if name == "" || flag != "marks" && !isFile(name) {
			continue
		}
		abs, err := filepath.Abs(s.path(name))
		if err != nil {
			return fmt.Errorf("the folder you are in cannot be found: %w", err)
		}
		if err := c.Set(flag, abs); err != nil {
			return err
		}
	}
	return nil
}

// applyFlags lets each flag that was given win over the settings.
func applyFlags(c *cli.Context, s *plot.Settings) error {
	var err error
	given := func(flag string, set func(string) error) {
		if err == nil && c.IsSet(flag) {
			if e := set(c.String(flag)); e != nil {
				err = fault.At("--"+flag, e)
			}
		}
	}
	text := func(flag string, into *string) {
		given(flag, func(v string) error { *into = v; return nil })
	}
	length := func(flag string, into *paths.Length) {
		given(flag, func(v string) error {
			l, e := paths.ParseLength(v)
			if e == nil && l <= 0 {
				e = fault.Bad("", `give a length above zero, such as "24in", "61cm" or "610mm"`, "%s is no size", v)
			}
			*into = l
			return e
		})
	}
	length("width", &s.Width)
	length("height", &s.Height)
	if c.IsSet("width") != c.IsSet("height") { // the other one follows
		if c.IsSet("width") {
			s.Height = 0
		} else {
			s.Width = 0
		}
	}
	length("tolerance", &s.Tolerance)
	given("craft", func(v string) error { s.Craft = plot.Craft(v); return nil })
	given("transfer", func(v string) error { s.Transfer = plot.Transfer(v); return nil })
	given("language", func(v string) error { s.Language = profiles.Language(v); return nil })
	for flag, into := range map[string]*string{
		"backing": &s.Backing, "count": &s.Count, "margin": &s.Margin, "border": &s.Border,
		"marks": &s.Marks, "machine": &s.Machine, "pen": &s.Pen, "effort": &s.Effort, "fit": &s.Fit, "least": &s.Least, "units": &s.Units,
	} {
		text(flag, into)
	}
	given("at", func(v string) error {
		x, y, ok := strings.Cut(v, ",")
		if !ok {
			return fault.Bad("", `give two lengths, such as "50mm,60mm"`, "%q is not a place", v)
		}
		lx, e := paths.ParseLength(x)
		if e != nil {
			return e
		}
		ly, e := paths.ParseLength(y)
		s.At = []paths.Length{lx, ly}
		return e
	})
	if c.IsSet("marks") && !c.IsSet("at") {
		s.At = nil // the marks say where the rug lies
	} else if c.IsSet("at") && !c.IsSet("marks") {
		s.Marks = ""
	}
	if c.IsSet("clearance") {
		s.Clearance = c.Int("clearance")
	}
	if c.IsSet("snap") {
		s.Snap, s.NoSnap = c.Float64("snap"), false
	}
	if c.IsSet("keep-doubles") {
		s.KeepDoubles = c.Bool("keep-doubles")
	}
	if c.IsSet("dashes") {
		s.Dashes = c.Bool("dashes")
	}
	if c.IsSet("unite") {
		s.Unite = c.Bool("unite")
	}
	if c.IsSet("skip") {
		s.Skip = c.StringSlice("skip")
	}
	if c.IsSet("font") {
		s.Font = c.StringSlice("font")
	}
	if c.IsSet("no-snap") {
		s.NoSnap = c.Bool("no-snap")
	}
	for _, v := range c.StringSlice("pen-for") {
		layer, pen, ok := strings.Cut(v, "=")
		if !ok || layer == "" || pen == "" {
			return fault.Bad("--pen-for", `write LAYER=NAME, such as "lettering=extra-fine-marker"`, "%q names no layer and pen", v)
		}
		if s.PenFor == nil {
			s.PenFor = map[string]string{}
		}
		s.PenFor[layer] = pen
	}
	return err
}

// defaultOut is the folder a job goes to when none is named: a job file's own
// folder when that is a job folder, else one named after the job.
func defaultOut(s streams, name, job string) string {
	if dir := filepath.Dir(name); strings.EqualFold(filepath.Ext(name), ".toml") && plot.IsJobFolder(s.path(dir)) {
		return dir
	}
	return job + "-job"
}

func summarize(w interface{ Write([]byte) (int, error) }, j *plot.Job) {
	r := j.Report(nil)
	fmt.Fprintf(w, "%s: %s\n", r.Name, r.Side)
	fmt.Fprintf(w, "finished size   %s x %s, %.4g x %.4g channels\n", paths.Length(r.FinishedMM[0]).Both(), paths.Length(r.FinishedMM[1]).Both(), r.FinishedChannels[0], r.FinishedChannels[1])
	fmt.Fprintf(w, "backing to cut  %s x %s\n", paths.Length(r.BackingMM[0]).Both(), paths.Length(r.BackingMM[1]).Both())
	fmt.Fprintf(w, "strokes         %d, %d pen lifts\n", r.Strokes, r.PenLifts)
	fmt.Fprintf(w, "drawn           %.2f m at up to %.4g mm/s, %.2f m of travel\n", r.DrawMM/1000, r.MaxFeed, r.TravelMM/1000)
	fmt.Fprintf(w, "time            %s on machine %s\n", plot.Minutes(r.TimeS), r.Machine)
	if n := len(r.Snap.Lines); n > 0 {
		fmt.Fprintf(w, "in channels     %d straight lines, the farthest moved %.2f mm\n", n, r.Snap.MaxMovedMM)
	}
}
