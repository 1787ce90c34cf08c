package report

import (
	"fmt"
	"strings"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/paths/weave"
	"weftplot/plot"
	"weftplot/plot/figures"
	"weftplot/plot/job"
	"weftplot/plot/paper"
	"weftplot/plot/proof"
)

// SheetPDF returns sheet.pdf: one page for the person at the frame, the pictures
// first, and a page more with the channels of all straight lines. It is on A4 where
// the pattern is printed on an ISO size, else on letter.
func SheetPDF(j plot.Job, r Report, opt Options) ([]byte, error) {
	return sheetPDF(j, r, opt, nil)
}

// sheetPDF is SheetPDF that tells how much of it is done, unless tell is nil.
func sheetPDF(j plot.Job, r Report, opt Options, tell func(done, total int)) ([]byte, error) {
	size, err := paper.ParseSize("letter")
	if strings.HasPrefix(j.Settings.Print, "a") {
		size, err = paper.ParseSize("a4")
	}
	if err != nil {
		return nil, err
	}
	name := label.Clean(j.Settings.Name, label.Picture)
	d := paper.NewDoc(name)
	meter := cores.NewMeter(4*len(j.Drawn), tell) // twice to draw, and as much again to pack
	d.Drawn = func() { meter.Add(1) }
	d.Page(size.W, size.H)
	s := sheetPage{Doc: d, w: size.W, h: size.H, margin: 14}
	y := s.column(s.margin, s.h-s.margin, s.w-2*s.margin, 15, true, name)
	y = s.column(s.margin, y, s.w-2*s.margin, 9, true, "You look at "+job.DrawnSide(j.Settings.Craft, j.Settings.Transfer).Words+".")
	y = s.pictures(j, y-2)
	s.texts(j, r, y-4, opt)
	if len(j.Moves.Lines) > 0 {
		s.channels(j)
	}
	return d.Bytes()
}

// sheetPage writes on the pages of the sheet.
type sheetPage struct {
	*paper.Doc
	w, h, margin float64
}

// column writes a paragraph into a column from y down, and returns the y under it.
// What would leave the page is not written.
func (s sheetPage) column(x, y, width, size float64, bold bool, text string) float64 {
	f := paper.Font{Size: size, Bold: bold}
	for _, t := range paper.Fill(text, width, func(t string) float64 { return s.Width(t, f) }) {
		y -= size / paper.PerMM * 1.2
		if y > s.margin {
			s.Text(paths.Point{X: x, Y: y}, t, f)
		}
	}
	return y - size/paper.PerMM*0.35
}

// pictures draws the drawn face and the front of the rug side by side, and returns the
// y under them.
func (s sheetPage) pictures(j plot.Job, top float64) float64 {
	const gap, height = 8, 100
	width := (s.w - 2*s.margin - gap) / 2
	front := j.Mirror(j.Rug.Min.X + j.Rug.Max.X)
	drawn := "As it is drawn: " + job.DrawnSide(j.Settings.Craft, j.Settings.Transfer).Title
	k := min(width/j.Rug.Width(), height/j.Rug.Height())
	used := k * j.Rug.Height()
	lines := plainOf(j.Drawn)
	chords := chordsOf(lines)
	for i, pic := range []struct {
		caption string
		frame   paths.Affine
	}{{drawn, paths.Identity()}, {"The " + job.RugSide().Title, front}} {
		x := s.margin + float64(i)*(width+gap)
		m := pic.frame.Then(paths.Translate(j.Rug.Centre().Mul(-1))).Then(paths.Scale(k, k)).
			Then(paths.Translate(paths.Point{X: x + width/2, Y: top - used/2}))
		s.Draw(paper.Pen{Width: 0.15, Grey: 0.6}, m, proof.Outline(j.Rug))
		s.Draw(paper.Pen{Width: 0.3, Chords: chords}, m, lines...)
		s.Draw(paper.Pen{Width: 0.3, Grey: 0.5, Dash: 1}, m, plainOf(j.ByHand)...)
		if i == 0 && len(j.PenRuns) > 0 && len(j.Loads) < 2 {
			corner := m.Apply(j.Rug.Min)
			s.Draw(paper.Pen{Width: 2.4}, paths.Identity(), paths.Polyline(corner, corner.Add(paths.Point{X: 0.01})))
		}
		s.Text(paths.Point{X: x + width/2, Y: top - used - 5}, pic.caption, paper.Font{Size: 9, Bold: true, Align: paper.Centre})
	}
	return top - used - 6
}

// manyBends is how many arcs and cubics the pictures of the sheet keep whole: with 100,000
// circles they made a sheet of 48 MB, which no printer takes.
const manyBends = 50_000

// chordsOf returns how far the chords that are drawn for the curves of lines may be from
// them on the page, in mm; 0 keeps them curves. A dot of a printer of 600 dots an inch is
// 0.042 mm wide.
func chordsOf(lines []paths.Stroke) float64 {
	bends := 0
	for _, k := range lines {
		for _, c := range k {
			if _, straight := c.(paths.Line); !straight {
				bends++
			}
		}
	}
	if bends <= manyBends {
		return 0
	}
	return 0.02
}

func plainOf(strokes []plot.Stroke) []paths.Stroke {
	out := make([]paths.Stroke, len(strokes))
	for i, k := range strokes {
		out[i] = k.Stroke
	}
	return out
}

// texts writes what must be read, in two columns.
func (s sheetPage) texts(j plot.Job, r Report, top float64, opt Options) {
	const gap = 8.0
	width := (s.w - 2*s.margin - gap) / 2
	x, y := s.margin, top
	clean := func(t string) string { return label.Text(fault.Rename(t, opt.Names)) }
	head := func(t string) { y = s.column(x, y-1, width, 8.5, true, t) }
	line := func(t string) { y = s.column(x, y, width, 7.5, false, clean(t)) }
	item := func(t string) { y = s.column(x, y, width, 7, false, "– "+clean(t)) }
	head("Size")
	for _, w := range sizeWords(j) {
		line(w)
	}
	head("Weave")
	line(fmt.Sprintf("%s, counted %s, across x along", j.Inputs.Backing.Name, j.Count))
	for _, w := range weaveWords(j) {
		item(w)
	}
	if len(j.PenRuns) > 0 {
		head("Machine and pens, in their order")
		line(j.Inputs.Machine.Name + "; " + lyingWords(j))
		if j.Turned() {
			line(turnedWords)
		}
		for i, w := range penWords(j) {
			line(fmt.Sprintf("%d. %s", i+1, w))
		}
	}
	if p := r.Paper; p != nil {
		head("Paper")
		line(fmt.Sprintf("paper.pdf: %s of %s, %s; print at 100 %%, fitting to the page switched off", figures.Count(len(p.Pages), "sheet"), p.Size, p.Side))
		if p.Presses > 0 {
			line(fmt.Sprintf("iron: %d presses, %s", p.Presses, figures.Count(p.Minutes, "minute")))
		}
	}
	if len(r.Warnings) > 0 {
		head("Look at")
		for i, w := range r.Warnings {
			if i == 6 {
				item(fmt.Sprintf("and %d more, in report.json", len(r.Warnings)-i))
				break
			}
			item(w.Plain())
		}
	}
	x, y = s.margin+width+gap, top
	head("Before and after")
	for _, t := range steps(j) {
		item(t)
	}
	head("Cautions: the maker's manual, local rules and qualified advice come first")
	for _, t := range Cautions(j) {
		item(t)
	}
}

// sizeWords says how large the rug and its backing are, and what is drawn round it.
func sizeWords(j plot.Job) []string {
	size := sizeOf(j)
	out := []string{
		fmt.Sprintf("finished rug %s x %s, %s x %s channels", paths.Length(size.w).Both(), paths.Length(size.h).Both(), figures.Channels(size.nx), figures.Channels(size.ny)),
		fmt.Sprintf("backing to cut %s x %s, %s left on every side", paths.Length(size.w+2*j.Margin).Both(), paths.Length(size.h+2*j.Margin).Both(), paths.Length(j.Margin).Both()),
	}
	if words := borderWords(j.Settings); len(words) > 0 {
		out = append(out, "border: "+strings.Join(words, "; "))
	}
	if words := makingUpWords(j); len(words) > 0 {
		out = append(out, "making up: "+strings.Join(words, "; "))
	}
	if len(j.ByHand) > 0 {
		out = append(out, "The border is drawn by hand on the cloth, along its channels.")
	}
	return out
}

// lyingWords says where the cloth lies.
func lyingWords(j plot.Job) string {
	switch {
	case j.Kit != nil:
		return fmt.Sprintf("%s on one cloth in %s, as sheet.txt lists them", figures.Count(len(j.Kit.Copies), "rug"), figures.Count(len(j.Loads), "load"))
	case len(j.Loads) > 1:
		return fmt.Sprintf("in %d loads, the cloth moved in between, as sheet.txt lists them", len(j.Loads))
	}
	return cornerWords(j) + " (the dot in the picture)"
}

// channels writes the page that lists the channels of all straight lines.
func (s sheetPage) channels(j plot.Job) {
	s.Page(s.w, s.h)
	width := s.w - 2*s.margin
	y := s.column(s.margin, s.h-s.margin, width, 13, true, "Straight lines in their channels")
	y = s.column(s.margin, y, width, 8, false, "Counted from the lower left corner, as drawn; in brackets how far a line moved to get there, in mm, where it moved.")
	for _, a := range []weave.Axis{weave.Across, weave.Along} {
		if words := channelWords(j, a); len(words) > 0 {
			y = s.column(s.margin, y-2, width, 9, true, a.String())
			y = s.column(s.margin, y, width, 7.5, false, strings.Join(words, "  "))
		}
	}
	s.column(s.margin, y-2, width, 8, false, fmt.Sprintf("The farthest moved %.2f mm.", farthestMoved(j.Moves)))
}
