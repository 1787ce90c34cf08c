package report

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/weave/cloth"
	"weftplot/plot"
	"weftplot/plot/figures"
	"weftplot/plot/proof"
)

// Registration says how well the marks fit and how the cloth lies.
// Lengths are mm; counts are channels an inch.
type Registration struct {
	Model       string   `json:"model"`            // of the fit, one of models.Names
	RMS         float64  `json:"rms_mm"`           // root mean square of the residuals
	Max         float64  `json:"max_mm"`           // the greatest residual
	RMSChannels float64  `json:"rms_channels"`     // the same in channels
	MaxChannels float64  `json:"max_channels"`     // the same in channels
	LeaveOneOut *float64 `json:"leave_one_out_mm"` // null when there is no mark to spare
	// ExpectedError is how far, in channels, a line may be off at the worst place of
	// the rug: in 95 of 100 cloths like this it is nowhere farther off. LikelyError is
	// the same for 2 of 3.
	ExpectedError float64   `json:"expected_error_channels"`
	LikelyError   float64   `json:"likely_error_channels"`
	Noise         float64   `json:"noise_mm"`          // with which the marks seem to be read, each way
	Next          *NextMark `json:"next_mark"`         // the one that would help most; null where there is none
	Count         string    `json:"count"`             // at the rug's centre
	CountLow      string    `json:"count_low"`         // the least over the marks
	CountHigh     string    `json:"count_high"`        // the greatest over the marks
	SkewPercent   float64   `json:"skew_percent"`      // of the weft against the warp
	BowPercent    float64   `json:"bow_percent"`       // of the weft
	BowAlong      float64   `json:"bow_along_percent"` // of the warp, in per cent
	BowKind       string    `json:"bow_kind"`          // in a word
	TurnedDegrees float64   `json:"turned_degrees"`    // of the cloth, counter-clockwise
	Marks         []Mark    `json:"marks"`             // as they were given
	Words         []string  `json:"words"`             // what it means for a person
}

// Mark is one mark: where it was found and how far off the fit, mm.
type Mark struct {
	Across   float64    `json:"across"`      // channels
	Along    float64    `json:"along"`       // channels
	At       [2]float64 `json:"at_mm"`       // on the machine
	Residual [2]float64 `json:"residual_mm"` // found minus fitted
}

// NextMark is a mark to take next.
type NextMark struct {
	Across float64 `json:"across"` // channels
	Along  float64 `json:"along"`  // channels
	Then   float64 `json:"then_expected_error_channels"`
}

// NewRegistration puts a registration's own report into the form of
// report.json; nil for a nominal one.
func NewRegistration(r *cloth.Report) *Registration {
	if r == nil {
		return nil
	}
	out := &Registration{
		Model: r.Model, RMS: figures.Round(r.RMS), Max: figures.Round(r.Max), RMSChannels: figures.Round(r.RMSChannels), MaxChannels: figures.Round(r.MaxChannels),
		Count: perInch(r.Count), CountLow: perInch(r.CountLow), CountHigh: perInch(r.CountHigh),
		SkewPercent: figures.Round(r.Skew), BowPercent: figures.Round(r.Bow), BowAlong: figures.Round(r.BowAlong), BowKind: r.BowKind,
		TurnedDegrees: figures.Round(r.Turned), Words: append([]string{}, r.Words...), Marks: []Mark{},
	}
	out.ExpectedError, out.LikelyError, out.Noise = figures.Round(r.ExpectedError), figures.Round(r.LikelyError), figures.Round(r.Noise)
	if b := r.Better; b.Then > 0 {
		out.Next = &NextMark{b.Place.Across, b.Place.Along, figures.Round(b.Then)}
	}
	if r.HasSpare {
		l := figures.Round(r.LeaveOneOut)
		out.LeaveOneOut = &l
	}
	for _, m := range r.Marks {
		out.Marks = append(out.Marks, Mark{
			m.Place.Across, m.Place.Along,
			[2]float64{figures.Round(m.At.X), figures.Round(m.At.Y)}, [2]float64{figures.Round(m.Residual.X), figures.Round(m.Residual.Y)},
		})
	}
	return out
}

// perInch writes a measured count to the hundredth of a channel an inch.
func perInch(c paths.Count) string {
	return fmt.Sprintf("%.2fx%.2f/in", c.Across*paths.MMPerInch, c.Along*paths.MMPerInch)
}

// proofMarks are the marks with their residuals, for the proof.
func proofMarks(j plot.Job) []proof.Mark {
	r := j.Registration.Report()
	if r == nil {
		return nil
	}
	var out []proof.Mark
	for _, m := range r.Marks {
		out = append(out, proof.Mark{At: m.At, Off: m.Residual})
	}
	return out
}
