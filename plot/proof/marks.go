package proof

import (
	"math"

	"weftplot/paths"
)

// marks draws the registration marks: a cross where each was found, and an
// arrow that shows its residual, many times enlarged.
func (l *layout) marks() *group {
	g := &group{id: "marks", title: "registration marks"}
	k := l.magnified()
	r := 0.5 * l.em
	for _, m := range l.scene.Marks {
		x, y := paths.Point{X: r}, paths.Point{Y: r}
		cross := []paths.Stroke{
			paths.Polyline(m.At.Sub(x), m.At.Add(x)),
			paths.Polyline(m.At.Sub(y), m.At.Add(y)),
			{paths.Circle(m.At, 0.6*r)},
		}
		g.add(shape{cross, &look{stroke: blue, width: 0.08 * l.em, round: true}})
		off := m.Off.Mul(k)
		if off.Len() < 0.3*l.em {
			continue
		}
		tip := m.At.Add(off)
		g.add(shape{[]paths.Stroke{paths.Polyline(m.At, tip)}, &look{stroke: vermillion, width: 0.1 * l.em, round: true}})
		head := math.Min(0.7*l.em, off.Len())
		dir := off.Unit()
		g.add(arrowhead(tip.Sub(dir.Mul(head/2)), dir, head, 0, vermillion, 0.1*l.em)...)
	}
	return g
}

// magnified returns the scale of the arrows of the marks: a round number that
// makes the longest about three em.
func (l *layout) magnified() float64 {
	var longest float64
	for _, m := range l.scene.Marks {
		longest = math.Max(longest, m.Off.Len())
	}
	if longest == 0 {
		return 1
	}
	k := 1.0
	for _, step := range []float64{2, 5, 10, 20, 50, 100, 200, 500, 1000} {
		if longest*step <= 3*l.em {
			k = step
		}
	}
	return k
}
