package skeleton

import (
	"weftplot/paths"
	"weftplot/paths/near"
)

// Span is consecutive pixels of one kind in a row, from column x0 up to but not
// including x1.
type Span struct {
	y, x0, x1 int32
	Component int32 // the number of its component
}

// Component is a connected component: pixels that touch one another.
type Component struct {
	X0, Y0, X1, Y1 int32 // its box in pixels, X1 and Y1 not included

	area, strong     int   // pixels, and those of them that are ink for sure
	sumX, sumY, dark int64 // over its pixels; dark is how much darker than paper
	touchesSide      bool
	lightest         uint8
}

// Classes is the set of classes of pixels to look at, by their number.
type Classes [3]bool

// Inked are pixels of ink of both classes.
var Inked = Classes{weak: true, Strong: true}

var bareOnly = Classes{bare: true}

// Components finds the connected components of the pixels of some classes: with
// four neighbours, or eight if diagonal. grey gives their darkness. It returns
// the spans that make them up, row by row, and the components in the order of
// their first spans. The time is about linear in the pixels.
func Components(mask, grey Plane, of Classes, diagonal bool) ([]Span, []Component) {
	spans := spansOf(mask, of)
	sets := near.NewSets(len(spans))
	corner := int32(0)
	if diagonal {
		corner = 1
	}
	above := 0 // the first span of the row above that may touch
	for i := range spans {
		r := spans[i]
		for spans[above].y < r.y-1 || spans[above].y == r.y-1 && spans[above].x1+corner <= r.x0 {
			above++
		}
		for k := above; k < i && spans[k].y == r.y-1 && spans[k].x0 < r.x1+corner; k++ {
			sets.Join(k, i)
		}
	}
	number, n := sets.Numbers()
	list := make([]Component, n)
	for i := range spans {
		s := &spans[i]
		s.Component = int32(number[i])
		c := &list[s.Component]
		if c.area == 0 {
			*c = Component{X0: s.x0, Y0: s.y, X1: s.x1, Y1: s.y + 1}
		}
		c.add(*s, mask, grey)
	}
	return spans, list
}

// add adds a span to the component.
func (p *Component) add(r Span, mask, grey Plane) {
	n := int64(r.x1 - r.x0)
	p.area += int(n)
	p.sumX += n * int64(r.x0+r.x1-1) / 2
	p.sumY += n * int64(r.y)
	at := int(r.y) * mask.W
	for x := int(r.x0); x < int(r.x1); x++ {
		p.dark += Paper - int64(grey.Pixels[at+x])
		p.lightest = max(p.lightest, grey.Pixels[at+x])
		if mask.Pixels[at+x] == Strong {
			p.strong++
		}
	}
	p.X0, p.Y0 = min(p.X0, r.x0), min(p.Y0, r.y)
	p.X1, p.Y1 = max(p.X1, r.x1), max(p.Y1, r.y+1)
	if r.x0 == 0 || r.y == 0 || int(r.x1) == mask.W || int(r.y) == mask.H-1 {
		p.touchesSide = true
	}
}

// Middle returns the mean of its pixels.
func (p Component) Middle() paths.Point {
	return paths.Point{X: float64(p.sumX) / float64(p.area), Y: float64(p.sumY) / float64(p.area)}
}

// Area returns how many pixels it has.
func (p Component) Area() float64 { return float64(p.area) }

// Size returns the longer side of the box in pixels.
func (p Component) Size() int { return int(max(p.X1-p.X0, p.Y1-p.Y0)) }

// spansOf lists the spans of pixels of some classes, row by row.
func spansOf(mask Plane, of Classes) []Span {
	var spans []Span
	for y := range mask.H {
		row := mask.Pixels[y*mask.W:][:mask.W]
		for x := 0; x < mask.W; x++ {
			if !of[row[x]] {
				continue
			}
			from := x
			for x < mask.W && of[row[x]] {
				x++
			}
			spans = append(spans, Span{y: int32(y), x0: int32(from), x1: int32(x)})
		}
	}
	return spans
}

// Paint sets the pixels of a span.
func (p Plane) Paint(r Span, v uint8) {
	row := p.Pixels[int(r.y)*p.W:]
	for x := r.x0; x < r.x1; x++ {
		row[x] = v
	}
}

// Areas numbers the areas of a mask from 1, one number for each pixel: those that are
// not 0 and touch one another by their sides. Pixels that are 0 have 0.
func (p Plane) Areas() []int32 {
	spans, _ := Components(p, p, Inked, false)
	of := make([]int32, len(p.Pixels))
	for _, s := range spans {
		for x := s.x0; x < s.x1; x++ {
			of[int(s.y)*p.W+int(x)] = s.Component + 1
		}
	}
	return of
}
