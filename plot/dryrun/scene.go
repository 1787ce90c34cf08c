package dryrun

import (
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/plot/proof"
	"weftplot/profiles"
)

// near is the part of the plane that the picture of a dry run shows: the machine's
// reach and a margin round it. A coordinate far outside would make everything else
// too small to see.
type near struct {
	box    paths.Rect
	margin float64
	cut    bool // something was left out
}

func newNear(m profiles.Machine) *near {
	reach := m.Reach()
	margin := math.Ceil(max(reach.Width(), reach.Height()) / 2)
	return &near{box: reach.Grow(margin), margin: margin}
}

// strokes returns the parts of s that are near.
func (n *near) strokes(s paths.Stroke) []paths.Stroke {
	var out []paths.Stroke
	for _, c := range s {
		spans := paths.Within(c, n.box)
		n.cut = n.cut || len(spans) != 1 || spans[0] != paths.Span{From: 0, To: 1}
		for _, span := range spans {
			part := paths.Sub(c, span.From, span.To)
			if last := len(out) - 1; last >= 0 && out[last].End() == part.Start() {
				out[last] = append(out[last], part)
			} else {
				out = append(out, paths.Stroke{part})
			}
		}
	}
	return out
}

func (n *near) line(l paths.Line) []paths.Line {
	var out []paths.Line
	for _, s := range n.strokes(paths.Stroke{l}) {
		out = append(out, paths.Line{A: s.Start(), B: s.End()})
	}
	return out
}

// point returns p, or the nearest point that is near.
func (n *near) point(p paths.Point) *paths.Point {
	return &paths.Point{X: min(max(p.X, n.box.Min.X), n.box.Max.X), Y: min(max(p.Y, n.box.Min.Y), n.box.Max.Y)}
}

// ink returns the strokes with their numbers and pens.
func (r Review) ink(n *near, pen profiles.Pen) []proof.Ink {
	var out []proof.Ink
	several := len(r.Summary.Pens) > 1
	for i, d := range r.Program.Drawn() {
		name, number := pen.Name, i+1
		if several {
			name = fmt.Sprintf("pen %d", d.Pen)
		}
		if r.numbers != nil {
			number = r.numbers[i]
		}
		for _, s := range n.strokes(d.Stroke) {
			out = append(out, proof.Ink{Stroke: s, Colour: pen.Colour, Width: float64(pen.Width), Pen: name, Number: number})
			number = 0 // a stroke that comes back into the picture is numbered once
		}
	}
	return out
}

// maxPaces is how many shades of speed there are at most.
const maxPaces = 5

// paces returns the strokes cut up by the speed that the pen reaches, in classes
// of a round number of mm/s.
func (r Review) paces(n *near, width float64) []proof.Pace {
	step := paceStep(r.Summary.MaxSpeed)
	if step == 0 {
		return nil
	}
	var speeds []float64
	for v := step; v < r.Summary.MaxSpeed; v += step {
		speeds = append(speeds, v)
	}
	out := make([]proof.Pace, len(speeds)+1)
	for i := range out {
		out[i] = proof.Pace{From: step * float64(i), To: step * float64(i+1), Width: width}
	}
	var run paths.Stroke
	class := 0
	finish := func() {
		out[class].Strokes = append(out[class].Strokes, n.strokes(run)...)
		run = nil
	}
	for _, s := range r.plan.Stretches(speeds) {
		if r.Program.Blocks[s.Block].Kind != program.Draw {
			continue
		}
		if len(run) > 0 && (s.Class != class || s.Curve.Start() != run.End()) {
			finish()
		}
		class = s.Class
		run = append(run, s.Curve)
	}
	finish()
	for _, d := range r.Program.Drawn() {
		if d.IsDot() {
			out[0].Strokes = append(out[0].Strokes, n.strokes(d.Stroke)...)
		}
	}
	return out
}

// paceStep returns the least round number that cuts speeds of up to v into no
// more classes than there are shades; 0 when there is no speed.
func paceStep(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	decade := math.Pow(10, math.Floor(math.Log10(v/maxPaces)))
	for _, k := range []float64{1, 2, 5} {
		if k*decade*maxPaces >= v*(1-1e-9) {
			return k * decade
		}
	}
	return 10 * decade
}

// ends are where the pen is first set down and last lifted, if that is near.
func (r Review) ends(n *near) (start, end *paths.Point) {
	drawn := r.Program.Drawn()
	if len(drawn) == 0 {
		return nil, nil
	}
	a, b := drawn[0].Start(), drawn[len(drawn)-1].End()
	if n.box.Contains(a) {
		start = &a
	}
	if n.box.Contains(b) {
		end = &b
	}
	return start, end
}

// marks returns the notes of the picture: first the broken limits, with the curves
// that break them, then what is not understood and the reader's other notes.
func (r Review) marks(n *near) []proof.Note {
	var out []proof.Note
	for _, b := range r.Judgement.Broken {
		note := proof.Note{Label: b.Message, At: n.point(b.At)}
		for _, s := range b.Parts {
			note.Parts = append(note.Parts, n.strokes(s)...)
		}
		out = append(out, note)
	}
	for _, m := range slices.Concat(r.Judgement.Doubts, r.Program.Notes) {
		note := proof.Note{Label: language.NoteText(m)}
		if m.At != nil {
			note.At = n.point(*m.At)
			for _, s := range language.Concerned(r.Program, m) {
				note.Parts = append(note.Parts, n.strokes(s)...)
			}
		}
		out = append(out, note)
	}
	return out
}
