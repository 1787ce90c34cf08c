package proof

import (
	"image"
	"strconv"

	"weftplot/paths"
	"weftplot/plot/proof/typeface"
)

// A Picture is an image that is shown under a scene, such as the scan of a
// drawing.
type Picture struct {
	// Image holds the pixels; it must have at least one.
	Image *image.Gray
	// Box is where it lies, in mm, its first row at the top.
	Box paths.Rect
}

// Places are places of one kind that a person should check. Each kind has a
// sign of its own; the legend shows it with the label and the number of places.
type Places struct {
	// Label says what they are, such as "gap bridged".
	Label string
	Sign  Sign
	// At are the places in mm.
	At []paths.Point
	// Strokes are pieces of line that are meant; they are drawn in the colour
	// of the sign.
	Strokes []paths.Stroke
}

// Sign is how a kind of place is shown: by form and colour both.
type Sign int

// The signs. Each has its own colour.
const (
	Ring     Sign = iota // a circle
	Diamond              // a square standing on a corner
	Square               // an upright square
	Triangle             // a triangle, upright
	Cross                // two crossed lines
	Spot                 // a small disc, for kinds with many places
)

// maxSigns is how many places of a kind are shown; the legend counts them all.
const maxSigns = 2000

// places draws the signs and pieces of line of all kinds.
func (l *layout) places() *group {
	g := &group{id: "places", title: "places to look at"}
	for _, p := range l.scene.Places {
		sub := &group{class: "place", title: typeface.Clean(p.Label)}
		if len(p.Strokes) > 0 {
			sub.add(shape{p.Strokes, &look{stroke: p.Sign.colour(), width: 0.1 * l.em}})
		}
		for _, at := range p.At[:min(len(p.At), maxSigns)] {
			sub.add(p.Sign.nodes(at, 0.42*l.em, l.em)...)
		}
		g.add(sub)
	}
	return g
}

// colour returns the colour of a sign, other than that of lines on a picture.
func (s Sign) colour() string {
	return [...]string{blue, bluishGreen, bluishGreen, blue, darkText, darkText}[s]
}

// nodes draws a sign about a place, open so that what is there can be seen. Its
// form is the same with y up and y down.
func (s Sign) nodes(at paths.Point, r, em float64) []node {
	p := func(x, y float64) paths.Point { return at.Add(paths.Point{X: x * r, Y: y * r}) }
	rim := &look{stroke: s.colour(), width: 0.11 * em, round: true}
	switch s {
	case Ring:
		return []node{shape{[]paths.Stroke{{paths.Circle(at, r)}}, rim}}
	case Diamond:
		return []node{shape{[]paths.Stroke{paths.Polyline(p(1.1, 0), p(0, 1.1), p(-1.1, 0), p(0, -1.1), p(1.1, 0))}, rim}}
	case Square:
		return []node{shape{[]paths.Stroke{Outline(paths.RectOf(at).Grow(0.85 * r))}, rim}}
	case Triangle:
		return []node{shape{[]paths.Stroke{paths.Polyline(p(-1, -0.8), p(1, 0), p(-1, 0.8), p(-1, -0.8))}, rim}}
	case Cross:
		return []node{shape{[]paths.Stroke{paths.Polyline(p(-0.8, -0.8), p(0.8, 0.8)), paths.Polyline(p(-0.8, 0.8), p(0.8, -0.8))}, rim}}
	}
	return []node{shape{[]paths.Stroke{{paths.Circle(at, 0.22*r)}}, &look{fill: s.colour()}}}
}

// placeEntries returns a legend entry for each kind of place.
func (l *layout) placeEntries() []entry {
	var out []entry
	for _, p := range l.scene.Places {
		n := max(len(p.At), len(p.Strokes))
		label := typeface.Clean(p.Label) + ": " + strconv.Itoa(n)
		if n > maxSigns {
			label += ", of which " + strconv.Itoa(maxSigns) + " are shown"
		}
		out = append(out, entry{func(m paths.Point, _ float64) []node {
			return p.Sign.nodes(m, 0.42*l.em, l.em)
		}, label})
	}
	return out
}

// underlay returns the picture as it lies on the page.
func (l *layout) underlay() *group {
	g := &group{id: "picture", title: "the picture"}
	if p := l.scene.Picture; p != nil {
		g.add(pixels{p.Image, paths.RectOf(l.toPage.Apply(p.Box.Min), l.toPage.Apply(p.Box.Max))})
	}
	return g
}
