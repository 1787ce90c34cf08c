package plot

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/plot/program"
	"weftplot/plot/proof"
	"weftplot/profiles"
)

// DrawnScene shows the job as the pen draws it, in the machine frame: weave,
// margins, strokes by pen, travel, start and end.
func (j *Job) DrawnScene() proof.Scene {
	s := proof.Scene{
		Title: j.Settings.Name, Side: DrawnSide(j.Settings.Craft, j.Settings.Transfer).Words,
		Captions: j.captions(),
		Rug:      j.onMachine(proof.Outline(j.Rug)), Backing: j.onMachine(proof.Outline(j.Rug.Grow(j.Margin))),
		Machine: proof.Outline(j.Inputs.Machine.Reach()),
		Weave:   j.weaveLines(j.Registration.Point),
	}
	for _, r := range j.Runs {
		ink, travel := inkOf(r.Program, r.Pen, r.Strokes)
		s.Ink = append(s.Ink, ink...)
		s.Travel = append(s.Travel, travel...)
	}
	s.Start, s.End = ends(s.Ink)
	s.Marks = j.proofMarks()
	s.Notes = notes(j.Warnings)
	return s
}

// RugScene shows the same pattern as the finished rug shows it from the front,
// in the frame "rug".
func (j *Job) RugScene() proof.Scene {
	front := toDrawn(j.Mirrored, j.Rug.Min.X+j.Rug.Max.X)
	s := proof.Scene{
		Title: j.Settings.Name, Side: RugSide().Words, Captions: j.captions()[:2],
		Rug: proof.Outline(j.Rug), NoDirection: true,
		Weave: j.weaveLines(func(p weave.Place) paths.Point {
			return front.Apply(j.Grid.At(p))
		}),
	}
	for _, k := range j.Drawn {
		pen, err := j.penFor(k.Layer)
		if err != nil {
			continue // Make found every pen already
		}
		s.Ink = append(s.Ink, proof.Ink{Stroke: k.Transform(front), Colour: pen.Colour, Width: float64(pen.Width), Layer: k.Layer, Pen: pen.Name})
	}
	return s
}

// captions are the facts that both proofs show.
func (j *Job) captions() []string {
	w, h := j.finished()
	n := 0
	var total float64
	for _, r := range j.Runs {
		n += r.Totals.Strokes
		total += r.Timing.Total
	}
	return []string{
		fmt.Sprintf("finished %s x %s in (%.1f x %.1f cm)", paths.Length(w).Eighths(), paths.Length(h).Eighths(), w/10, h/10),
		fmt.Sprintf("%s x %s channels on %s, %s", channels(w/j.Grid.Across), channels(h/j.Grid.Along), j.Inputs.Backing.Name, j.Count),
		fmt.Sprintf("%d strokes, about %s", n, Minutes(total)),
	}
}

// channels writes a number of channels without needless decimals.
func channels(n float64) string {
	if math.Abs(n-math.Round(n)) < 0.005 {
		return fmt.Sprintf("%.0f", n)
	}
	return fmt.Sprintf("%.1f", n)
}

// weaveLines returns every channel of the rug through the given map.
func (j *Job) weaveLines(m func(weave.Place) paths.Point) []proof.WeaveLine {
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

// inkOf returns the strokes and travel of a program. The layers are those of
// the strokes it was made from, when they are known.
func inkOf(p program.Program, pen profiles.Pen, from []Stroke) (ink []proof.Ink, travel []paths.Line) {
	for i, s := range p.Strokes() {
		layer := ""
		if i < len(from) {
			layer = from[i].Layer
		}
		ink = append(ink, proof.Ink{Stroke: s, Colour: pen.Colour, Width: float64(pen.Width), Layer: layer, Pen: pen.Name})
	}
	return ink, travels(p)
}

// travels returns the ways of the lifted pen.
func travels(p program.Program) []paths.Line {
	var out []paths.Line
	for _, b := range p.Blocks {
		if l, ok := b.Curve.(paths.Line); ok && b.Kind == program.Travel {
			out = append(out, l)
		}
	}
	return out
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
		n := proof.Note{Label: w.Message}
		if w.At != nil {
			n.At = &paths.Point{X: w.At[0], Y: w.At[1]}
		}
		out = append(out, n)
	}
	return out
}

// Minutes writes a time in s as a person says it: "45 s", "12 min", "1 h 5 min".
func Minutes(s float64) string {
	m := int(math.Round(s / 60))
	switch {
	case s < 90:
		return fmt.Sprintf("%.0f s", s)
	case m < 60:
		return fmt.Sprintf("%d min", m)
	}
	return fmt.Sprintf("%d h %d min", m/60, m%60)
}
