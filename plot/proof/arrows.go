package proof

import (
	"math"
	"sort"

	"weftplot/paths"
	"weftplot/plot/proof/typeface"
)

// arrows draws arrowheads that show which way the strokes are drawn: one on
// each stroke that is long enough and a few on long ones, away from corners and
// from each other. Each pen in use has its own form of head.
func (l *layout) arrows() *group {
	g := &group{id: "direction", title: "the way the pen goes"}
	if l.scene.NoDirection {
		return g
	}
	grid := spacing{cell: 3.5 * l.em, used: map[[2]int][]paths.Point{}}
	forms := l.penForms()
	for _, k := range l.scene.Ink {
		size := l.arrowSize(k)
		line := measuredLine(k.Stroke.Flatten(size / 50))
		whole := line.length()
		if whole < 5*size {
			continue
		}
		n := 1 + int(math.Min(whole/(30*l.em), maxArrows))
		for i := range n {
			at, dir, ok := arrowSpot(line, whole*float64(i)/float64(n), whole*float64(i+1)/float64(n), size, &grid)
			if ok {
				g.add(arrowhead(at, dir, size, forms[penOf(k)], k.Colour, l.inkLook(k).width)...)
			}
		}
	}
	return g
}

// maxArrows bounds the arrowheads that are tried on one stroke: a picture has no
// room for as many.
const maxArrows = 1000

// arrowSize returns the length of the arrowhead on a stroke: well wider than
// its line.
func (l *layout) arrowSize(k Ink) float64 {
	return math.Max(arrowLength*l.em, 3.2*l.inkLook(k).width)
}

// penKey identifies a pen.
type penKey struct{ name, colour string }

func penOf(k Ink) penKey { return penKey{typeface.Clean(k.Pen), k.Colour} }

// penForms numbers the pens in order of first use.
func (l *layout) penForms() map[penKey]int {
	forms := map[penKey]int{}
	for _, k := range l.scene.Ink {
		if _, ok := forms[penOf(k)]; !ok {
			forms[penOf(k)] = len(forms)
		}
	}
	return forms
}

// arrowSpot looks for a place for an arrowhead between two lengths along line,
// from the middle outwards: where the line is straight enough and no other
// arrowhead is near.
func arrowSpot(line measured, from, to, size float64, grid *spacing) (at, dir paths.Point, ok bool) {
	for _, f := range []float64{0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74} {
		s := from + f*(to-from)
		a, okA := line.along(s - 0.6*size)
		m, okM := line.along(s)
		b, okB := line.along(s + 0.6*size)
		if !okA || !okM || !okB || turn(a, m, b) > 0.35 {
			continue
		}
		if grid.claim(m) {
			return m, b.Sub(a).Unit(), true
		}
	}
	return paths.Point{}, paths.Point{}, false
}

// measured is a polyline with the length from its start to each of its points.
type measured struct {
	points []paths.Point
	upTo   []float64
}

func measuredLine(points []paths.Point) measured {
	m := measured{points, make([]float64, len(points))}
	for i := 1; i < len(points); i++ {
		m.upTo[i] = m.upTo[i-1] + points[i-1].Dist(points[i])
	}
	return m
}

func (m measured) length() float64 {
	if len(m.upTo) == 0 {
		return 0
	}
	return m.upTo[len(m.upTo)-1]
}

// along returns the point at length s along the line, and whether there is one.
func (m measured) along(s float64) (paths.Point, bool) {
	if !(s >= 0 && s <= m.length()) || m.length() == 0 {
		return paths.Point{}, false
	}
	// The first piece that ends at s or beyond has a length, except at s = 0.
	i := max(1, sort.SearchFloat64s(m.upTo, s))
	d := m.upTo[i] - m.upTo[i-1]
	if d == 0 {
		return m.points[i], true
	}
	return m.points[i-1].Lerp(m.points[i], (s-m.upTo[i-1])/d), true
}

// spacing keeps points at least a cell apart.
type spacing struct {
	cell float64
	used map[[2]int][]paths.Point
}

// claim takes p, unless a point taken before is nearer than a cell.
func (s *spacing) claim(p paths.Point) bool {
	i, j := int(math.Floor(p.X/s.cell)), int(math.Floor(p.Y/s.cell))
	for di := -1; di <= 1; di++ {
		for dj := -1; dj <= 1; dj++ {
			for _, q := range s.used[[2]int{i + di, j + dj}] {
				if p.Dist(q) < s.cell {
					return false
				}
			}
		}
	}
	s.used[[2]int{i, j}] = append(s.used[[2]int{i, j}], p)
	return true
}

// arrowhead returns a head around at that points along dir; form decides
// whether it is filled, open or a chevron.
func arrowhead(at, dir paths.Point, size float64, form int, colour string, width float64) []node {
	tip := at.Add(dir.Mul(size / 2))
	back := at.Sub(dir.Mul(size / 2))
	side := dir.Left().Mul(0.36 * size)
	left, right := back.Add(side), back.Sub(side)
	triangle := []paths.Stroke{paths.Polyline(tip, left, right, tip)}
	thin := math.Min(width, 0.12*size)
	switch form % 3 {
	case 0:
		return []node{shape{triangle, &look{fill: colour}}}
	case 1:
		return []node{shape{triangle, &look{fill: paper, stroke: colour, width: thin, round: true}}}
	default:
		return []node{shape{[]paths.Stroke{paths.Polyline(left, tip, right)}, &look{stroke: colour, width: 1.3 * thin, round: true}}}
	}
}
