package plot

import (
	"fmt"

	"weftplot/paths/fault"
	"weftplot/plot/job"
)

// A Doubt is something about a job that is surely wrong, such as a blade on
// backing. [Make] refuses the job for it, unless its settings overrule that.
type Doubt struct {
	Code    string // kebab-case, as of a warning
	Message string // a sentence without a full stop
	Do      string // what mends it
}

// Doubts returns what is surely wrong about a job that is laid out (common
// practice): a blade that would cut the backing, a pen whose line no iron turns
// over in a job that is ironed on, and words of the design that are left out.
func (l Laid) Doubts() []Doubt {
	var out []Doubt
	seen := map[string]bool{}
	for _, layer := range l.layersDrawn() {
		pen, err := l.PenFor(layer)
		if err != nil || seen[pen.Name] {
			continue // a pen that is missing is a fault of its own
		}
		seen[pen.Name] = true
		if !l.Settings.HasMachine() {
			continue // a printer draws, and a person
		}
		switch t := l.Settings.Transfer; {
		case pen.Blade && t == job.Direct:
			out = append(out, Doubt{"blade-on-backing",
				fmt.Sprintf("%s cuts, and this job is drawn straight on the backing: give [transfer] tracing for a paper pattern", pen.Name),
				"give [transfer] tracing for a paper pattern, or another [pen]"})
		case !pen.Transfers && t == job.IronOn:
			out = append(out, Doubt{"pen-does-not-transfer",
				fmt.Sprintf("%s leaves a line that no iron turns over; use a heat-transfer pen for an iron-on job", pen.Name),
				"give [pen] heat-transfer-pen, for the border too"})
		}
	}
	for _, n := range l.Inputs.Design.Notes {
		if n.Code == "text-not-drawn" {
			out = append(out, Doubt{"words-left-out", "words of the design are left out: " + job.NoteText(n),
				"turn the text into lines in the drawing program, or, for SVG, give [font] a font file"})
			break
		}
	}
	return append(out, l.leftOut...)
}

// layersDrawn returns the layer of each stroke, the border's first.
func (l Laid) layersDrawn() []string {
	var out []string
	if rows, err := l.Settings.BorderRows(); err == nil && rows != nil && l.Settings.BorderOn != job.BorderOnCloth {
		out = append(out, BorderLayer)
	}
	for _, s := range l.Artwork {
		out = append(out, s.Layer)
	}
	for _, w := range l.Words {
		out = append(out, w.Layer)
	}
	return out
}

// refuse returns the fault of the first doubt that is not overruled.
func (l Laid) refuse() error {
	doubts := l.Doubts()
	if l.Settings.Really || len(doubts) == 0 {
		return nil
	}
	return fault.Bad(l.Inputs.Design.Name, doubts[0].Do+"; [really] goes on all the same", "%s", doubts[0].Message)
}
