package proof

import (
	"encoding/hex"
	"fmt"
	"image/color"

	"weftplot/paths"
	"weftplot/plot/proof/typeface"
)

// picture is a laid-out proof: a tree of nodes in page millimetres, y down from
// the upper left corner, as in SVG.
type picture struct {
	w, h        float64
	title, desc string
	nodes       []node
}

// node is one of *group, shape, *separate, words and pixels.
type node interface{ isNode() }

// group holds nodes that share a map or a look.
type group struct {
	id, class, title string
	// at maps the coordinates of the nodes to those around the group; nil is
	// the identity.
	at *paths.Affine
	// clip cuts off what lies outside it, in the coordinates around the group.
	clip *paths.Rect
	// look is the look of shapes inside that have none of their own.
	look  *look
	nodes []node
}

// shape is one path, of one or several strokes.
type shape struct {
	strokes []paths.Stroke
	look    *look
}

// separate is many paths of one stroke each, in the look of their group: a large drawing
// has no room for a shape of each.
type separate struct{ strokes []paths.Stroke }

// look is how a shape is painted. Lengths are mm in the shape's coordinates;
// joins are always round.
type look struct {
	fill, stroke string // "#rrggbb", or "" for none
	width        float64
	dash         []float64
	round        bool // round ends, else cut off square
}

// words is one line of text on the page.
type words struct {
	at     paths.Point // on the base line
	anchor anchor
	text   string
	size   float64 // mm to the em
	bold   bool
	colour string
	halo   bool // a white rim, so that it can be read on top of lines
}

type anchor int

const (
	anchorStart anchor = iota
	anchorMiddle
	anchorEnd
)

func (*group) isNode()    {}
func (shape) isNode()     {}
func (*separate) isNode() {}
func (words) isNode()     {}

// add appends nodes to g.
func (g *group) add(n ...node) { g.nodes = append(g.nodes, n...) }

// haloWidth is the width of the white rim of text, in em.
const haloWidth = 0.22

// box returns the rectangle that w takes up on the page: from its ascent to its
// descent, without the halo.
func (w words) box() paths.Rect {
	wd := typeface.Width(w.text, w.size, w.bold)
	x := w.at.X
	switch w.anchor {
	case anchorMiddle:
		x -= wd / 2
	case anchorEnd:
		x -= wd
	}
	return paths.RectOf(
		paths.Point{X: x, Y: w.at.Y - typeface.Ascent*w.size},
		paths.Point{X: x + wd, Y: w.at.Y + typeface.Descent*w.size})
}

// parseColour reads "#rrggbb".
func parseColour(s string) (color.RGBA, error) {
	if len(s) == 7 && s[0] == '#' {
		if b, err := hex.DecodeString(s[1:]); err == nil {
			return color.RGBA{R: b[0], G: b[1], B: b[2], A: 255}, nil
		}
	}
	return color.RGBA{}, fmt.Errorf("colour %q is not of the form #rrggbb", s)
}
