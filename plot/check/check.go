package check

import (
	"context"
	"errors"
	"fmt"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/plot"
	"weftplot/plot/figures"
	"weftplot/plot/job"
	"weftplot/plot/report"
	"weftplot/profiles"
)

// Report is what "check" says of a design. Lengths are mm.
type Report struct {
	Name             string           `json:"name"`                // the design's
	HasSize          bool             `json:"has_size"`            // the file states a physical size
	SizeMM           *[2]float64      `json:"size_mm,omitempty"`   // of the line work, as drawn; absent without a size
	WidthToHeight    float64          `json:"width_to_height"`     // of the line work; 0 where it has no height
	FinishedMM       *[2]float64      `json:"finished_mm"`         // width and height; null without a size
	FinishedChannels *[2]float64      `json:"finished_channels"`   // across and along; null without a size
	Mirrored         bool             `json:"mirrored"`            // what is drawn is the mirror image of the rug
	Side             string           `json:"side"`                // what the pen draws on, in words
	Strokes          int              `json:"strokes"`             // of all layers
	LengthMM         *float64         `json:"length_mm,omitempty"` // as drawn; absent without a size
	Layers           []Layer          `json:"layers"`              // in the order of the file
	Ignored          []Note           `json:"ignored"`             // what is not drawn, or not certain, one for each kind, the most serious first
	Warnings         []report.Warning `json:"warnings"`            // what to look at; places in the frame that is named
	// Sizes are near the one asked; at them what repeats comes out in whole rows.
	Sizes []SizeProposal `json:"sizes"`
	// Findings are numbered from 1; their places are in the frame that is named.
	Findings      []Finding `json:"findings"`
	FindingsFrame string    `json:"findings_frame"`
	// Repeat is the row of motifs along the border; null without one.
	Repeat *report.Repeat `json:"repeat,omitempty"`
	// Gauge says what room a row of loops was taken to have; empty without a size.
	Gauge string `json:"gauge"`

	length float64    // of all strokes, in the file's mm or units
	curves int        // of all strokes
	laid   *plot.Laid // for the picture; nil without a size
}

// Layer is one layer of a design.
type Layer struct {
	Name     string   `json:"name"`                // the layer
	Strokes  int      `json:"strokes"`             // in it
	LengthMM *float64 `json:"length_mm,omitempty"` // as drawn; absent without a size
}

// Note is something in the file that was not drawn or not certain, with all of
// its kind. Its places are among the findings.
type Note struct {
	Code    string `json:"code"`    // kebab-case
	Element string `json:"element"` // kind of element, with its id
	Line    int    `json:"line"`    // 0 when unknown
	Message string `json:"message"` // a sentence
}

// Design says what a design holds and, when its size is known, what cannot be
// drawn or worked at that size. What does not fit is a warning here, not an
// error; an unreadable setting is one.
func Design(ctx context.Context, in job.Inputs, s job.Settings, opt report.Options) (Report, error) {
	s = s.Complete()
	if err := s.Validate(); err != nil {
		return Report{}, err
	}
	d := in.Design
	r := Report{
		Name: label.Clean(d.Name, label.Line), HasSize: d.HasSize,
		Mirrored: job.Mirrored(s.Craft, s.Transfer), Side: job.DrawnSide(s.Craft, s.Transfer).Title,
		Layers: []Layer{}, Ignored: []Note{}, Warnings: []report.Warning{}, Findings: []Finding{}, Sizes: []SizeProposal{},
		FindingsFrame: "the finished rug from its front, mm from its lower left corner, y up",
	}
	r.measure(d)
	for _, n := range d.Notes {
		r.Ignored = append(r.Ignored, Note{n.Code, n.Element, n.Line, label.Text(fault.Rename(job.NoteText(n), opt.Names))})
	}
	if in.Design.IsEmpty() {
		return r, fault.Bad(r.Name, noLinesAdvice(d), "the design holds no line work: there is nothing to draw")
	}
	return r, r.judge(ctx, in, s, opt)
}

// noLinesAdvice says what a design holds instead of lines.
func noLinesAdvice(d paths.Design) string {
	if len(d.Notes) > 0 {
		return job.NoteText(d.Notes[0])
	}
	return "open it in a drawing program and look for lines or filled shapes"
}

// measure counts and measures the line work. What is in no known unit is not said to
// be mm.
func (r *Report) measure(d paths.Design) {
	mm := func(length float64) *float64 {
		if !d.HasSize {
			return nil
		}
		length = figures.Round(length)
		return &length
	}
	for _, l := range d.Layers {
		length := 0.
		for _, s := range l.Strokes {
			length += s.Length()
			r.curves += len(s.Stroke)
		}
		r.Strokes += len(l.Strokes)
		r.length += length
		r.Layers = append(r.Layers, Layer{Name: l.Name, Strokes: len(l.Strokes), LengthMM: mm(length)})
	}
	r.LengthMM = mm(r.length)
	b := d.Bounds()
	if b.IsEmpty() {
		return
	}
	if d.HasSize {
		r.SizeMM = &[2]float64{figures.Round(b.Width()), figures.Round(b.Height())}
	}
	if b.Height() > 0 {
		r.WidthToHeight = figures.Round(b.Width() / b.Height())
	}
}

// What is looked at: more takes minutes to check and days to draw.
const (
	mostStrokes = 50_000
	mostCurves  = 80_000
	mostLength  = 5_000_000 // mm on the rug
)

// tooMuch returns the error of a design that is more than is looked at, at a scale.
func (r *Report) tooMuch(scale float64) error {
	const do = "simplify it, or share it out among several files"
	switch {
	case r.Strokes > mostStrokes:
		return fault.TooBig(r.Name, do, "it has %d strokes: no more than %d are checked", r.Strokes, mostStrokes)
	case r.curves > mostCurves:
		return fault.TooBig(r.Name, do, "it has %d lines and curves: no more than %d are checked", r.curves, mostCurves)
	case r.length*scale > mostLength:
		return fault.TooBig(r.Name, do, "it has %.1f km of line: no more than %.0f km are checked", r.length*scale/1e6, mostLength/1e6)
	}
	return nil
}

// judge inspects the artwork at its finished size, then makes the job, writes
// nothing, and adds the warnings of its report.
func (r *Report) judge(ctx context.Context, in job.Inputs, s job.Settings, opt report.Options) error {
	if !in.Design.HasSize && !s.Sized() {
		r.number(lettering(in.Design, s, nil))
		r.Warnings = append(r.Warnings, report.Warning{Code: "no-size", Message: fault.Rename("the design states no size: give [width] or [height] to see what becomes of it", opt.Names)})
		return nil
	}
	if laid, err := plot.Lay(in, s); err == nil {
		if err := r.tooMuch(laid.Layout.Scale); err != nil {
			return err
		}
		if err := r.find(ctx, laid); err != nil {
			return err
		}
		r.Gauge = "It is judged as if " + laid.Settings.GaugeWords(laid.Grid) + ": loops take one to two channels, by needle or hook and yarn (common practice)"
		if s.Gauge == "" {
			r.Gauge += fault.Rename("; say yours with [gauge]", opt.Names)
		}
		r.Gauge += "."
	}
	// How the strokes are ordered makes no difference here.
	s.Really = true // what looks wrong is a warning here
	j, err := r.makeJob(ctx, in, s)
	if errors.Is(err, fault.Fit) {
		return nil // it is said
	}
	if err != nil {
		return err
	}
	j.Inputs.Design.Notes = nil // these are said already
	rep := report.Of(j, opt)
	r.Repeat = rep.Repeat
	r.FinishedMM, r.FinishedChannels = &rep.FinishedMM, &rep.FinishedChannels
	if err := r.addSizes(ctx, j, opt); err != nil {
		return err
	}
	for _, w := range rep.Warnings {
		if w.At != nil {
			at := report.OnFront(j.Registered, paths.Point{X: w.At[0], Y: w.At[1]})
			w.At = &[2]float64{figures.Round(at.X), figures.Round(at.Y)}
		}
		if w.At != nil && w.Code != "too-fine" && w.Code != "doubles-merged" { // these are found place by place
			r.number([]Finding{{Code: FoundWarned, Message: w.Message, At: w.At}})
		}
		r.Warnings = append(r.Warnings, w)
	}
	return nil
}

// makeJob makes the job. What the machine does not take is said, and made for none: the
// weave is the same on a larger machine.
func (r *Report) makeJob(ctx context.Context, in job.Inputs, s job.Settings) (plot.Job, error) {
	j, err := plot.Make(ctx, in, s, plot.Options{AsGiven: true})
	if !errors.Is(err, fault.Fit) {
		return j, err
	}
	r.Warnings = append(r.Warnings, report.Warning{Code: "does-not-fit", Message: err.Error()})
	in.Machine, s.Machine, s.Language = profiles.Machine{Name: job.NoMachine}, job.NoMachine, ""
	s.Panels, s.Lap = false, 0
	j, without := plot.Make(ctx, in, s, plot.Options{AsGiven: true})
	if without != nil && ctx.Err() == nil {
		without = err
	}
	return j, without
}

// addSizes adds the sizes to propose.
func (r *Report) addSizes(ctx context.Context, j plot.Job, opt report.Options) error {
	if sizesToTry(j.Artwork) == 0 {
		r.Warnings = append(r.Warnings, report.Warning{Code: "sizes-not-tried", Message: fmt.Sprintf("it has more than %d lines and curves: sizes near this one were not tried", mostCurvesTried)})
		return nil
	}
	sizes, err := proposeSizes(ctx, j, opt)
	r.Sizes = append(r.Sizes, sizes...)
	return err
}
