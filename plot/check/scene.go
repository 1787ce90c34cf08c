package check

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/plot/figures"
	"weftplot/plot/job"
	"weftplot/plot/proof"
	"weftplot/plot/report"
)

// Scene shows the artwork on the finished rug with the number of each listed
// finding at its place. Without a size there is none, and that is a fault.
func (r Report) Scene() (proof.Scene, error) {
	j := r.laid
	if j == nil {
		return proof.Scene{}, fault.Bad(r.Name, `say how large the rug is to be: [width] 24in, or [height] 61cm`, "there is no picture of a design whose finished size is not known")
	}
	w, h := j.Layout.Width, j.Layout.Height
	s := proof.Scene{
		Title: "check of " + label.Clean(j.Settings.Name, label.Picture), Side: job.RugSide().Words,
		Captions: []string{
			figures.InchesAndCM(w, h),
			j.Settings.GaugeWords(j.Grid),
		},
		Rug: proof.Outline(paths.Rect{Max: paths.Point{X: w, Y: h}}), NoDirection: true, EveryNote: true,
	}
	for _, l := range j.Field.Layers {
		pen, err := j.PenFor(l.Name)
		if err != nil {
			return proof.Scene{}, err
		}
		for _, k := range l.Strokes {
			s.Ink = append(s.Ink, report.Inked(k.Transform(j.Layout.ToRug), pen, l.Name))
		}
	}
	for _, f := range r.Findings {
		if !f.Listed {
			break // those that are listed come first
		}
		n := proof.Note{Label: f.Headline()}
		if f.At != nil {
			n.At = &paths.Point{X: f.At[0], Y: f.At[1]}
		}
		s.Notes = append(s.Notes, n)
	}
	return s, nil
}

// Headline is a finding in one line: its kind, its layer and its message.
func (f Finding) Headline() string {
	text := map[string]string{
		FoundDouble: "drawn twice", FoundGap: "gap nearly closed", FoundClose: "too close together",
		FoundSpeck: "too small", FoundEmpty: "no room for a loop", FoundNarrow: "narrower than two rows of loops",
		FoundLettering: "lettering", FoundNoted: "in the file", FoundWarned: "at this size",
	}[f.Code]
	if f.Layer != "" {
		text += fmt.Sprintf(", layer %q", f.Layer)
	}
	return text + ": " + f.Message
}
