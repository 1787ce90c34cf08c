package paths

import "math"

// Anchor is the point of a line of words that is put at its place.
type Anchor int

// The left end of a line, its middle, and its right end.
const (
	AnchorStart Anchor = iota
	AnchorMiddle
	AnchorEnd
)

// Words is a line of text in a design: frame "design", mm, y up. It is drawn in
// single-line letters, whose shapes follow from the weave and so from the finished
// size; until that is known only its place stands.
type Words struct {
	// Text is what it reads, one line.
	Text string
	// Layer is the name of the layer that it belongs to.
	Layer string
	// At lies on the base line; Anchor says which point of the line it is.
	At     Point
	Anchor Anchor
	// Height is that of a capital in mm.
	Height float64
	// Turn is the angle of the base line in radians, counter-clockwise.
	Turn float64
	// Spacing is what is added between two letters, in mm.
	Spacing float64
	// Element, Line, Width and Colour are those of a [DesignStroke].
	Element string
	Line    int
	Width   float64
	Colour  string
}

// Transform returns the words under m. The height follows how far m draws apart
// what lies above the base line. A map that mirrors leaves the words as they read.
func (w Words) Transform(m Affine) Words {
	sin, cos := math.Sincos(w.Turn)
	x, y := m.A*cos+m.C*sin, m.B*cos+m.D*sin
	along := math.Hypot(x, y)
	w.At, w.Turn = m.Apply(w.At), math.Atan2(y, x)
	if along > 0 {
		w.Height *= math.Abs(m.Det()) / along
	}
	w.Spacing *= along
	w.Width *= m.MeanScale()
	return w
}
