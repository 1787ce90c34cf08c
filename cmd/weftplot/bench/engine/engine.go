// Package engine is all that the page asks of the pipeline: a sketch for the pictures,
// the whole job as "prepare" makes it, and findings.
package engine

import (
	"context"
	"errors"

	"weftplot/cmd/weftplot/bench/told"
	"weftplot/plot"
	"weftplot/plot/check"
	"weftplot/plot/disk"
	"weftplot/plot/job"
	"weftplot/plot/report"
)

// An Engine makes jobs for the page: all that the page asks of the pipeline.
type Engine struct {
	// names are what the files of a job folder call a setting, as "prepare" does.
	names func(setting string) string
	// kept are inputs as they were read last.
	kept *keptInputs
	// divided is the rug in several loads that was divided last.
	divided *plot.Divided
}

// New returns an engine. Names are what the files of a job folder call a setting.
func New(names func(setting string) string) Engine {
	return Engine{names, &keptInputs{}, &plot.Divided{}}
}

// ErrSuperseded is the error of work that was given up for something newer.
var ErrSuperseded = errors.New("something newer was asked for")

// Read is [job.ReadInputs], which reads nothing again that is as it was.
func (e Engine) Read(read disk.Reader, s job.Settings) (job.Inputs, job.Settings, []job.File, error) {
	return e.kept.read(read, s)
}

// Sketch runs the steps that the pictures need: strokes at their size, in their
// channels and on the machine. It returns the files that belong to the job too.
//
// Of a kit r is a single rug, and kit is the whole cloth; of a rug in several loads both
// are the rug. It is nil for a rug in one load, and where something stands against the job.
func (e Engine) Sketch(ctx context.Context, read disk.Reader, s job.Settings) (r plot.Registered, kit *Kit, extra []job.File, err error) {
	in, s, extra, err := e.kept.read(read, s)
	if err != nil {
		return r, nil, nil, err
	}
	if ctx.Err() != nil {
		return r, nil, nil, ErrSuperseded
	}
	if s.IsKit() {
		r, kit, err = e.sketchKit(ctx, in, s)
		return r, kit, extra, err
	}
	if s.Panels {
		r, kit, err = e.sketchPanels(ctx, in, s)
		return r, kit, extra, err
	}
	laid, err := plot.Lay(in, s)
	if err != nil {
		return r, nil, nil, err
	}
	r, err = sketchRug(ctx, laid)
	return r, nil, extra, told.MayDivide(err)
}

// sketchRug takes a rug through the steps that its pictures need.
func sketchRug(ctx context.Context, laid plot.Laid) (r plot.Registered, err error) {
	snapped, err := plot.Snap(ctx, laid, plot.Options{})
	if err != nil {
		return r, err
	}
	if ctx.Err() != nil {
		return r, ErrSuperseded
	}
	joined, err := plot.Join(ctx, snapped, plot.Options{})
	if err != nil {
		return r, err
	}
	return plot.Register(joined)
}

// Finish makes the job as "prepare" does, with all files of its folder.
func (e Engine) Finish(ctx context.Context, read disk.Reader, s job.Settings) (j plot.Job, r report.Report, files []job.File, err error) {
	in, s, extra, err := e.kept.read(read, s)
	if err != nil {
		return j, r, nil, err
	}
	if j, err = plot.Make(ctx, in, s, plot.Options{Divided: e.divided}); err != nil {
		return j, r, nil, err
	}
	r, files, err = report.Files(j, extra, report.Options{Names: e.names})
	return j, r, files, err
}

// Findings looks for what cannot be worked at this size.
func (e Engine) Findings(ctx context.Context, read disk.Reader, s job.Settings) (check.Report, error) {
	in, s, _, err := e.kept.read(read, s)
	if err != nil {
		return check.Report{}, err
	}
	return check.Design(ctx, in, s, report.Options{Names: told.Label})
}
