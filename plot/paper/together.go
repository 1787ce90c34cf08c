package paper

import (
	"fmt"
	"math"

	"weftplot/paths"
)

// helpPage begins a page beside the sheets, of their own size, and returns a function
// that writes paragraphs down the page and the rectangle that is left under them.
func (p Plan) helpPage(d *Doc) (write func(size float64, bold bool, text string), left func() paths.Rect) {
	w, h := p.Sheets[0].W, p.Sheets[0].H
	if p.Options.Size.Roll {
		w, h = p.Options.Size.W, 279.4
	}
	d.Page(w, h)
	margin := max(p.Options.Margin, 12)
	y := h - margin
	write = func(size float64, bold bool, text string) {
		f := Font{Size: size, Bold: bold, Grey: 0.1}
		for _, t := range Fill(text, min(w-2*margin, 180), func(t string) float64 { return d.Width(t, f) }) {
			y -= size / PerMM * 1.3
			d.Text(paths.Point{X: margin, Y: y}, t, f)
		}
		y -= size / PerMM * 0.4
	}
	left = func() paths.Rect {
		return paths.Rect{Min: paths.Point{X: margin, Y: margin}, Max: paths.Point{X: w - margin, Y: y - 4}}
	}
	return write, left
}

// together writes the page that shows how the sheets go together.
func (p Plan) together(d *Doc) {
	write, left := p.helpPage(d)
	write(14, true, "How the sheets go together")
	write(9, false, fmt.Sprintf("%s: %s of %s, %d of %d places in %d rows and %d columns; empty ones are left out.",
		p.Pattern.Name, counted(len(p.Sheets), "sheet", "sheets"), p.Options.Size.Name, len(p.Sheets), p.Rows*p.Cols, p.Rows, p.Cols))
	write(9, true, p.sides())
	write(9, false, p.Pattern.Use)
	for i, step := range []string{
		"Print at 100 % and switch off fitting to the page: in the print dialog, and in the settings of the program that shows this file.",
		"Measure the squares before anything is cut: 4 in and 10 cm. If a square of 4 in comes out 3.89, 3.84 or 3.76 in wide, the printer fitted the sheet to other paper. If it is off by less, prepare again with the printer's scale as it was measured, in per cent, across and along.",
		"Cut along the dashed line marked \"cut here\", at the left and at the lower edge, and lay the cut edge to the dashed line of the neighbour, cross upon cross. Begin with the top left sheet. Tape the joints from behind.",
		"The faint lines are every tenth channel of the weave, the ticks at the upper and the right edge every channel. Lay them thread on thread with the cloth.",
	} {
		write(9, false, fmt.Sprintf("%d. %s", i+1, step))
	}
	for _, n := range p.Pattern.Notes {
		write(9, false, n)
	}
	p.overview(d, left(), func(Sheet) bool { return false })
}

// Minutes is how long the iron rests on all places together, in whole minutes.
func (o Options) Minutes(places int) int { return int(math.Ceil(float64(places) * o.Press / 60)) }

// ironing writes the page that shows where the iron is pressed.
func (p Plan) ironing(d *Doc) {
	places := p.Places
	write, left := p.helpPage(d)
	write(14, true, "Where the iron is pressed")
	write(9, true, fmt.Sprintf("%s of about %.0f s: %s of pressing.", counted(len(places), "press", "presses"), p.Options.Press, counted(p.Options.Minutes(len(places)), "minute", "minutes")))
	write(9, false, fmt.Sprintf("For a sole of %s x %s. The time is common practice: a test on a scrap of the same backing decides. Press straight down, lift, and set the iron down again at the next number; never slide. The order goes from the far edge to the near one, so that nothing is dragged over what has just been pressed. Lift a corner of the paper to look before it is moved.",
		paths.Length(p.Options.Iron[0]).Both(), paths.Length(p.Options.Iron[1]).Both()))
	write(9, false, p.sides()+" The numbers lie as on the paper; on the ironing table the paper lies face down, and left and right change places.")
	for _, c := range p.Pattern.Cautions {
		write(8, false, "- "+c)
	}
	box, whole := left(), p.Pattern.Rug
	for _, k := range places {
		whole = whole.Union(k.Sole)
	}
	k := min(box.Width()/whole.Width(), box.Height()/whole.Height())
	m := paths.Translate(whole.Centre().Mul(-1)).Then(paths.Scale(k, k)).Then(paths.Translate(box.Centre()))
	d.Draw(Pen{Width: 0.15, Grey: 0.6}, m, p.Pattern.strokes()...)
	for i, place := range places {
		r := place.Sole
		d.Draw(Pen{Width: 0.3, Grey: 0.25}, m, paths.Polyline(r.Min, paths.Point{X: r.Max.X, Y: r.Min.Y}, r.Max, paths.Point{X: r.Min.X, Y: r.Max.Y}, r.Min))
		size := min(16, k*min(r.Width(), r.Height())*PerMM/3)
		d.Text(m.Apply(r.Centre()).Sub(paths.Point{Y: size / PerMM / 3}), fmt.Sprint(i+1), Font{Size: size, Bold: true, Grey: 0.2, Align: Centre})
	}
}

// counted writes a number of things.
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
