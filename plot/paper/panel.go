package paper

import (
	"fmt"
	"math"
	"strings"

	"weftplot/paths"
)

// panelSide is the square of 4 in that every sheet shows, in mm. The text and the
// map of the sheet stand in it.
const panelSide = 101.6

// panel draws the two squares to measure, with what must be read on every sheet, at
// the place of the sheet that has the least ink.
func (p Plan) panel(d *Doc, s Sheet, m paths.Affine) {
	o := m.Apply(p.quietest(s))
	side := paths.Point{X: panelSide / p.Options.Scale.X, Y: panelSide / p.Options.Scale.Y}
	ten := paths.Point{X: 100 / p.Options.Scale.X, Y: 100 / p.Options.Scale.Y}
	square := func(size paths.Point) paths.Stroke {
		return paths.Polyline(o, o.Add(paths.Point{X: size.X}), o.Add(size), o.Add(paths.Point{Y: size.Y}), o)
	}
	d.Draw(rulePen, paths.Identity(), square(side), square(ten))
	left, y := o.X+3, o.Y+ten.Y
	line := func(size float64, bold bool, text string) {
		f := Font{Size: size, Bold: bold, Grey: 0.4}
		for _, t := range Fill(text, ten.X-6, func(t string) float64 { return d.Width(t, f) }) {
			y -= size / PerMM * 1.25
			d.Text(paths.Point{X: left, Y: y}, t, f)
		}
	}
	y -= 1
	line(13, true, "Sheet "+s.Name)
	line(7, false, fmt.Sprintf("%s, %s, row %s of %d, column %d of %d", p.Pattern.Name, p.Options.Size.Name, rowName(s.Row), p.Rows, s.Col+1, p.Cols))
	y -= 1
	line(8, true, p.sides())
	line(7, false, "This edge up: the top of the sheet is the top of the rug.")
	line(7, false, p.Pattern.Use)
	line(7, false, "Print at 100 %, and switch off fitting to the page. The outer square must measure 4 in, the inner one 10 cm.")
	d.Text(o.Add(paths.Point{X: side.X - 2.2, Y: 2.4}), "4 in", Font{Size: 7, Grey: 0.4, Align: Right})
	d.Text(o.Add(paths.Point{X: 3, Y: 2.4}), "10 cm", Font{Size: 7, Grey: 0.4})
	box := paths.Rect{Min: o.Add(paths.Point{X: 3, Y: 7}), Max: paths.Point{X: o.X + ten.X - 3, Y: y - 2}}
	p.overview(d, box, func(t Sheet) bool { return t.Name == s.Name })
}

// sides says which side of the rug the paper shows and how words read on it.
func (p Plan) sides() string {
	if p.Pattern.Mirrored {
		return "It shows the rug from the back: words are mirrored here."
	}
	return "It shows the rug from the front: words read right here."
}

// quietest returns the lower left corner of the panel in the frame "drawn": where it
// lies over the least ink, away from the edges.
func (p Plan) quietest(s Sheet) paths.Point {
	const edge, step = 7.0, 4.0
	size := paths.Point{X: panelSide, Y: panelSide}
	r := paths.Rect{Min: s.Carries.Min.Add(paths.Point{X: edge, Y: edge}), Max: s.Carries.Max.Sub(paths.Point{X: edge, Y: edge}).Sub(size)}
	mid := s.Own.Centre().Sub(size.Mul(0.5))
	best, least := r.Min, math.Inf(1)
	for y := r.Min.Y; y <= max(r.Max.Y, r.Min.Y); y += step {
		for x := r.Min.X; x <= max(r.Max.X, r.Min.X); x += step {
			at := paths.Point{X: x, Y: y}
			box := paths.Rect{Min: at, Max: at.Add(size)}
			// Of places as quiet the one nearest the middle, and within what is not cut off.
			cost := float64(p.field.within(box)) + at.Dist(mid)/100
			if by, _ := s.Own.Excess(box); by > 0 {
				cost += 20
			}
			if cost < least {
				best, least = at, cost
			}
		}
	}
	return best
}

// overview draws the whole pattern small into a box, with the outlines and the names of
// the sheets; those that are meant are strong.
func (p Plan) overview(d *Doc, box paths.Rect, meant func(Sheet) bool) {
	if box.Height() < 8 || box.Width() < 8 {
		return
	}
	whole := p.Pattern.Rug
	for _, s := range p.Sheets {
		whole = whole.Union(s.Own)
	}
	k := min(box.Width()/whole.Width(), box.Height()/whole.Height())
	m := paths.Translate(whole.Centre().Mul(-1)).Then(paths.Scale(k, k)).Then(paths.Translate(box.Centre()))
	outline := func(r paths.Rect) paths.Stroke {
		return paths.Polyline(r.Min, paths.Point{X: r.Max.X, Y: r.Min.Y}, r.Max, paths.Point{X: r.Min.X, Y: r.Max.Y}, r.Min)
	}
	for _, s := range p.Sheets {
		if meant(s) {
			d.Fill(paths.RectOf(m.Apply(s.Own.Min), m.Apply(s.Own.Max)), 0.88)
		}
	}
	d.Draw(Pen{Width: 0.25, Grey: 0.5}, m, outline(p.Pattern.Rug))
	if len(p.Sheets) > 1 && !meant(Sheet{}) && box.Width() > panelSide {
		d.Draw(Pen{Width: 0.15, Grey: 0.7}, m, p.Pattern.strokes()...)
	}
	for _, s := range p.Sheets {
		d.Draw(Pen{Width: 0.12, Grey: 0.5}, m, outline(s.Own))
		size := min(9, k*s.Own.Height()*PerMM/2)
		d.Text(m.Apply(s.Own.Centre()).Sub(paths.Point{Y: size / PerMM / 3}), s.Name, Font{Size: size, Bold: meant(s), Grey: 0.35, Align: Centre})
	}
}

// Fill breaks a text into lines of at most width, as measured.
func Fill(text string, width float64, measure func(string) float64) []string {
	var out []string
	line := ""
	for _, word := range strings.Fields(text) {
		next := strings.TrimSpace(line + " " + word)
		if line != "" && measure(next) > width {
			out = append(out, line)
			next = word
		}
		line = next
	}
	if line == "" {
		return out
	}
	return append(out, line)
}
