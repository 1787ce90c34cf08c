package main

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"weftplot/cmd/weftplot/installed"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/paths"
	"weftplot/paths/label"
	"weftplot/plot"
	"weftplot/plot/disk"
	"weftplot/plot/figures"
	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
	"weftplot/plot/report"
)

// jobFlags are the flags that decide a job: one for each setting.
func jobFlags() []cli.Flag {
	var flags []cli.Flag
	for _, k := range job.Keys() {
		switch k.Kind {
		case job.Whole:
			flags = append(flags, &cli.IntFlag{Name: k.Name, Usage: k.Usage})
		case job.Number:
			flags = append(flags, &cli.Float64Flag{Name: k.Name, Usage: k.Usage})
		case job.Switch:
			flags = append(flags, &cli.BoolFlag{Name: k.Name, Usage: k.Usage})
		case job.List:
			flags = append(flags, &cli.StringSliceFlag{Name: k.Name, Usage: k.Usage})
		default:
			flags = append(flags, &cli.StringFlag{Name: k.Name, Usage: k.Usage})
		}
	}
	return flags
}

func prepareCommand(s terminal.Streams) *cli.Command {
	return newCommand("prepare", "DESIGN or JOB.toml", "makes the job folder: program, proofs, report, sheet",
		withArgument(s, "a design or a job.toml", runPrepare),
		append(jobFlags(), &cli.StringFlag{Name: "out", Usage: "`DIR` of the job folder", DefaultText: "the name of the design, and -job"}, replaceFlag())...)
}

func runPrepare(c *cli.Context, s terminal.Streams, name string) error {
	settings, place, err := settingsFor(c, s, name)
	if err != nil {
		return err
	}
	bar := terminal.NewProgress(s, c.Bool("quiet"))
	made, err := makeJob(c.Context, place.Read, settings, bar)
	bar.Done()
	if err != nil {
		return err
	}
	if c.Context.Err() != nil {
		fmt.Fprintln(s.Err, "the search for a shorter order was stopped; the best so far is kept")
	}
	out := c.String("out")
	if out == "" {
		out = defaultOut(s, name, made.job.Settings.Name)
	}
	bar.Begin("saving")
	err = writeFolder(c, s, name, out, made.files)
	bar.Done()
	if err != nil {
		return err
	}
	if c.Bool("json") {
		return s.WriteJSON(made.report)
	}
	for _, w := range made.report.Warnings {
		s.LookAt(w.Plain())
	}
	summarize(s, made.report)
	sayMachine(c, s, made.report.Machine)
	s.Row("job folder      %s", out)
	return nil
}

// writeFolder writes the job folder out of a job that was read from the design or
// job file name. No signal ends the program half-way through.
func writeFolder(c *cli.Context, s terminal.Streams, name, out string, files []job.File) error {
	guard := s.Signals.Guard()
	defer guard.Release()
	w := jobfolder.Writing{Replace: c.Bool("replace"), Begun: device.Begun}
	if sameFile(s.Path(filepath.Dir(name)), s.Path(out)) {
		w.From = filepath.Base(name)
	}
	return jobfolder.Write(s.Path(out), files, w)
}

// replaceFlag is the flag of commands that write a job folder.
func replaceFlag() cli.Flag {
	return &cli.BoolFlag{Name: "replace", Usage: "replace another design's job, changed files, or a job whose cloth is begun; a person's own files stay"}
}

// made is a job with its report and the files of its folder.
type made struct {
	job    plot.Job
	report report.Report
	files  []job.File
}

// makeJob reads the inputs that the settings name, and makes the job and the files
// of its folder. When ctx is cancelled the search for a shorter order ends, and
// the job goes on with the best so far.
func makeJob(ctx context.Context, read disk.Reader, settings job.Settings, bar *terminal.Progress) (m made, err error) {
	bar.Begin("reading")
	in, settings, extra, err := job.ReadInputsTold(read, settings, func(done, total int) { bar.Step("reading", done, total) })
	if err != nil {
		return m, err
	}
	m.job, err = plot.Make(context.WithoutCancel(ctx), in, settings, plot.Options{
		Progress: func(step plot.Step, done, total int) { bar.Step(string(step), done, total) },
		Enough:   func() bool { return ctx.Err() != nil },
		Lean:     true,
	})
	if err != nil {
		return m, err
	}
	bar.Begin("drawing proofs")
	m.report, m.files, err = report.Files(m.job, extra, report.Options{
		Names: flagOf, Progress: func(done, total int) { bar.Step("drawing proofs", done, total) },
	})
	return m, err
}

// settingsFor returns the settings of a design with the command's flags, or of
// a job file with the flags over it, and the folder that its file names start
// from.
func settingsFor(c *cli.Context, s terminal.Streams, name string) (job.Settings, jobfolder.Place, error) {
	settings, place, isJob := job.Settings{Design: name}, jobfolder.Place(s.Dir), strings.EqualFold(filepath.Ext(name), ".toml")
	if isJob {
		data, err := disk.Read(s.Path(name), disk.MaxText)
		if err != nil {
			return settings, "", err
		}
		if settings, err = job.ParseSettings(name, data); err != nil {
			return settings, "", err
		}
		place = jobfolder.Place(filepath.Dir(s.Path(name)))
	}
	given, err := givenSettings(c, s, isJob)
	if err != nil {
		return settings, "", err
	}
	settings, err = settings.With(given)
	return settings, place, err
}

// givenSettings are the texts of the flags that a command was given, with the machine
// of this computer where a design comes without one. Those for a job file name their
// files from the root: the names in a job file start from its folder, those of flags
// from the person's.
func givenSettings(c *cli.Context, s terminal.Streams, isJob bool) (map[string][]string, error) {
	given := map[string][]string{}
	for _, k := range job.Keys() {
		if !c.IsSet(k.Name) {
			continue
		}
		given[k.Name] = []string{c.String(k.Name)}
		if k.Kind == job.List {
			given[k.Name] = c.StringSlice(k.Name)
		}
		if k.Name == "font" {
			var err error
			if given[k.Name], err = installed.Fonts(s, given[k.Name]); err != nil {
				return nil, err
			}
		}
		if !isJob {
			continue
		}
		var err error
		if given[k.Name], err = k.Rebase(given[k.Name], func(file string) (string, error) { return filepath.Abs(s.Path(file)) }); err != nil {
			return nil, fmt.Errorf("the folder you are in cannot be found: %w", err)
		}
	}
	if !isJob && given["machine"] == nil {
		if m, err := s.Desk.Default(); err != nil {
			return nil, err
		} else if m != "" {
			given["machine"] = []string{m}
		}
	}
	return given, nil
}

// defaultOut is the folder a job goes to when none is named: a job file's own
// folder when that is a job folder, else one named after the job.
func defaultOut(s terminal.Streams, name, title string) string {
	if dir := filepath.Dir(name); strings.EqualFold(filepath.Ext(name), ".toml") && jobfolder.IsJob(s.Path(dir)) {
		return dir
	}
	return label.Clean(title, label.File) + "-job"
}

// summarizeLoads tells the loads of a rug that is drawn in parts. What summarize says after
// it holds for those that have a program.
func summarizeLoads(s terminal.Streams, r report.Report) {
	strokes, mm, ready := 0, 0., 0
	for _, l := range r.Loads {
		strokes, mm = strokes+l.Strokes, mm+l.DrawMM
		if !l.NeedsMarks {
			ready++
		}
	}
	s.Row("in loads        %d, %d joints of lines between them; %d strokes, %.2f m in all", len(r.Loads), len(r.Joints), strokes, mm/1000)
	switch {
	case ready == len(r.Loads):
	case ready == 1:
		s.Row("load 1          the others have no program yet: each is found on the cloth first")
	default:
		s.Row("loads 1 to %-4d the others have no program yet: each is found on the cloth first", ready)
	}
}

func summarize(s terminal.Streams, r report.Report) {
	s.Row("%s: %s", r.Name, r.Side)
	s.Row("finished size   %s x %s, %.4g x %.4g channels", paths.Length(r.FinishedMM[0]).Both(), paths.Length(r.FinishedMM[1]).Both(), r.FinishedChannels[0], r.FinishedChannels[1])
	s.Row("backing to cut  %s x %s", paths.Length(r.BackingMM[0]).Both(), paths.Length(r.BackingMM[1]).Both())
	if r.ClothMM != nil {
		turned := 0
		for _, c := range r.Copies {
			if c.Turned {
				turned++
			}
		}
		s.Row("copies          %d, %d of them turned, in %d loads on %s x %s of cloth", len(r.Copies), turned, len(r.Loads), paths.Length(r.ClothMM[0]).Both(), paths.Length(r.ClothMM[1]).Both())
	}
	if len(r.Loads) > 1 && r.ClothMM == nil {
		summarizeLoads(s, r)
	}
	if p := r.Paper; p != nil {
		s.Row("paper           %d x %s, %s", len(p.Pages), p.Size, p.Side)
	}
	if r.Machine == job.NoMachine {
		s.Row("lines           %d, %.2f m", r.Strokes, r.DrawMM/1000)
		return
	}
	s.Row("strokes         %d, %d pen lifts", r.Strokes, r.PenLifts)
	s.Row("drawn           %.2f m at up to %.4g mm/s, %.2f m of travel", r.DrawMM/1000, r.MaxFeed, r.TravelMM/1000)
	s.Row("time            %s on machine %s", figures.Minutes(r.TimeS), r.Machine)
	if n := len(r.Snap.Lines); n > 0 {
		s.Row("in channels     %d straight lines, the farthest moved %.2f mm", n, r.Snap.FarthestMM)
	}
}
