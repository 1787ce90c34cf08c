package loops

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// Gauge is the room in mm that a row of loops takes, on each axis: more where the
// yarn is thick. Loops take one to two channels (common practice).
type Gauge struct{ Across, Along float64 }

// Kind is what was found.
type Kind int

const (
	// Empty is a face that holds no loop: no circle as wide as a row fits in it.
	Empty Kind = iota
	// Narrow is a face, or a part of one, in which no circle fits that is as wide as
	// two rows of loops: it closes up when it is worked (common practice).
	Narrow
)

// Found is one place that was found.
type Found struct {
	Kind Kind
	// At lies in the face: where it is widest, or in the middle of the narrow part.
	At paths.Point
	// Length is the greater extent in mm of the face or of the part.
	Length float64
	// Rows is how many rows of loops it is wide at its widest.
	Rows float64
	// Whole reports that the whole face is too narrow, not only a part of it.
	Whole bool
	// Extent is the rectangle round the face or the part.
	Extent paths.Rect
}

// Result is all that was found.
type Result struct {
	// Found holds the empty faces and then the narrow ones, each from the top left.
	Found []Found
	// Whole is false when the drawing is so large, or its lines so crowded, that not
	// all was looked at.
	Whole bool
}

const (
	// finest and coarsest are the pixels of a row of loops, as there is room.
	finest, coarsest = 8, 4
	// maxPixels bounds the picture.
	maxPixels = 6_000_000
	// enough is how much too small a circle may be and still fit, in rows: a shape
	// drawn exactly one row wide holds it.
	enough = 0.005
	// longPart is how long a narrow part is at least, in rows of loops, to be told. A
	// circle two rows wide leaves less in a corner of 45 degrees; a sharper one is a
	// point that does not survive.
	longPart = 2.5
)

// Inspect looks at strokes at their finished size. A gauge that is not above zero
// finds nothing.
func Inspect(strokes []paths.Stroke, g Gauge) Result {
	if !(g.Across > 0 && g.Along > 0) {
		return Result{Whole: true}
	}
	p, ok := newPicture(strokes, g)
	if !ok {
		return Result{}
	}
	var out []Found
	p.faces(func(f face) {
		if f.isOutside || p.isMinute(f.extent) { // lines meet there, it is no shape
			return
		}
		widest, at := p.widest(f)
		if widest*p.res < pocketPixels && p.isPocket(f) {
			return
		}
		switch {
		case 2*widest < 1-2*enough:
			out = append(out, p.found(Empty, f.extent, at, 2*widest, true))
		case 2*widest < 2-2*enough:
			out = append(out, p.found(Narrow, f.extent, at, 2*widest, true))
		default:
			out = append(out, p.narrowParts(f)...)
		}
	})
	slices.SortStableFunc(out, func(a, b Found) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(b.At.Y, a.At.Y), cmp.Compare(a.At.X, b.At.X))
	})
	return Result{Found: out, Whole: p.budget >= 0 && p.looks >= 0}
}

// isMinute reports whether a rectangle of pixels is less than a quarter of a row both ways.
func (p *picture) isMinute(r pixels) bool {
	return max(r.x1-r.x0, r.y1-r.y0) < int(p.res/4)
}

// found puts a place into words: extent is of pixels, at and rows are in rows of
// loops.
func (p *picture) found(k Kind, extent pixels, at paths.Point, rows float64, whole bool) Found {
	w, h := float64(extent.x1-extent.x0+1)/p.res*p.gauge.Across, float64(extent.y1-extent.y0+1)/p.res*p.gauge.Along
	box := paths.RectOf(p.onRug(p.middle(extent.x0, extent.y0)), p.onRug(p.middle(extent.x1, extent.y1)))
	return Found{Kind: k, At: p.onRug(at), Length: math.Max(w, h), Rows: rows, Whole: whole, Extent: box}
}
