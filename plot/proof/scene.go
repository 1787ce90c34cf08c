// Package proof draws proofs: pictures of a job for a person to read at a glance,
// before any ink is on the cloth.
//
// A [Scene] says what is shown, in mm of one frame with y up. [SVG] and [PNG]
// are the same picture: it is laid out once, as a short list of paths and texts
// in mm of the page, and written twice. The SVG keeps arcs and cubics as they
// are, keeps words as text and is at real size, so that it can be printed,
// measured and laid beside the cloth.
//
// It is not a drawing library: a scene holds only what a job has, and this
// package decides where it goes on the page. Package plot/report decides what
// is shown of a job.
//
// Nothing is shown by colour alone: outlines differ in line style, pens in the
// shape of their arrowheads, and the legend explains both. The colours of the
// picture itself are from Okabe and Ito, "Color Universal Design" (2002,
// revised 2008); the ink has the colours of the pens.
//
// Cost: about linear in the number of curves and of pixels. The number of
// labels is bounded, because each is checked against everything that is drawn.
package proof

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/fault"
)

// A Scene is what one proof shows: everything in one frame, in mm, y up. Every
// field but Title and Side may be left empty, and empty fields are not drawn.
// Drawing does not change a scene.
type Scene struct {
	// Title names the job, such as "lighthouse-mat".
	Title string
	// Side completes "You are looking at ...": "the back of the rug, as the pen
	// draws it: mirrored".
	Side string
	// Captions are short facts in reading order: sizes, counts, time. They are
	// set under the title, one after another in lines.
	Captions []string

	// Rug, Backing and Machine are outlines: the edge of the finished rug, of
	// the cloth it is worked on, and of what the pen can reach. They are closed
	// strokes, because cloth may lie askew; see [Outline].
	Rug, Backing, Machine paths.Stroke
	// Rugs are the rugs of a kit, in place of Rug, and Loads what is drawn in each laying
	// of the cloth.
	Rugs, Loads []Region
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
	// Travel is the path of the lifted pen.
	Travel []paths.Line
	// Start is where the pen is first set down and End where it is last lifted.
	Start, End *paths.Point
	// Marks are the registration marks.
	Marks []Mark
	// Picture lies under everything else.
	Picture *Picture
	// Places are what a person should check, kind by kind.
	Places []Places
	// Notes are broken limits and warnings; they are numbered in this order.
	// Only the first few are shown, unless EveryNote is set.
	Notes     []Note
	EveryNote bool
}

// A WeaveLine is one channel of the weave, as it lies.
type WeaveLine struct {
	// Channel is its number, counted from the rug's lower left corner.
	Channel int
	// Along reports whether it runs across the cloth from left to right, at a
	// fixed "along"; otherwise it runs along the cloth.
	Along bool
	// Points are on the channel, in mm, in order along it.
	Points []paths.Point
}

// Ink is one stroke of a pen.
type Ink struct {
	// Stroke is what is drawn, in mm.
	Stroke paths.Stroke
	// Colour is "#rrggbb", black when empty. Width is the width of the pen's line
	// in mm; a line narrower than can be seen in a picture of this size, such as one
	// of 0 mm, is shown wider.
	Colour string
	Width  float64
	// Layer and Pen are names, for the legend.
	Layer, Pen string
	// Number is its place in the order of drawing, from 1, to be shown; with 0
	// none is.
	Number int
}

// A Mark is a registration mark: where it was found, and how far that is from
// where the fitted weave puts it.
type Mark struct {
	// At is where it was found, in mm. Off is its residual, found minus fitted,
	// in mm.
	At, Off paths.Point
}

// A Note is a numbered remark about a place, or about the whole job when At is
// nil.
type Note struct {
	// At is its place in mm; nil for none.
	At *paths.Point
	// Label is a sentence.
	Label string
	// Parts are the pieces of line that it is about; they are marked.
	Parts []paths.Stroke
}

// Outline returns the outline of r, counter-clockwise from its lower left
// corner.
func Outline(r paths.Rect) paths.Stroke {
	return paths.Polyline(r.Min, paths.Point{X: r.Max.X, Y: r.Min.Y}, r.Max, paths.Point{X: r.Min.X, Y: r.Max.Y}, r.Min)
}

// maxExtent is the greatest extent that is drawn, in mm: a hundred metres.
const maxExtent = 1e5

// check refuses what cannot be drawn: numbers that are not finite or far too
// large, broken strokes, and invalid colours. It tells the meter of each stroke of ink.
func (s Scene) check(meter *cores.Meter) error {
	var first error
	// check takes the error of one thing, with its name and its number from 0.
	check := func(what string, i int, err error) {
		if err != nil && first == nil {
			first = &fault.Error{Kind: fault.Input, Where: "proof", What: fmt.Sprintf("%s %d: %v", what, i+1, err), Err: err}
		}
	}
	strokes := func(what string, i int, list ...paths.Stroke) {
		for _, k := range list {
			check(what, i, checkStroke(k))
		}
	}
	for i, o := range []paths.Stroke{s.Rug, s.Backing, s.Machine} {
		strokes("outline", i, o)
	}
	strokes("rug", 0, outlinesOf(s.Rugs)...)
	strokes("load", 0, outlinesOf(s.Loads)...)
	for i, k := range s.Ink {
		var err error
		if i == 0 || k.Colour != s.Ink[i-1].Colour {
			_, err = parseColour(k.Colour)
		}
		check("stroke", i, cmp.Or(checkStroke(k.Stroke), err, checkWidth(k.Width)))
		meter.Add(1)
	}
	for i, p := range s.Paces {
		strokes("stroke at pace", i, p.Strokes...)
		check("pace", i, checkWidth(p.Width))
	}
	for i, n := range s.Notes {
		strokes("note", i, n.Parts...)
	}
	for i, p := range s.Places {
		strokes("kind of place", i, p.Strokes...)
	}
	check("picture", 0, s.Picture.check())
	for i, p := range s.points() {
		check("point", i, checkPoint(p))
	}
	return first
}

// check refuses a picture without pixels; nil is none.
func (p *Picture) check() error {
	if p != nil && (p.Image == nil || p.Image.Bounds().Empty() || p.Box.IsEmpty()) {
		return fmt.Errorf("it has no pixels")
	}
	return nil
}

// checkWidth refuses a width of a line, in mm, that no pen has.
func checkWidth(mm float64) error {
	if mm >= 0 && mm < maxExtent {
		return nil
	}
	return fmt.Errorf("a pen %v mm wide", mm)
}

// withDefaults returns s with defaults for empty values.
func (s Scene) withDefaults() Scene {
	if !slices.ContainsFunc(s.Ink, func(k Ink) bool { return k.Colour == "" }) {
		return s
	}
	s.Ink = slices.Clone(s.Ink)
	for i := range s.Ink {
		s.Ink[i].Colour = cmp.Or(s.Ink[i].Colour, defaultColour)
	}
	return s
}

// defaultColour is the colour of ink that has none.
const defaultColour = "#000000"

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
		box := c.Bounds()
		for _, p := range [...]paths.Point{c.Start(), c.End(), box.Min, box.Max} {
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
