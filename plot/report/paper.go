package report

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/label"
	"weftplot/plot"
	"weftplot/plot/figures"
	"weftplot/plot/job"
	"weftplot/plot/paper"
)

// Paper is what is printed of a job at full size.
type Paper struct {
	Size      string  `json:"size"`       // of the paper, by name
	OverlapMM float64 `json:"overlap_mm"` // that neighbouring sheets share
	MarginMM  float64 `json:"margin_mm"`  // that the printer leaves blank
	// Scale is what the printer makes of a length, across and along.
	Scale [2]float64  `json:"printer_scale"`
	Side  string      `json:"side"` // of the rug that the paper shows, and how words read
	Pages []PaperPage `json:"pages"`
	// Fewest reports that no shift of the sheets by StepMM, and neither way of turning
	// the paper, needs fewer.
	Fewest bool    `json:"fewest"`
	StepMM float64 `json:"step_mm"`
	// Presses are the places of the iron, and Minutes the time on all of them; 0
	// where the pattern is not ironed on.
	Presses int `json:"presses,omitempty"`
	Minutes int `json:"minutes,omitempty"`
	// Plan is what all this is told of.
	Plan paper.Plan `json:"-"`
}

// PaperPage is a sheet that carries the pattern.
type PaperPage struct {
	Name string `json:"name"` // its row from the top and its column: "A1"
	// OriginMM is where the lower left corner of the paper lies, in the frame "drawn"
	// from the rug's lower left corner.
	OriginMM [2]float64 `json:"origin_mm"`
	PageMM   [2]float64 `json:"page_mm"` // width and height of the paper
}

// NewPaper lays out the pattern of a job on paper; ok is false where none is asked
// for. The errors are those of [job.Settings.Paper] and [paper.Lay].
func NewPaper(j plot.Job) (plan paper.Plan, ok bool, err error) {
	asked, ok, err := j.Settings.Paper()
	if !ok || err != nil {
		return paper.Plan{}, false, err
	}
	p := paper.Pattern{
		Name: label.Clean(j.Settings.Name, label.Picture), Rug: j.Rug, Grid: j.Grid,
		Guide: float64(j.Inputs.Backing.Guide), Mirrored: j.Mirrored, Use: paperUse(j.Settings),
		Cautions: ironCautions(),
	}
	for _, s := range j.Drawn {
		p.Ink = append(p.Ink, paper.Ink{Stroke: s.Stroke, Width: asked.Width, Grey: asked.Grey})
	}
	for _, w := range j.Words {
		p.Lettering = append(p.Lettering, paths.RectOf(j.Grid.At(w.Lo), j.Grid.At(w.Hi)))
	}
	p.Notes = paperNotes(j)
	plan, err = paper.Lay(p, asked.Options)
	return plan, err == nil, err
}

// paperUse says what is done with the paper.
func paperUse(s job.Settings) string {
	side := "front"
	if s.Craft == job.PunchNeedle {
		side = "back"
	}
	switch s.Transfer {
	case job.Tracing:
		return fmt.Sprintf("Lay it face up under the backing, on a light table or a window, and trace it onto the %s of the rug.", side)
	case job.IronOn:
		return "Go over the lines with a heat-transfer pen, turn the paper over onto the side that you work from, and iron."
	}
	return fmt.Sprintf("It is drawn on the %s of the rug as it lies here.", side)
}

// paperNotes are what the page that shows how the sheets go together adds.
func paperNotes(j plot.Job) []string {
	var out []string
	if words := borderWords(j.Settings); len(words) > 0 && len(j.ByHand) > 0 {
		text := "The border is not on the paper. Draw it on the cloth, along its channels, before the paper is laid down:"
		for _, w := range words {
			text += " " + w + ";"
		}
		size := sizeOf(j)
		out = append(out, text+fmt.Sprintf(" the edge is channel 0 at the left and below, %s across and %s along.", figures.Channels(size.nx), figures.Channels(size.ny)))
	}
	if j.Inputs.Backing.Guide > 0 {
		out = append(out, fmt.Sprintf("Dashed faint lines lie where guide threads would, every %s, if one lies in channel 0; they are named by their channels.", j.Inputs.Backing.Guide.Both()))
	}
	return out
}

// paperReport is what the report says of a plan.
func paperReport(j plot.Job, plan paper.Plan) *Paper {
	o := plan.Options
	r := &Paper{
		Size: o.Size.Name, OverlapMM: figures.Round(o.Overlap), MarginMM: figures.Round(o.Margin), Scale: [2]float64{o.Scale.X, o.Scale.Y},
		Side: "front of the rug, words read right", Fewest: plan.Exact, StepMM: figures.Round(plan.Step), Pages: []PaperPage{}, Plan: plan,
	}
	if j.Mirrored {
		r.Side = "back of the rug, words are mirrored"
	}
	for _, s := range plan.Sheets {
		at := s.Origin.Sub(j.Rug.Min)
		r.Pages = append(r.Pages, PaperPage{s.Name, [2]float64{figures.Round(at.X), figures.Round(at.Y)}, [2]float64{figures.Round(s.W), figures.Round(s.H)}})
	}
	if n := len(plan.Places); n > 0 {
		r.Presses, r.Minutes = n, o.Minutes(n)
	}
	return r
}
