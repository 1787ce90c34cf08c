package proof

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// A Scene is what one proof shows: everything in one frame, in mm, y up. Every
// field but Title and Side may be left empty, and what is empty is not drawn.
// Nothing in it is changed.
type Scene struct {
	// Title names the job, such as "lighthouse-mat".
	Title string
	// Side completes "You are looking at ...": "the back of the rug, as the pen
	// draws it: mirrored".
	Side string
	// Captions are short facts in the order they are to be read: sizes, counts,
	// time. They stand under the title and are run together.
	Captions []string

	// Rug, Backing and Machine are outlines: the edge of the finished rug, of
	// the cloth it is worked on, and of what the pen can reach. They are closed
	// strokes, as cloth may lie askew; see [Outline].
	Rug, Backing, Machine paths.Stroke
	// Weave are the channels to show.
	Weave []WeaveLine
	// Ink is what is drawn, in the order of drawing.
	Ink []Ink
	// Paces show the ink by how fast it is drawn, slow to fast, instead of by its
	// own colours.
	Paces []Pace
	// NoDirection leaves out the arrowheads that show which way the pen goes:
	// for a picture of the finished rug.
	NoDirection bool
	// Travel is the way of the lifted pen.
	Travel []paths.Line
	// Start is where the pen is first set down and End where it is last lifted.
	Start, End *paths.Point
	// Marks are the registration marks.
	Marks []Mark
	// Picture lies under everything else.
	Picture *Picture
	// Places are what to look at, kind by kind.
	Places []Places
	// Notes are broken limits and warnings; they are numbered in this order. Of
	// very many only the first are shown, unless EveryNote is set.
	Notes     []Note
	EveryNote bool
}

// A WeaveLine is one channel of the weave, as it lies.
type WeaveLine struct {
	// Channel is its number, counted from the rug's lower left corner.
	Channel int
	// Along reports that it is a channel of fixed "along", running across the
	// cloth from left to right; otherwise it runs along it.
	Along bool
	// Points is the way of the channel.
	Points []paths.Point
}

// Ink is one stroke of a pen.
type Ink struct {
	Stroke paths.Stroke
	// Colour is "#rrggbb", Width the width of the pen's line in mm. A line
	// narrower than can be seen in a picture of this size is shown wider.
	Colour string
	Width  float64
	// Layer and Pen are names, for the legend.
	Layer, Pen string
	// Number is its place in the order of drawing, from 1, to be shown; 0 for
	// none.
	Number int
}

// A Mark is a registration mark: where it was found, and how far that is from
// where the fitted weave has it.
type Mark struct {
	At  paths.Point
	Off paths.Point // a displacement: found minus fitted
}

// A Note is a numbered remark about a place, or about the whole job when At is
// nil.
type Note struct {
	At    *paths.Point
	Label string
	// Parts are the ways it is about, which are marked.
	Parts []paths.Stroke
}

// Outline returns the outline of r, counter-clockwise from its lower left
// corner.
func Outline(r paths.Rect) paths.Stroke {
	return paths.Polyline(r.Min, paths.Point{X: r.Max.X, Y: r.Min.Y}, r.Max, paths.Point{X: r.Min.X, Y: r.Max.Y}, r.Min)
}

// maxExtent is the greatest extent that is drawn, in mm: a hundred metres.
const maxExtent = 1e5

// check refuses what cannot be drawn: numbers that are not finite or not on
// this earth, broken strokes and colours that are none.
func (s Scene) check() error {
	bad := func(what string, i int, err error) error {
		return &fault.Error{Kind: fault.Input, Where: "proof", What: fmt.Sprintf("%s %d: %v", what, i+1, err), Err: err}
	}
	for i, o := range []paths.Stroke{s.Rug, s.Backing, s.Machine} {
		if err := checkStroke(o); err != nil {
			return bad("outline", i, err)
		}
	}
	for i, k := range s.Ink {
		if err := checkStroke(k.Stroke); err != nil {
			return bad("stroke", i, err)
		}
		if _, err := parseColour(k.Colour); err != nil {
			return bad("stroke", i, err)
		}
		if !(k.Width >= 0 && k.Width < maxExtent) {
			return bad("stroke", i, fmt.Errorf("a pen %v mm wide", k.Width))
		}
	}
	for i, p := range s.Paces {
		for _, k := range p.Strokes {
			if err := checkStroke(k); err != nil {
				return bad("stroke at pace", i, err)
			}
		}
		if !(p.Width >= 0 && p.Width < maxExtent) {
			return bad("pace", i, fmt.Errorf("a pen %v mm wide", p.Width))
		}
	}
	for i, n := range s.Notes {
		for _, k := range n.Parts {
			if err := checkStroke(k); err != nil {
				return bad("note", i, err)
			}
		}
	}
	for i, p := range s.Places {
		for _, piece := range p.Strokes {
			if err := checkStroke(piece); err != nil {
				return bad("kind of place", i, err)
			}
		}
	}
	if p := s.Picture; p != nil && (p.Image == nil || p.Image.Bounds().Empty() || p.Box.IsEmpty()) {
		return bad("picture", 0, fmt.Errorf("it has no pixels"))
	}
	for i, p := range s.points() {
		if err := checkPoint(p); err != nil {
			return bad("point", i, err)
		}
	}
	return nil
}

// points returns all single points of s.
func (s Scene) points() []paths.Point {
	var pts []paths.Point
	for _, w := range s.Weave {
		pts = append(pts, w.Points...)
	}
	for _, t := range s.Travel {
		pts = append(pts, t.A, t.B)
	}
	for _, m := range s.Marks {
		pts = append(pts, m.At, m.Off)
	}
	for _, p := range s.Places {
		pts = append(pts, p.At...)
	}
	if s.Picture != nil {
		pts = append(pts, s.Picture.Box.Min, s.Picture.Box.Max)
	}
	for _, n := range s.Notes {
		if n.At != nil {
			pts = append(pts, *n.At)
		}
	}
	for _, p := range []*paths.Point{s.Start, s.End} {
		if p != nil {
			pts = append(pts, *p)
		}
	}
	return pts
}

func checkStroke(s paths.Stroke) error {
	if err := s.Validate(); err != nil {
		return err
	}
	for _, c := range s {
		for _, p := range []paths.Point{c.Start(), c.End(), c.Bounds().Min, c.Bounds().Max} {
			if err := checkPoint(p); err != nil {
				return err
			}
		}
	}
	return nil
}

func checkPoint(p paths.Point) error {
	if !p.IsFinite() || math.Abs(p.X) > maxExtent || math.Abs(p.Y) > maxExtent {
		return fmt.Errorf("(%v, %v) mm is no place on cloth", p.X, p.Y)
	}
	return nil
}
