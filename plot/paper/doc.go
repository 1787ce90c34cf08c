// Package paper puts a pattern onto paper at full size: on sheets that are glued
// together, or on a roll. It is for makers who trace the pattern through the
// backing or iron it on.
//
// A [Pattern] says what is drawn, in mm of the frame "drawn". [Lay] finds the
// sheets: which way the paper lies, how the sheets are shifted, and which of them
// carry ink. [Plan.PDF] writes them, with all that a person needs to put them
// together and to trust their scale. [Places] finds where an iron is pressed.
//
// The drawing is written once and placed on every sheet through a window, so that
// many sheets cost little. Arcs and cubics stay curves. The same pattern gives
// the same bytes.
package paper

import (
	"weftplot/paths"
	"weftplot/paths/weave"
)

// Pattern is what goes onto paper, in mm of the frame "drawn", y up.
type Pattern struct {
	// Name is what the job is called, clean enough for a picture.
	Name string
	Ink  []Ink
	// Rug is the finished rug's rectangle, and Grid the weave that it lies on.
	Rug  paths.Rect
	Grid weave.Grid
	// Guide is the distance between guide threads of the backing in mm, 0 where
	// there are none.
	Guide float64
	// Mirrored reports that the paper shows the rug from its back, so that words are
	// the wrong way round.
	Mirrored bool
	// Use says in one sentence what is done with the paper.
	Use string
	// Notes are sentences for the page that shows how the sheets go together.
	Notes []string
	// Cautions are what must be said to a person who irons.
	Cautions []string
	// Lettering are places that no joint of two sheets should cross.
	Lettering []paths.Rect
}

// Ink is one line of the pattern.
type Ink struct {
	Stroke paths.Stroke
	Width  float64 // of the printed line, in mm
	Grey   float64 // 0 is black, 1 is white
}

// bounds is what the ink covers, its width included; the rug's own rectangle
// where there is none.
func (p Pattern) bounds() paths.Rect {
	r := paths.EmptyRect()
	for _, k := range p.Ink {
		r = r.Union(k.Stroke.Bounds().Grow(k.Width / 2))
	}
	if r.IsEmpty() {
		return p.Rug
	}
	return r
}

// strokes are the lines of the ink.
func (p Pattern) strokes() []paths.Stroke {
	out := make([]paths.Stroke, len(p.Ink))
	for i, k := range p.Ink {
		out[i] = k.Stroke
	}
	return out
}
