package bench

import (
	"context"

	"weftplot/plot"
	"weftplot/plot/check"
	"weftplot/plot/disk"
	"weftplot/plot/job"
	"weftplot/plot/report"
)

// engine makes jobs for the page: all that the page asks of the pipeline.
type engine struct {
	// names are what the files of a job folder call a setting, as "prepare" does.
	names func(setting string) string
	// kept are inputs as they were read last.
	kept *inputsKept
}

// sketch runs the steps that the pictures need: strokes at their size, in their
// channels and on the machine. It returns the files that belong to the job too.
//
// Of a kit r is a single rug, and kit is the whole cloth; of a rug in several loads both
// are the rug. It is nil for a rug in one load, and where something stands against the job.
func (e engine) sketch(ctx context.Context, read disk.Reader, s job.Settings) (r plot.Registered, kit *kitSketch, extra []job.File, err error) {
	in, s, extra, err := e.kept.read(read, s)
	if err != nil {
		return r, nil, nil, err
	}
	if ctx.Err() != nil {
		return r, nil, nil, errSuperseded
	}
	if s.IsKit() {
		r, kit, err = e.sketchKit(ctx, in, s)
		return r, kit, extra, err
	}
	if s.Panels {
		r, kit, err = sketchPanels(ctx, in, s)
		return r, kit, extra, err
	}
	laid, err := plot.Lay(in, s)
	if err != nil {
		return r, nil, nil, err
	}
	r, err = sketchRug(ctx, laid)
	return r, nil, extra, mayDivide(err)
}

// sketchRug takes a rug through the steps that its pictures need.
func sketchRug(ctx context.Context, laid plot.Laid) (r plot.Registered, err error) {
	snapped, err := plot.Snap(ctx, laid)
	if err != nil {
		return r, err
	}
	if ctx.Err() != nil {
		return r, errSuperseded
	}
	joined, err := plot.Join(ctx, snapped)
	if err != nil {
		return r, err
	}
	return plot.Register(joined)
}

// finish makes the job as "prepare" does, with all files of its folder.
func (e engine) finish(ctx context.Context, read disk.Reader, s job.Settings) (j plot.Job, r report.Report, files []job.File, err error) {
	in, s, extra, err := e.kept.read(read, s)
	if err != nil {
		return j, r, nil, err
	}
	if j, err = plot.Make(ctx, in, s, plot.Options{}); err != nil {
		return j, r, nil, err
	}
	r, files, err = report.Files(j, extra, report.Options{Names: e.names})
	return j, r, files, err
}

// findings looks for what cannot be worked at this size.
func (e engine) findings(ctx context.Context, read disk.Reader, s job.Settings) (check.Report, error) {
	in, s, _, err := e.kept.read(read, s)
	if err != nil {
		return check.Report{}, err
	}
	return check.Design(ctx, in, s, report.Options{Names: labelOf})
}

// labelOf is what the page calls a setting.
func labelOf(setting string) string {
	return map[string]string{
		"width": "Finished width", "height": "Finished height", "craft": "Craft", "transfer": "Transfer", "backing": "Backing", "count": "Count",
		"border": "Borders", "clearance": "Rows free inside the border", "machine": "Machine", "pen": "Pen", "pen-for": "Pen for", "marks": "Marks", "lay": "How the cloth lies",
		"snap": "Into a channel within", "stripes": "Spacings that repeat", "gauge": "A row of loops takes", "ticks": "Ticks at the edge",
		"hem": "Line of the hem", "fold": "Line to fold along", "cut": "Line to cut along", "first": "Drawn first", "margin": "Backing left round the rug",
		"copies": "How many", "names": "For whom", "cloth": "Cloth", "gap": "Cloth between two rugs", "turn": "Turned copies",
		"panels": "Draw it in several loads", "lap": "Lines go past each other by", "marks-for": "weftplot prepare --marks-for",
		"really": "the button below",
		"page":   "Page of the file",
		"print":  "Paper", "print-margin": "Margin of the printer", "printer-scale": "Scale of the printer", "overlap": "Overlap of the sheets",
		"print-line": "Width of printed lines", "print-grey": "Paleness of printed lines", "border-on": "The border", "iron": "Sole of the iron",
	}[setting]
}
