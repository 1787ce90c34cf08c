// Package scan turns a picture of a pencil or pen drawing into the line work
// that a person drew: one line along the middle of each, not its two edges.
package scan

import (
	"weftplot/paths"
	"weftplot/paths/scan/raster"
)

// Options say how a page is traced. The zero value works.
type Options struct {
	// Deskew turns the drawing by its own long lines until they are square to
	// the sheet, and then squares those that are nearly so.
	Deskew bool
	// LineMM is the width of the drawn line in mm; 0 means that it is measured.
	LineMM float64
}

// Tracing is the line work of a page.
type Tracing struct {
	// Strokes are in mm, y up, the lower left corner of the page at the origin.
	Strokes []paths.Stroke
	// LineMM is the width of the drawn lines in mm, as measured or as given.
	LineMM float64
	// TurnedDeg is how far the drawing was turned to lie square, in degrees
	// counter-clockwise; 0 without Deskew.
	TurnedDeg float64
	// Finds list what was done to the lines and what is not certain, from the
	// top of the page down.
	Finds []Find
}

// FindKind says what a [Find] is.
type FindKind int

const (
	// GapBridged is a break in a line that was drawn through.
	GapBridged FindKind = iota + 1
	// SpurRemoved is a short whisker of a line that was left out.
	SpurRemoved
	// SpeckRemoved is a dark spot too small or too pale to be drawn.
	SpeckRemoved
	// BlobOutlined is an area too wide for a line, drawn by its outline.
	BlobOutlined
	// Doubtful is a place to be looked at.
	Doubtful
)

// Find is something about the page that a person should know of.
type Find struct {
	Kind FindKind
	// At is where, in the frame of the strokes.
	At paths.Point
	// Stroke is the piece of line meant; it may be empty.
	Stroke paths.Stroke
	// Message is a sentence for a person.
	Message string
}

// Trace finds the lines of a page.
func Trace(p raster.Page, opt Options) (Tracing, error) {
	return Tracing{}, paths.Bad("", "", "tracing is not ready")
}
