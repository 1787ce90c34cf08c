package bench

import (
	"context"

	"weftplot/paths/order"
	"weftplot/plot"
)

// Loader reads everything that settings name, by their names, and returns it
// with the settings as the job folder's own job.toml says them and the files
// that lie beside it.
type Loader func(read func(name string) ([]byte, error), s plot.Settings) (plot.Inputs, plot.Settings, []plot.File, error)

// engine makes jobs for the page: all that the page asks of the pipeline.
type engine struct{ load Loader }

// sketch makes a job whose strokes are where they belong, in whatever order: all
// that the pictures need.
func (e engine) sketch(ctx context.Context, read func(string) ([]byte, error), s plot.Settings) (*plot.Job, []plot.File, error) {
	in, s, extra, err := e.load(read, s)
	if err != nil {
		return nil, nil, err
	}
	s.Effort, in.Stop = order.Quick.String(), func() bool { return true }
	return e.make(ctx, in, s, extra)
}

// finish makes the job as "prepare" does, with all files of its folder.
func (e engine) finish(ctx context.Context, read func(string) ([]byte, error), s plot.Settings) (*plot.Job, []plot.File, error) {
	in, s, extra, err := e.load(read, s)
	if err != nil {
		return nil, nil, err
	}
	in.Stop = func() bool { return ctx.Err() != nil }
	j, _, err := e.make(ctx, in, s, nil)
	if err != nil {
		return nil, nil, err
	}
	files, err := j.Files(extra)
	return j, files, err
}

func (engine) make(ctx context.Context, in plot.Inputs, s plot.Settings, extra []plot.File) (*plot.Job, []plot.File, error) {
	if ctx.Err() != nil {
		return nil, nil, errSuperseded
	}
	j, err := plot.Make(in, s)
	if ctx.Err() != nil {
		return nil, nil, errSuperseded
	}
	return j, extra, err
}

// findings looks for what cannot be worked at this size.
func (e engine) findings(ctx context.Context, read func(string) ([]byte, error), s plot.Settings) (plot.CheckReport, error) {
	in, s, _, err := e.load(read, s)
	if err != nil {
		return plot.CheckReport{}, err
	}
	if ctx.Err() != nil {
		return plot.CheckReport{}, errSuperseded
	}
	return plot.Check(in, s)
}
