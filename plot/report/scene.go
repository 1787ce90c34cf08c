package report

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/label"
	"weftplot/paths/weave"
	"weftplot/plot"
	"weftplot/plot/figures"
	"weftplot/plot/job"
	"weftplot/plot/proof"
	"weftplot/profiles"
)

// DrawnScene shows a job as the pen draws it, in the machine frame: weave,
// margins, strokes by pen, travel, start and end, and the warnings of its report.
func DrawnScene(j plot.Job, r Report) proof.Scene {
	if j.Kit != nil {
		return kitScene(j, r)
	}
	if len(j.Loads) > 1 {
		return panelsScene(j, r)
	}
	s := proof.Scene{
		Title: label.Clean(j.Settings.Name, label.Picture), Side: job.DrawnSide(j.Settings.Craft, j.Settings.Transfer).Words,
		Captions: captions(j),
		Rug:      j.OnMachine(proof.Outline(j.Rug)), Backing: j.OnMachine(proof.Outline(j.Rug.Grow(j.Margin))),
		Weave: weaveLines(j, j.Registration.Point),
	}
	if j.Settings.HasMachine() {
		s.Machine = proof.Outline(j.Inputs.Machine.Reach())
	} else {
		s.Ink, s.NoDirection = printedInk(j), true
	}
	for _, k := range j.ByHand {
		s.Ink = append(s.Ink, handInk(j.OnMachine(k.Stroke)))
	}
	for _, run := range j.PenRuns {
		ink, travel := inkOf(run)
		s.Ink, s.Travel = joined(s.Ink, ink), joined(s.Travel, travel)
	}
	if j.Settings.HasMachine() {
		s.Start, s.End = ends(s.Ink)
	}
	s.Marks = proofMarks(j)
	s.Notes = notes(r.Warnings)
	return s
}

// RugScene shows the same pattern as the finished rug shows it from the front,
// in the frame "rug".
func RugScene(j plot.Job) proof.Scene {
	front := j.Mirror(j.Rug.Min.X + j.Rug.Max.X)
	s := proof.Scene{
		Title: label.Clean(j.Settings.Name, label.Picture), Side: job.RugSide().Words, Captions: captions(j)[:2],
		Rug: proof.Outline(j.Rug), NoDirection: true,
		Weave: weaveLines(j, func(p weave.Place) paths.Point {
			return front.Apply(j.Grid.At(p))
		}),
	}
	s.Ink = make([]proof.Ink, 0, len(j.Drawn)+len(j.ByHand))
	for _, k := range j.Drawn {
		if j.IsForMakingUp(k) {
			continue // it is hemmed under or cut off
		}
		pen, err := j.PenFor(k.Layer)
		if err != nil {
			continue // Order found every pen already
		}
		s.Ink = append(s.Ink, Inked(k.Stroke.Transform(front), pen, k.Layer))
	}
	for _, k := range j.ByHand {
		s.Ink = append(s.Ink, handInk(k.Stroke.Transform(front)))
	}
	return s
}

// printedInk is what a job without a machine puts on paper.
func printedInk(j plot.Job) []proof.Ink {
	var out []proof.Ink
	for _, k := range j.Placed {
		if pen, err := j.PenFor(k.Layer); err == nil {
			out = append(out, Inked(k.Stroke, pen, k.Layer))
		}
	}
	return out
}

// handInk is a line of the border that a person draws on the cloth.
func handInk(s paths.Stroke) proof.Ink {
	return proof.Ink{Stroke: s, Colour: "#56b4e9", Width: 0.5, Layer: plot.BorderLayer, Pen: "by hand, on the cloth"}
}

// Inked returns a stroke as a pen draws it.
func Inked(s paths.Stroke, pen profiles.Pen, layer string) proof.Ink {
	return proof.Ink{Stroke: s, Colour: pen.Colour, Width: float64(pen.Width), Layer: label.Clean(layer, label.Picture), Pen: label.Clean(pen.Name, label.Picture)}
}

// captions are the facts that both proofs show.
func captions(j plot.Job) []string {
	size := sizeOf(j)
	n := 0
	var total float64
	for _, r := range j.PenRuns {
		n += r.Totals.Strokes
		total += r.Timing.Total
	}
	drawn := fmt.Sprintf("%d strokes, about %s", n, figures.Minutes(total))
	if !j.Settings.HasMachine() {
		drawn = fmt.Sprintf("%d lines, for paper: no machine", len(j.Drawn))
	}
	return []string{
		"finished " + figures.InchesAndCM(size.w, size.h),
		fmt.Sprintf("%s x %s channels on %s, %s", figures.Channels(size.nx), figures.Channels(size.ny), label.Clean(j.Inputs.Backing.Name, label.Picture), j.Count),
		drawn,
	}
}

// weaveLines returns every channel of the rug through the given map.
func weaveLines(j plot.Job, m func(weave.Place) paths.Point) []proof.WeaveLine {
	lo, hi := j.Grid.PlaceOf(j.Rug.Min), j.Grid.PlaceOf(j.Rug.Max)
	var out []proof.WeaveLine
	add := func(along bool, n int, from, to weave.Place) {
		const steps = 24 // a measured channel bends
		pts := []paths.Point{m(from)}
		last := 1
		if j.Registration.Report() != nil {
			last = steps
		}
		for i := 1; i <= last; i++ {
			t := float64(i) / float64(last)
			pts = append(pts, m(weave.Place{Across: from.Across + t*(to.Across-from.Across), Along: from.Along + t*(to.Along-from.Along)}))
		}
		out = append(out, proof.WeaveLine{Channel: n, Along: along, Points: pts})
	}
	const eps = 1e-6
	for n := int(math.Ceil(lo.Across - eps)); float64(n) <= hi.Across+eps; n++ {
		x := float64(n)
		add(false, n, weave.Place{Across: x, Along: lo.Along}, weave.Place{Across: x, Along: hi.Along})
	}
	for n := int(math.Ceil(lo.Along - eps)); float64(n) <= hi.Along+eps; n++ {
		y := float64(n)
		add(true, n, weave.Place{Across: lo.Across, Along: y}, weave.Place{Across: hi.Across, Along: y})
	}
	return out
}

// inkOf returns the strokes and travel of a pen run, with the layers of the
// strokes that it was made from.
func inkOf(r plot.PenRun) (ink []proof.Ink, travel []paths.Line) {
	strokes := r.Program.Strokes()
	ink = make([]proof.Ink, 0, len(strokes))
	for i, s := range strokes {
		ink = append(ink, Inked(s, r.Pen, r.Ways[i].Layer))
	}
	return ink, r.Program.Travels()
}

// joined returns a with b behind it, which is b itself where a holds nothing.
func joined[T any](a, b []T) []T {
	if len(a) == 0 {
		return b
	}
	return append(a, b...)
}

// ends are where the pen is first set down and last lifted.
func ends(ink []proof.Ink) (start, end *paths.Point) {
	if len(ink) == 0 {
		return nil, nil
	}
	a, b := ink[0].Stroke.Start(), ink[len(ink)-1].Stroke.End()
	return &a, &b
}

func notes(ws []Warning) []proof.Note {
	var out []proof.Note
	for _, w := range ws {
		n := proof.Note{Label: w.Plain()}
		if w.At != nil {
			n.At = &paths.Point{X: w.At[0], Y: w.At[1]}
		}
		out = append(out, n)
	}
	return out
}
