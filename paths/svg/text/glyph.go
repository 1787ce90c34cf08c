package text

import (
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"

	"weftplot/paths"
	"weftplot/paths/svg/shape"
)

// Glyph is a letter in its place, in user units.
type Glyph struct {
	// Span is that of its character.
	Span int

	id    font.GID
	face  *Face
	size  float64
	at    paths.Point // of its origin on the line
	off   paths.Point // where the font moves it from there
	turn  float64     // degrees
	wide  float64     // advance to the next one
	scale float64     // across, 1 unless text is stretched
}

// Missing reports whether the font has no letter for the character, so that
// nothing is to be drawn.
func (g *Glyph) Missing() bool { return g.id == 0 }

// Map returns the map from the units of the font, y up, to user units, y down.
func (g *Glyph) Map() paths.Affine {
	em := g.size / g.face.em()
	sin, cos := shape.Turn(g.turn)
	return paths.Affine{A: em * g.scale, D: -em, E: g.off.X, F: g.off.Y}.
		Then(paths.Affine{A: cos, B: sin, C: -sin, D: cos, E: g.at.X, F: g.at.Y})
}

// Pen receives the segments of an outline.
type Pen interface {
	MoveTo(to paths.Point)
	LineTo(to paths.Point)
	QuadTo(control, to paths.Point)
	CubicTo(control1, control2, to paths.Point)
	// Close draws a line to where the last MoveTo went.
	Close()
}

// Outline draws the outline of the letter in the units of its font: closed
// curves, to be filled by the nonzero rule. A font without outlines, such as
// one of pictures, draws nothing; of a damaged one it draws what can be read.
func (g *Glyph) Outline(p Pen) {
	defer func() { _ = recover() }() // a damaged font
	outline, _ := g.face.face.GlyphData(g.id).(font.GlyphOutline)
	pt := func(q opentype.SegmentPoint) paths.Point { return paths.Point{X: float64(q.X), Y: float64(q.Y)} }
	some := false
	for _, s := range outline.Segments {
		switch s.Op {
		case opentype.SegmentOpMoveTo:
			if some {
				p.Close()
			}
			p.MoveTo(pt(s.Args[0]))
		case opentype.SegmentOpLineTo:
			p.LineTo(pt(s.Args[0]))
		case opentype.SegmentOpQuadTo:
			p.QuadTo(pt(s.Args[0]), pt(s.Args[1]))
		case opentype.SegmentOpCubeTo:
			p.CubicTo(pt(s.Args[0]), pt(s.Args[1]), pt(s.Args[2]))
		}
		some = true
	}
	if some {
		p.Close()
	}
}
