package proof

import (
	"math"

	"weftplot/paths"
	"weftplot/plot/proof/typeface"
)

// plan draws a small picture of the machine's reach, as far as it is known,
// with the rug and its backing where they lie, its upper left corner at corner.
// It returns the y of its lower edge.
func (l *layout) plan(corner paths.Point, width float64) (*group, float64) {
	g := &group{id: "plan", title: "where it lies on the machine"}
	s := l.scene
	all := s.Machine.Bounds()
	for _, o := range []paths.Stroke{s.Rug, s.Backing} {
		all = all.Union(o.Bounds())
	}
	inked := paths.EmptyRect()
	for _, k := range s.Ink {
		inked = inked.Union(k.Stroke.Bounds())
	}
	all = atLeast(all.Union(inked), 10)
	k := math.Min(width/all.Width(), 10*l.em/all.Height())
	m := paths.Affine{A: k, D: -k, E: corner.X + (width-k*all.Width())/2 - k*all.Min.X, F: corner.Y + k*all.Max.Y}
	small := 0.8 * l.em
	for _, o := range []struct {
		stroke paths.Stroke
		look   look
	}{
		{s.Backing, look{fill: cloth}}, {s.Machine, machineLook(small)},
		{s.Backing, backingLook(small)}, {s.Rug, rugLook(small/2, 0)},
	} {
		if len(o.stroke) > 0 {
			g.add(shape{[]paths.Stroke{o.stroke.Transform(m)}, &o.look})
		}
	}
	if len(s.Rug) == 0 && !inked.IsEmpty() {
		g.add(shape{[]paths.Stroke{Outline(inked).Transform(m)}, &look{stroke: darkText, width: edgeWidth * small}})
	}
	size := labelSize * l.em
	y := corner.Y + k*all.Height() + 0.4*l.em
	caption := "place in the reach of the pen"
	if len(s.Machine) == 0 {
		caption = "place on the backing"
	}
	for _, line := range typeface.Wrap(caption, size, false, width, 3) {
		y += leading * size
		g.add(words{at: paths.Point{X: corner.X + width/2, Y: y}, anchor: anchorMiddle, text: line, size: size, colour: quietText})
	}
	return g, y + typeface.Descent*size
}
