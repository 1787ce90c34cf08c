package report

import (
	"context"
	"errors"

	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/plot"
	"weftplot/plot/job"
)

// CheckReport is what "check" says of a design. Lengths are mm.
type CheckReport struct {
	Name             string        `json:"name"`              // the design's
	HasSize          bool          `json:"has_size"`          // the file states a physical size
	SizeMM           [2]float64    `json:"size_mm"`           // of the line work, as drawn
	FinishedMM       *[2]float64   `json:"finished_mm"`       // width and height; null without a size
	FinishedChannels *[2]float64   `json:"finished_channels"` // across and along; null without a size
	Mirrored         bool          `json:"mirrored"`          // what is drawn is the mirror image of the rug
	Side             string        `json:"side"`              // what the pen draws on, in words
	Strokes          int           `json:"strokes"`           // of all layers
	LengthMM         float64       `json:"length_mm"`         // as drawn
	Layers           []LayerReport `json:"layers"`            // in the order of the file
	Ignored          []NoteReport  `json:"ignored"`           // what is not drawn, or not certain
	Warnings         []Warning     `json:"warnings"`          // places on the machine
	// Findings are numbered from 1; their places are in the frame that is named.
	Findings      []Finding `json:"findings"`
	FindingsFrame string    `json:"findings_frame"`

	laid *plot.Laid // for the picture; nil without a size
}

// LayerReport is one layer of a design.
type LayerReport struct {
	Name     string  `json:"name"`      // the layer
	Strokes  int     `json:"strokes"`   // in it
	LengthMM float64 `json:"length_mm"` // as drawn
}

// NoteReport is something in the file that was not drawn or not certain.
type NoteReport struct {
	Code    string `json:"code"`    // kebab-case
	Element string `json:"element"` // kind of element, with its id
	Line    int    `json:"line"`    // 0 when unknown
	Message string `json:"message"` // a sentence
}

// Check says what a design holds and, when its size is known, what cannot be
// drawn or worked at that size. What does not fit is a warning here, not an
// error; an unreadable setting is one.
func Check(ctx context.Context, in job.Inputs, s job.Settings, opt Options) (CheckReport, error) {
	s = s.Complete()
	if err := s.Validate(); err != nil {
		return CheckReport{}, err
	}
	d := in.Design
	b := d.Bounds()
	r := CheckReport{
		Name: label.Clean(d.Name, label.Line), HasSize: d.HasSize, SizeMM: [2]float64{round(b.Width()), round(b.Height())},
		Mirrored: job.Mirrored(s.Craft, s.Transfer), Side: job.DrawnSide(s.Craft, s.Transfer).Title,
		Layers: []LayerReport{}, Ignored: []NoteReport{}, Warnings: []Warning{}, Findings: []Finding{},
		FindingsFrame: "the finished rug from its front, mm from its lower left corner, y up",
	}
	for _, l := range d.Layers {
		lr := LayerReport{Name: l.Name, Strokes: len(l.Strokes)}
		for _, st := range l.Strokes {
			lr.LengthMM += st.Length()
		}
		lr.LengthMM = round(lr.LengthMM)
		r.Strokes += lr.Strokes
		r.LengthMM += lr.LengthMM
		r.Layers = append(r.Layers, lr)
	}
	r.LengthMM = round(r.LengthMM)
	for _, n := range d.Notes {
		r.Ignored = append(r.Ignored, NoteReport{n.Code, n.Element, n.Line, label.Text(fault.Rename(job.NoteText(n), opt.Names))})
	}
	if r.Strokes == 0 {
		r.Warnings = append(r.Warnings, Warning{Code: "no-line-work", Message: "the design holds no line work: there is nothing to draw"})
		return r, nil
	}
	return r, r.judge(ctx, in, s, opt)
}

// What is looked at: more takes minutes to check and days to draw.
const (
	mostStrokes = 50_000
	mostLength  = 5_000_000 // mm on the rug
)

// tooMuch returns the error of a design that is more than is looked at, at a scale.
func (r *CheckReport) tooMuch(scale float64) error {
	const do = "simplify it, or share it out among several files"
	switch {
	case r.Strokes > mostStrokes:
		return fault.TooBig(r.Name, do, "it has %d strokes: no more than %d are checked", r.Strokes, mostStrokes)
	case r.length*scale > mostLength:
		return fault.TooBig(r.Name, do, "it has %.1f km of line: no more than %.0f km are checked", r.length*scale/1e6, mostLength/1e6)
	}
	return nil
}

// judge inspects the artwork at its finished size, then makes the job, writes
// nothing, and adds the warnings of its report.
func (r *CheckReport) judge(ctx context.Context, in job.Inputs, s job.Settings, opt Options) error {
	if !in.Design.HasSize && s.Width == 0 && s.Height == 0 {
		r.number(lettering(in.Design, s, nil))
		r.Warnings = append(r.Warnings, Warning{Code: "no-size", Message: fault.Rename("the design states no size: give [width] or [height] to see what becomes of it", opt.Names)})
		return nil
	}
	if laid, err := plot.Lay(in, s); err == nil {
		if err := r.tooMuch(laid.Layout.Scale); err != nil {
			return err
		}
		if err := r.find(ctx, laid); err != nil {
			return err
		}
	}
	// How the strokes are ordered makes no difference here.
	s.Really = true // what looks wrong is a warning here
	j, err := plot.Make(ctx, in, s, plot.Options{AsGiven: true})
	if errors.Is(err, fault.Fit) {
		r.Warnings = append(r.Warnings, Warning{Code: "does-not-fit", Message: err.Error()})
		return nil
	}
	if err != nil {
		return err
	}
	j.Inputs.Design.Notes = nil // these are said already
	rep := Of(j, opt)
	r.FinishedMM, r.FinishedChannels = &rep.FinishedMM, &rep.FinishedChannels
	r.Warnings = append(r.Warnings, rep.Warnings...)
	return nil
}
