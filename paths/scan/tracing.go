package scan

import (
	"fmt"
	"slices"

	"weftplot/paths"
	"weftplot/paths/scan/paper"
	"weftplot/paths/scan/raster"
	"weftplot/paths/scan/skeleton"
	"weftplot/paths/scan/tint"
	"weftplot/paths/scan/upright"
)

// Tracing is the line work of a page.
type Tracing struct {
	// Strokes are in mm, y up, the lower left corner of the page at the origin.
	Strokes []paths.Stroke
	// Inks are the names of the inks that the strokes are drawn with, such as "red",
	// where the page has tints; nil where not.
	Inks []string
	// LineMM is the width of the drawn lines in mm, as measured or as given.
	LineMM float64
	// TurnedDeg is how far the drawing was turned to lie square, in degrees
	// counter-clockwise; 0 without Deskew.
	TurnedDeg float64
	// Unturned is true where Deskew found nothing to go by, and changed nothing.
	Unturned bool
	// Ruling says what the sheet is printed with, such as "squared paper, 5.0 mm",
	// where that was left out.
	Ruling string
	// OddRuling is true where no usual paper has such a ruling: the size is in doubt.
	OddRuling bool
	// Holes is how many punched holes were left out.
	Holes int
	// Print is how many strokes of a printed letterhead were left out.
	Print int
	// WidthFrom are the places at the left and at the right that the width of the
	// drawing was taken from, where that was given.
	WidthFrom *[2]paths.Point
	// Around is the share of the picture that lies round the sheet, such as a table
	// or the dark edge of a copy, and was left out.
	Around float64
	// Finds list what was changed and what is uncertain, from the top of the
	// page down.
	Finds []Find
}

// Transform returns the tracing with its strokes and finds under the map m. The
// width of the line and the turn stay as they are.
func (t Tracing) Transform(m paths.Affine) Tracing {
	strokes, finds := t.Strokes, t.Finds
	t.Strokes, t.Finds = nil, nil
	for _, s := range strokes {
		t.Strokes = append(t.Strokes, s.Transform(m))
	}
	for _, f := range finds {
		f.At, f.Stroke = m.Apply(f.At), f.Stroke.Transform(m)
		t.Finds = append(t.Finds, f)
	}
	return t
}

// Notes are sentences about what was left out of the page as a whole, and what its size
// was taken from.
func (t Tracing) Notes() []string {
	var out []string
	if t.Ruling != "" {
		out = append(out, "The sheet is "+t.Ruling+": its print was left out; [keep-rulings] keeps it.")
	}
	if t.OddRuling {
		out = append(out, "Paper ruled so is unusual, so the size is in doubt: phones make up the pixels an inch of a photo. Measure the drawing and give its [width].")
	}
	if t.Around >= 0.002 {
		out = append(out, fmt.Sprintf("What lies round the sheet, %.0f %% of the picture, was left out.", max(1, 100*t.Around)))
	}
	if t.Holes > 0 {
		out = append(out, fmt.Sprintf("%d rings at a side of the sheet lie as punched holes do: they were left out.", t.Holes))
	}
	if t.Print > 0 {
		out = append(out, fmt.Sprintf("%d small marks at the head or the foot of the sheet stand on straight lines as print does: they were left out; [keep-rulings] keeps them.", t.Print))
	}
	if t.Unturned {
		out = append(out, "Nothing was turned or squared: no two long sides of the drawing agree on what is level.")
	}
	if w := t.WidthFrom; w != nil {
		out = append(out, fmt.Sprintf("The width was taken from the lines at %.1f, %.1f and at %.1f, %.1f mm.", w[0].X, w[0].Y, w[1].X, w[1].Y))
	}
	return out
}

// FindKind is the kind of a [Find].
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
	// Doubtful is a place that a person should check.
	Doubtful
)

// Find is something about the page that a person should know of.
type Find struct {
	Kind FindKind // what it is
	// At is where, in the frame of the strokes.
	At paths.Point
	// Stroke is the line or gap that the find is about; it may be empty.
	Stroke paths.Stroke
	// Message is a sentence for a person.
	Message string
	// LengthMM is how much ink it is about: the longer, the more it matters.
	LengthMM float64
}

// deskew turns the drawing about a place until its long lines are parallel to the sides
// of the sheet, and squares the lines that then nearly are.
func (t *Tracing) deskew(about paths.Point) {
	a, ok := upright.Turn(t.Strokes)
	if !ok {
		t.Unturned = true
		return
	}
	t.TurnedDeg = -a / degree
	m := paths.Translate(about.Mul(-1)).Then(paths.Rotate(-a)).Then(paths.Translate(about))
	*t = t.Transform(m)
	upright.Square(t.Strokes)
}

// dropHoles takes out what a punch made in a sheet of w by h mm.
func (t *Tracing) dropHoles(w, h float64) {
	holes := paper.Holes(t.Strokes, w, h)
	t.Holes = len(holes)
	for _, i := range holes {
		box := t.Strokes[i].Bounds()
		t.Finds = slices.DeleteFunc(t.Finds, func(f Find) bool { return f.Kind == BlobOutlined && box.Contains(f.At) })
		t.Strokes[i] = nil
	}
	t.Strokes = slices.DeleteFunc(t.Strokes, func(s paths.Stroke) bool { return s == nil })
}

// dropPrint takes out the print at the head and the foot of a sheet h mm high, and what
// was found about it.
func (t *Tracing) dropPrint(h float64) {
	letters := paper.Letterhead(t.Strokes, h)
	t.Print = len(letters)
	for _, i := range letters {
		box := t.Strokes[i].Bounds().Grow(1)
		t.Finds = slices.DeleteFunc(t.Finds, func(f Find) bool { return box.Contains(f.At) })
		t.Strokes[i] = nil
	}
	t.Strokes = slices.DeleteFunc(t.Strokes, func(s paths.Stroke) bool { return s == nil })
}

// divide cuts the strokes where their ink changes, and says which ink each has. flat is
// the page in even light.
func (t *Tracing) divide(p raster.Page, flat skeleton.Plane) {
	k := ink{p: flat}
	dark := func(at paths.Point) float64 {
		q := paths.Point{X: at.X/p.MM - 0.5, Y: float64(p.H) - 0.5 - at.Y/p.MM}
		return k.dark(q) / skeleton.Paper
	}
	t.Strokes, t.Inks = tint.Divide(t.Strokes, tint.Plane{W: p.W, H: p.H, Tints: p.Tints, MM: p.MM}, t.LineMM, dark)
}
