package report

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"weftplot/paths"
	"weftplot/paths/label"
	"weftplot/paths/weave"
	"weftplot/plot"
	"weftplot/plot/figures"
	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
	"weftplot/plot/proof"
)

// Copy is one rug of a kit. Channels are counted from the lower left corner of the whole
// cloth's drawing.
type Copy struct {
	N          int        `json:"n"`    // from 1
	Name       string     `json:"name"` // "" for none
	Load       int        `json:"load"` // that it is drawn in, from 1
	AtChannels [2]float64 `json:"at_channels"`
	Turned     bool       `json:"turned"`        // by a quarter, and snapped so
	Size       [2]float64 `json:"size_channels"` // on the cloth, across and along
	PieceMM    [4]float64 `json:"piece_mm"`      // to be cut out: x0, y0, x1, y1 from the same corner
}

// Load is one laying of the cloth on the machine, of a kit or of a rug that is drawn in
// parts.
type Load struct {
	N          int      `json:"n"`           // from 1
	Files      []string `json:"files"`       // its programs, in their order
	NeedsMarks bool     `json:"needs_marks"` // it cannot be drawn before its marks are found
	// AtMM is where the lower left corner of the whole cloth's drawing is to be laid on the
	// machine.
	AtMM         [2]float64    `json:"at_mm"`
	Copies       []int         `json:"copies,omitempty"` // of a kit, in the order of drawing
	Registration *Registration `json:"registration"`     // null without marks
	Points       []Point       `json:"points"`           // to find on the cloth, in their order
	// ExpectedError is how far the parts of a stroke may be apart at the joints, in channels,
	// as [Registration] says it: with the marks that were found or, before that, once all
	// points are. Null where it is not known, as in a load that meets none before it.
	ExpectedError *float64 `json:"expected_error_channels"`
	// EnoughPoints is after how many of the points the joints are likely to be sure; left out
	// where only all of them may do.
	EnoughPoints int         `json:"enough_points,omitempty"`
	WindowMM     *[4]float64 `json:"window_mm,omitempty"` // of a part of a rug: x0, y0, x1, y1 from the same corner
	BoxMM        *[4]float64 `json:"box_mm,omitempty"`    // what of the window the rug fills
	Strokes      int         `json:"strokes,omitempty"`   // of a part of a rug, also before it has a program
	DrawMM       float64     `json:"draw_mm,omitempty"`   // the same
}

// Point is a place of the cloth to be found by the machine.
type Point struct {
	Name   string  `json:"name"`
	Across float64 `json:"across"` // channels
	Along  float64 `json:"along"`
	// LooseMM is how far ink of earlier loads may lie beside a thread, each way, root mean
	// square; left out for ink.
	LooseMM float64 `json:"loose_mm,omitempty"`
}

// PenNeed is how many pens a kit takes.
type PenNeed struct {
	Pen     string  `json:"pen"`
	DrawMM  float64 `json:"draw_mm"`            // in all loads
	LastsMM float64 `json:"lasts_mm,omitempty"` // as its profile says; left out where it does not
	Ready   int     `json:"ready,omitempty"`    // to have ready
}

// addKit adds what is said of copies and loads.
func (r *Report) addKit(j plot.Job) {
	if j.Kit == nil {
		return
	}
	cloth := j.Kit.Cloth
	r.ClothMM = &[2]float64{figures.Round(cloth.Width()), figures.Round(cloth.Height())}
	for _, c := range j.Kit.Copies {
		r.Copies = append(r.Copies, Copy{c.N, label.Clean(c.Name, label.Line), c.Load, [2]float64{c.At.Across, c.At.Along}, c.Turned,
			[2]float64{figures.Round(c.NX), figures.Round(c.NY)}, *figures.Bounds(c.Piece)})
	}
	k := 0
	for _, l := range j.Loads {
		load := Load{N: l.N, AtMM: [2]float64{figures.Round(l.At.X), figures.Round(l.At.Y)}, Copies: l.Copies, Registration: NewRegistration(l.Registration.Report()), Points: []Point{}}
		for _, run := range l.PenRuns {
			load.Files = append(load.Files, run.File)
			r.Pens[k].Load = l.N
			k++
		}
		r.Loads = append(r.Loads, load)
	}
	r.PensNeeded = pensNeeded(j)
}

// pensNeeded sums what each pen draws.
func pensNeeded(j plot.Job) []PenNeed {
	var out []PenNeed
	for _, run := range j.PenRuns {
		i := 0
		for i < len(out) && out[i].Pen != run.Pen.Name {
			i++
		}
		if i == len(out) {
			out = append(out, PenNeed{Pen: run.Pen.Name, LastsMM: float64(run.Pen.Lasts)})
		}
		out[i].DrawMM = figures.Round(out[i].DrawMM + run.Totals.DrawMM)
		if out[i].LastsMM > 0 {
			out[i].Ready = int(math.Ceil(out[i].DrawMM / out[i].LastsMM))
		}
	}
	return out
}

// copyRuns counts the strokes of each copy, in order.
func copyRuns(copies []int) []jobfolder.CopyRun {
	var runs []jobfolder.CopyRun
	for _, c := range copies {
		if n := len(runs); n == 0 || runs[n-1].Copy != c {
			runs = append(runs, jobfolder.CopyRun{Copy: c})
		}
		runs[len(runs)-1].Strokes++
	}
	return runs
}

// sheetKit lists the copies, the loads and the pens to have ready.
func sheetKit(j plot.Job, r Report, p func(string, ...any)) {
	if j.Kit == nil {
		return
	}
	p("")
	p("COPIES")
	p("  cloth           %s from selvedge to selvedge, %s of it along", paths.Length(r.ClothMM[0]).Both(), paths.Length(r.ClothMM[1]).Both())
	p("  places are the lower left corners of the rugs, counted from that of the lowest rug on the left: channels across and along, then cm")
	p("")
	p("  %4s  %-24s %4s  %-14s %s", "copy", "name", "load", "channels", "cm")
	for _, c := range r.Copies {
		at := j.Grid.At(weave.Place{Across: c.AtChannels[0], Along: c.AtChannels[1]})
		turned := ""
		if c.Turned {
			turned = "  turned"
		}
		n, name := fmt.Sprint(c.N), c.Name
		if utf8.RuneCountInString(name) > 24 { // it gets lines of its own
			p("  %4s  %s", n, name)
			n, name = "", ""
		}
		p("  %4s  %-24s %4d  %-14s %.1f, %.1f%s", n, name, c.Load, fmt.Sprintf("%.0f, %.0f", c.AtChannels[0], c.AtChannels[1]), at.X/10, at.Y/10, turned)
	}
	p("")
	p("LOADS")
	for i, l := range r.Loads {
		names := make([]string, len(l.Copies))
		for i, n := range l.Copies {
			names[i] = fmt.Sprint(n)
		}
		first := j.Kit.Copies[j.Loads[i].Lowest()-1]
		at := j.Loads[i].PlaceOf(first.At)
		text := fmt.Sprintf("%s; lay the lower left corner of copy %d at %s; copies in this order: %s", strings.Join(l.Files, ", "), first.N, placeWords(at), strings.Join(names, ", "))
		p("%s", strings.TrimRight(wrap(fmt.Sprintf("  %d. ", l.N), text, label.Columns), "\n"))
	}
	p("")
	p("PENS TO HAVE READY")
	for _, n := range r.PensNeeded {
		ready := "its profile does not say how much it draws"
		if n.Ready > 0 {
			ready = fmt.Sprintf("%d, at %.0f m each", n.Ready, n.LastsMM/1000)
		}
		p("  %s draws %.1f m: %s", n.Pen, n.DrawMM/1000, ready)
	}
}

// kitSteps are what a person does with a kit (common practice).
func kitSteps(j plot.Job) []string {
	s := []string{"One copy is finished before the next is begun. Do not move the cloth before all pens of a load are done."}
	if len(j.Loads) > 1 {
		s = append(s, "Between loads move the cloth to its next place, threads square to the machine, and draw nothing where something is drawn already.")
	}
	return append(s, "Cut along a thread from one selvedge to the other, in the channels that the ticks show, then each row across; selvedges are not used.")
}

// kitScene shows a whole kit: in the machine frame where it is drawn in one load, else on
// the cloth.
func kitScene(j plot.Job, r Report) proof.Scene {
	if len(j.Loads) == 1 {
		s := LoadScene(j, 0)
		s.Notes = notes(r.Warnings)
		return s
	}
	s := kitCaptions(j)
	s.Backing, s.NoDirection = proof.Outline(j.Kit.Cloth), true
	for _, l := range j.Loads {
		all := paths.EmptyRect()
		for _, n := range l.Copies {
			all = all.Union(j.Kit.Copies[n-1].Piece)
		}
		s.Loads = append(s.Loads, proof.Region{Outline: proof.Outline(all.Grow(-0.5 * j.Grid.Across)), Label: fmt.Sprintf("load %d", l.N)})
		home := paths.Translate(j.Grid.At(l.Origin))
		for _, k := range l.Drawn {
			if pen, err := l.PenFor(k.Layer); err == nil {
				s.Ink = append(s.Ink, Inked(k.Stroke.Transform(home), pen, k.Layer))
			}
		}
		for _, k := range l.ByHand {
			s.Ink = append(s.Ink, handInk(k.Stroke.Transform(home)))
		}
	}
	for _, c := range j.Kit.Copies {
		s.Rugs = append(s.Rugs, proof.Region{Outline: proof.Outline(c.Rug), Label: label.Clean(c.Title(), label.Picture)})
	}
	s.Weave = channelsOf(j.Grid, j.Kit.Cloth)
	s.Notes = notes(r.Warnings)
	for i := range s.Notes {
		s.Notes[i].At = nil // places are on the machine
	}
	return s
}

// LoadScene shows one load of a kit, by its number from 0, in the machine frame.
func LoadScene(j plot.Job, load int) proof.Scene {
	l := j.Loads[load]
	s := kitCaptions(j)
	if len(j.Loads) > 1 {
		s.Title += fmt.Sprintf(", load %d of %d", l.N, len(j.Loads))
	}
	home := paths.Translate(j.Grid.At(l.Origin).Mul(-1))
	place := func(r paths.Rect) paths.Stroke { return l.OnMachine(proof.Outline(r).Transform(home)) }
	s.Machine = proof.Outline(l.Inputs.Machine.Reach())
	all := paths.EmptyRect()
	for _, n := range l.Copies {
		c := j.Kit.Copies[n-1]
		all = all.Union(c.Piece)
		s.Rugs = append(s.Rugs, proof.Region{Outline: place(c.Rug), Label: label.Clean(c.Title(), label.Picture)})
	}
	s.Backing = place(all)
	s.Weave = weaveLines(l.Job, l.Registration.Point)
	for i := range s.Weave {
		if w := &s.Weave[i]; w.Along {
			w.Channel += int(l.Origin.Along)
		} else {
			w.Channel += int(l.Origin.Across)
		}
	}
	for _, k := range l.ByHand {
		s.Ink = append(s.Ink, handInk(l.OnMachine(k.Stroke)))
	}
	for _, run := range l.PenRuns {
		ink, travel := inkOf(run)
		s.Ink, s.Travel = append(s.Ink, ink...), append(s.Travel, travel...)
	}
	s.Start, s.End = ends(s.Ink)
	s.Marks = proofMarks(l.Job)
	return s
}

// kitCaptions is a scene with the words of a kit.
func kitCaptions(j plot.Job) proof.Scene {
	cloth := j.Kit.Cloth
	return proof.Scene{
		Title: label.Clean(j.Settings.Name, label.Picture), Side: job.DrawnSide(j.Settings.Craft, j.Settings.Transfer).Words,
		Captions: append(captions(j), fmt.Sprintf("%s in %s", howManyCopies(len(j.Kit.Copies)), figures.Count(len(j.Loads), "load")),
			"cloth taken "+figures.InchesAndCM(cloth.Width(), cloth.Height()), "numbers and names in the margins read right on the side that is worked from"),
	}
}

func howManyCopies(n int) string {
	if n == 1 {
		return "1 copy"
	}
	return fmt.Sprintf("%d copies", n)
}

// channelsOf returns the channels of a part of the cloth.
func channelsOf(g weave.Grid, part paths.Rect) []proof.WeaveLine {
	lo, hi := g.PlaceOf(part.Min), g.PlaceOf(part.Max)
	var out []proof.WeaveLine
	for n := int(math.Ceil(lo.Across - 1e-6)); float64(n) <= hi.Across+1e-6; n++ {
		x := float64(n) * g.Across
		out = append(out, proof.WeaveLine{Channel: n, Points: []paths.Point{{X: x, Y: part.Min.Y}, {X: x, Y: part.Max.Y}}})
	}
	for n := int(math.Ceil(lo.Along - 1e-6)); float64(n) <= hi.Along+1e-6; n++ {
		y := float64(n) * g.Along
		out = append(out, proof.WeaveLine{Channel: n, Along: true, Points: []paths.Point{{X: part.Min.X, Y: y}, {X: part.Max.X, Y: y}}})
	}
	return out
}
