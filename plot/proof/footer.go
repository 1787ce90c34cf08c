package proof

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/plot/proof/typeface"
)

// footer sets the scale bar, the legend and the notes below the drawing, and
// the plan of the machine beside them where there is one.
func (l *layout) footer() *group {
	g := &group{id: "footer"}
	l.y += 0.8 * l.em
	top := l.y
	width := l.w - 2*pagePad*l.em
	var plan *group
	var planBottom float64
	if !l.whole {
		const planWidth = 13.0
		plan, planBottom = l.plan(paths.Point{X: l.w - (pagePad+planWidth)*l.em, Y: top}, planWidth*l.em)
		width -= (planWidth + 2) * l.em
	}
	g.add(l.ruler(width))
	g.add(l.legend(width))
	g.add(l.notes(width))
	if plan != nil {
		g.add(plan)
		l.y = math.Max(l.y, planBottom)
	}
	return g
}

// rulers are the lengths a scale bar may have: whole inches, and a round number
// of centimetres not much different. Each has the steps of its ticks.
var rulers = []struct {
	in, cm         float64
	inStep, cmStep float64
}{
	{0.25, 0.5, 0.125, 0.1}, {0.5, 1, 0.125, 0.5}, {1, 2, 0.25, 0.5}, {2, 5, 0.5, 1}, {4, 10, 1, 1}, {6, 15, 1, 5}, {8, 20, 1, 5}, {12, 30, 2, 5},
	{24, 60, 4, 10}, {40, 100, 5, 10}, {60, 150, 12, 25}, {120, 300, 12, 50}, {240, 600, 24, 100},
}

// ruler draws the scale bar: inches above the line, centimetres below, as on a
// ruler.
func (l *layout) ruler(width float64) *group {
	g := &group{id: "scale", title: "scale bar"}
	best := rulers[0]
	for _, r := range rulers {
		if r.in*paths.MMPerInch <= math.Min(0.6*width, math.Max(0.34*l.frame.Width(), 14*l.em)) {
			best = r
		}
	}
	size := labelSize * l.em
	x := pagePad * l.em
	y := l.y + 1.9*l.em
	line := look{stroke: darkText, width: 0.07 * l.em}
	var ticks []paths.Stroke
	tick := func(at, up float64) {
		ticks = append(ticks, paths.Polyline(paths.Point{X: x + at, Y: y}, paths.Point{X: x + at, Y: y - up}))
	}
	for i := 0.0; i*best.inStep <= best.in; i++ {
		tick(i*best.inStep*paths.MMPerInch, 0.5*l.em)
	}
	for i := 0.0; i*best.cmStep <= best.cm; i++ {
		tick(i*best.cmStep*10, -0.5*l.em)
	}
	end := math.Max(best.in*paths.MMPerInch, best.cm*10)
	ticks = append(ticks, paths.Polyline(paths.Point{X: x, Y: y}, paths.Point{X: x + end, Y: y}))
	g.add(shape{ticks, &line})
	put := func(at, base float64, s string, a anchor) {
		g.add(words{at: paths.Point{X: x + at, Y: base}, anchor: a, text: s, size: size, colour: darkText})
	}
	over, under := y-0.75*l.em, y+0.75*l.em+typeface.Ascent*size
	put(0, over, "0", anchorStart)
	put(best.in*paths.MMPerInch, over, paths.Length(best.in*paths.MMPerInch).Eighths()+" in", anchorEnd)
	put(0, under, "0", anchorStart)
	put(best.cm*10, under, num(best.cm)+" cm", anchorEnd)
	l.y = under + 1.1*l.em
	return g
}

// notes sets the numbered remarks.
func (l *layout) notes(width float64) *group {
	g := &group{id: "notes"}
	if len(l.scene.Notes) == 0 {
		return g
	}
	size := labelSize * l.em
	indent := 2.2 * l.em
	l.y += 0.4 * l.em
	x := pagePad * l.em
	shown := l.shownNotes()
	for i, n := range shown {
		mid := paths.Point{X: x + 0.9*l.em, Y: l.y + 0.9*l.em}
		g.add(noteDisc(mid, 0.72*l.em, i+1, l.em)...)
		lines := typeface.Wrap(n.Label, size, false, (width-indent)/typeface.Spare, 4)
		for j, s := range lines {
			base := mid.Y + (typeface.Ascent-typeface.Descent)/2*size + float64(j)*leading*size
			g.add(words{at: paths.Point{X: x + indent, Y: base}, text: s, size: size, colour: darkText})
		}
		l.y += 1.8*l.em + float64(max(0, len(lines)-1))*leading*size
	}
	if more := len(l.scene.Notes) - len(shown); more > 0 {
		l.y += leading * size
		g.add(words{at: paths.Point{X: x, Y: l.y}, text: fmt.Sprintf("and %d more", more), size: size, colour: darkText})
	}
	return g
}
