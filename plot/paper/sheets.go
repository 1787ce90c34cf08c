package paper

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/cores"
)

// How the help lines of a sheet are printed: lighter and thinner than any pattern.
var (
	jointPen = Pen{Width: 0.2, Grey: 0.45, Dash: 2, Flat: true}
	crossPen = Pen{Width: 0.25, Flat: true}
	rulePen  = Pen{Width: 0.15, Grey: 0.5, Flat: true}
	weavePen = Pen{Width: 0.1, Grey: 0.75, Flat: true}
	guidePen = Pen{Width: 0.15, Grey: 0.6, Dash: 1.2, Flat: true}
)

// PDF writes the sheets, then a page that shows how they go together, then, where an
// iron is given, one that shows where it is pressed.
func (p Plan) PDF() ([]byte, error) { return p.PDFTold(nil) }

// PDFTold is [Plan.PDF] that tells now and then how many of its parts are done, unless tell
// is nil.
func (p Plan) PDFTold(tell func(done, total int)) ([]byte, error) {
	d := NewDoc(p.Pattern.Name + ", full size")
	lines := len(p.Pattern.Ink)
	meter := cores.NewMeter(3*lines+len(p.Sheets), tell) // to draw, to place on the sheets, and to pack
	d.Drawn = func() { meter.Add(1) }
	pattern, at := p.drawing(d)
	d.Drawn = nil
	for i, s := range p.Sheets {
		p.sheet(d, s, pattern, at)
		meter.Add(1 + (i+1)*lines/len(p.Sheets) - i*lines/len(p.Sheets))
	}
	p.together(d)
	if len(p.Places) > 0 {
		p.ironing(d)
	}
	return d.Bytes()
}

// toFile is the scale from the frame "drawn" to a sheet: what the printer makes too
// long is drawn too short.
func (p Plan) toFile() paths.Affine { return paths.Scale(1/p.Options.Scale.X, 1/p.Options.Scale.Y) }

// drawing draws the pattern once, at the sheet's scale, and returns where its lower
// left corner lies in the frame "drawn".
func (p Plan) drawing(d *Doc) (Drawing, paths.Point) {
	box := p.Pattern.bounds().Grow(1)
	m := paths.Translate(box.Min.Mul(-1)).Then(p.toFile())
	size := p.toFile().Apply(box.Max.Sub(box.Min))
	return d.NewDrawing(size.X, size.Y, func(add func(Pen, paths.Affine, ...paths.Stroke)) {
		type look struct{ width, grey float64 }
		var looks []look
		of := map[look][]paths.Stroke{}
		for _, k := range p.Pattern.Ink {
			l := look{k.Width, k.Grey}
			if of[l] == nil {
				looks = append(looks, l)
			}
			of[l] = append(of[l], k.Stroke)
		}
		for _, l := range looks {
			add(Pen{Width: l.width, Grey: l.grey}, m, of[l]...)
		}
	}), box.Min
}

// onPage maps the frame "drawn" to a sheet, in mm from its lower left corner.
func (p Plan) onPage(s Sheet) paths.Affine { return paths.Translate(s.Origin.Mul(-1)).Then(p.toFile()) }

// sheet writes one sheet: the help lines first, and the pattern over them.
func (p Plan) sheet(d *Doc, s Sheet, pattern Drawing, at paths.Point) {
	d.Page(s.W, s.H)
	m := p.onPage(s)
	window := paths.RectOf(m.Apply(s.Carries.Min), m.Apply(s.Carries.Max))
	p.weave(d, s, m)
	p.panel(d, s, m)
	p.rulers(d, s, window)
	p.joints(d, s, m)
	d.Place(pattern, m.Apply(at), window)
	p.crosses(d, s, m)
}

// weave draws every tenth channel and the guide threads, and ticks for all channels
// along the upper and the right edge of the sheet.
func (p Plan) weave(d *Doc, s Sheet, m paths.Affine) {
	r := s.Carries
	var tenths, guides, ticks []paths.Stroke
	for _, axis := range []struct {
		pitch, lo, hi, rugLo, rugHi float64
		line                        func(v, from, to float64) paths.Stroke
		from, to                    float64 // of a line
		name                        func(v float64, text string)
	}{
		{p.Pattern.Grid.Across, r.Min.X, r.Max.X, p.Pattern.Rug.Min.X, p.Pattern.Rug.Max.X,
			func(v, from, to float64) paths.Stroke {
				return paths.Polyline(paths.Point{X: v, Y: from}, paths.Point{X: v, Y: to})
			},
			r.Min.Y, r.Max.Y,
			func(v float64, text string) {
				d.Text(m.Apply(paths.Point{X: v, Y: r.Max.Y}).Add(paths.Point{X: 0.5, Y: -5}), text, Font{Size: 5, Grey: 0.45})
			}},
		{p.Pattern.Grid.Along, r.Min.Y, r.Max.Y, p.Pattern.Rug.Min.Y, p.Pattern.Rug.Max.Y,
			func(v, from, to float64) paths.Stroke {
				return paths.Polyline(paths.Point{X: from, Y: v}, paths.Point{X: to, Y: v})
			},
			r.Min.X, r.Max.X,
			func(v float64, text string) {
				d.Text(m.Apply(paths.Point{X: r.Max.X, Y: v}).Add(paths.Point{X: -3.5, Y: 0.5}), text, Font{Size: 5, Grey: 0.45, Align: Right})
			}},
	} {
		every := 0.0
		if p.Pattern.Guide > 0 {
			every = math.Round(p.Pattern.Guide / axis.pitch)
		}
		lo, hi := max(axis.lo, axis.rugLo), min(axis.hi, axis.rugHi)
		for n := math.Ceil(lo/axis.pitch-1e-6) + 0; n <= hi/axis.pitch+1e-6; n++ {
			v, length := n*axis.pitch, 1.5
			guide := every > 0 && math.Mod(n, every) == 0
			switch {
			case guide:
				guides = append(guides, axis.line(v, axis.from, axis.to))
				axis.name(v, fmt.Sprintf("thread %.0f", n))
				length = 4
			case math.Mod(n, 10) == 0:
				tenths = append(tenths, axis.line(v, axis.from, axis.to))
				axis.name(v, fmt.Sprintf("%.0f", n))
				length = 3
			}
			ticks = append(ticks, axis.line(v, axis.to-length, axis.to))
		}
	}
	d.Draw(weavePen, m, tenths...)
	d.Draw(guidePen, m, guides...)
	d.Draw(rulePen, m, ticks...)
}

// rulers draws one in inches along the lower edge and one in cm along the left one.
// They measure the printed paper, so they are drawn at its scale.
func (p Plan) rulers(d *Doc, s Sheet, window paths.Rect) {
	var ticks []paths.Stroke
	o := window.Min
	for i := 0; ; i++ {
		x := o.X + float64(i)*25.4/4/p.Options.Scale.X
		if x > window.Max.X {
			break
		}
		length := 1.5
		if i%4 == 0 {
			length = 3
			d.Text(paths.Point{X: x + 0.4, Y: o.Y + 2}, fmt.Sprintf("%d", i/4), Font{Size: 5, Grey: 0.45})
		}
		ticks = append(ticks, paths.Polyline(paths.Point{X: x, Y: o.Y}, paths.Point{X: x, Y: o.Y + length}))
	}
	for i := 0; ; i++ {
		y := o.Y + float64(i)*5/p.Options.Scale.Y
		if y > window.Max.Y {
			break
		}
		length := 1.5
		if i%2 == 0 {
			length = 3
			if i > 0 {
				d.Text(paths.Point{X: o.X + 1.6, Y: y + 0.4}, fmt.Sprintf("%d", i/2), Font{Size: 5, Grey: 0.45})
			}
		}
		ticks = append(ticks, paths.Polyline(paths.Point{X: o.X, Y: y}, paths.Point{X: o.X + length, Y: y}))
	}
	d.Draw(rulePen, paths.Identity(), ticks...)
	d.Text(o.Add(paths.Point{X: 8, Y: 3.6}), "in", Font{Size: 5, Grey: 0.45})
	d.Text(o.Add(paths.Point{X: 3.4, Y: 11}), "cm", Font{Size: 5, Grey: 0.45})
}

// joints draws the lines along which sheets meet: the left and the lower one are cut,
// and the neighbour's edge is laid to the others.
func (p Plan) joints(d *Doc, s Sheet, m paths.Affine) {
	r := s.Own
	mid := r.Centre()
	note := func(at, by paths.Point, text string, align Align) {
		d.Text(m.Apply(at).Add(by), text, Font{Size: 6, Grey: 0.45, Align: align})
	}
	lines := []struct {
		is       bool
		from, to paths.Point
	}{
		{s.Left, r.Min, paths.Point{X: r.Min.X, Y: r.Max.Y}},
		{s.Right, paths.Point{X: r.Max.X, Y: r.Min.Y}, r.Max},
		{s.Below, r.Min, paths.Point{X: r.Max.X, Y: r.Min.Y}},
		{s.Above, paths.Point{X: r.Min.X, Y: r.Max.Y}, r.Max},
	}
	for _, l := range lines {
		if l.is {
			d.Draw(jointPen, m, paths.Polyline(l.from, l.to))
		}
	}
	cut := "cut here"
	if s.Left {
		note(paths.Point{X: r.Min.X, Y: mid.Y}, paths.Point{X: 0.8, Y: 8}, cut, Left)
	}
	if s.Below {
		note(paths.Point{X: mid.X, Y: r.Min.Y}, paths.Point{X: 8, Y: 0.8}, cut, Left)
	}
	if s.Right {
		note(paths.Point{X: r.Max.X, Y: mid.Y}, paths.Point{X: -0.8, Y: 8}, "lay "+p.name(s.Row, s.Col+1)+" to this line", Right)
	}
	if s.Above {
		note(paths.Point{X: mid.X, Y: r.Max.Y}, paths.Point{X: 8, Y: -2.6}, "lay "+p.name(s.Row-1, s.Col)+" to this line", Left)
	}
}

func (p Plan) name(row, col int) string { return fmt.Sprintf("%s%d", rowName(row), col+1) }

// crosses draws the crosses that neighbours share: three on each joint, at places
// that both work out alike.
func (p Plan) crosses(d *Doc, s Sheet, m paths.Affine) {
	var arms []paths.Stroke
	for _, c := range s.Crosses() {
		const arm = 3.0
		arms = append(arms,
			paths.Polyline(c.Add(paths.Point{X: -arm}), c.Add(paths.Point{X: arm})),
			paths.Polyline(c.Add(paths.Point{Y: -arm}), c.Add(paths.Point{Y: arm})))
	}
	d.Draw(crossPen, m, arms...)
}

// Crosses are the places of the crosses of a sheet in the frame "drawn": on each joint
// at a sixth, a half and five sixths of what the sheet carries along it.
func (s Sheet) Crosses() []paths.Point {
	var out []paths.Point
	for _, t := range []float64{1. / 6, 1. / 2, 5. / 6} {
		x := s.Carries.Min.X + t*s.Carries.Width()
		y := s.Carries.Min.Y + t*s.Carries.Height()
		for _, c := range []struct {
			is bool
			at paths.Point
		}{
			{s.Left, paths.Point{X: s.Own.Min.X, Y: y}}, {s.Right, paths.Point{X: s.Own.Max.X, Y: y}},
			{s.Below, paths.Point{X: x, Y: s.Own.Min.Y}}, {s.Above, paths.Point{X: x, Y: s.Own.Max.Y}},
		} {
			if c.is {
				out = append(out, c.at)
			}
		}
	}
	return out
}
