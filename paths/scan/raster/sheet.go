package raster

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// Sheet is the size of a sheet of paper in mm, as it lies or turned.
type Sheet struct {
	W, H float64 // mm
}

// sheets are the sizes that have names: ISO 216 and those of ANSI/ASME Y14.1.
var sheets = []struct {
	name string
	Sheet
}{
	{"a2", Sheet{420, 594}}, {"a3", Sheet{297, 420}}, {"a4", Sheet{210, 297}}, {"a5", Sheet{148, 210}},
	{"letter", Sheet{215.9, 279.4}}, {"legal", Sheet{215.9, 355.6}}, {"tabloid", Sheet{279.4, 431.8}},
}

// ParseSheet reads the size of a sheet: a name such as a4 or letter, or two
// lengths such as 30x40cm or 12inx18in. The error is a [*fault.Error] that shows
// how to write one.
func ParseSheet(s string) (Sheet, error) {
	text := strings.ToLower(strings.TrimSpace(s))
	var names []string
	for _, k := range sheets {
		if k.name == text {
			return k.Sheet, nil
		}
		names = append(names, k.name)
	}
	do := "name the sheet (" + strings.Join(names, ", ") + `) or give its size, such as "30x40cm" or "12inx18in"`
	a, b, ok := strings.Cut(text, "x")
	if !ok {
		return Sheet{}, fault.Bad("", do, "%q is no sheet of paper", s)
	}
	h, errH := paths.ParseLength(b)
	if unit := strings.TrimLeft(b, " +-./0123456789"); strings.TrimLeft(a, " +-./0123456789") == "" {
		a += unit // the unit is written once, for both
	}
	w, errW := paths.ParseLength(a)
	if errW != nil || errH != nil {
		return Sheet{}, fault.Bad("", do, "%q is no sheet of paper", s)
	}
	out := Sheet{float64(w), float64(h)}
	if out == (Sheet{}) {
		return out, fault.Bad("", do, "a sheet of no size is no sheet")
	}
	return out, out.check()
}

// check refuses sizes that a sheet cannot have.
func (s Sheet) check() error {
	if s == (Sheet{}) {
		return nil
	}
	if !(min(s.W, s.H) >= 20 && max(s.W, s.H) <= 5000) || max(s.W, s.H) > 10*min(s.W, s.H) {
		return fault.Bad("paper", "give the two sides of the sheet", "a sheet of %g x %g mm is not possible", s.W, s.H)
	}
	return nil
}

// String names the sheet with its size: "a4, 210 x 297 mm".
func (s Sheet) String() string {
	for _, k := range sheets {
		if k.Sheet == s || k.W == s.H && k.H == s.W {
			return fmt.Sprintf("%s, %.4g x %.4g mm", k.name, s.W, s.H)
		}
	}
	return fmt.Sprintf("%.4g x %.4g mm", s.W, s.H)
}

// isoSides are the shorter sides of the sheets A0 to A8 in mm (ISO 216:2007, table 1).
var isoSides = []float64{841, 594, 420, 297, 210, 148, 105, 74, 52}

// madeUp says why the size of a picture, w x h mm by its file, is in doubt, or nothing: it
// has the proportion of a usual sheet and the size of none. Scans of a part of a sheet
// and pictures from a camera have other proportions.
func madeUp(w, h, dpi float64) string {
	short, long := min(w, h), max(w, h)
	for _, k := range sheets[2:] { // a2 and a3 have the proportion of a4
		if k.like(short/long) > 1.006 {
			continue
		}
		if k.name == "a4" && slices.ContainsFunc(isoSides, func(s float64) bool { return abs(short/s-1) < 0.03 }) || abs(short/k.W-1) < 0.03 {
			return ""
		}
		return fmt.Sprintf("The picture has the proportions of a sheet of %s, but by its %.4g pixels an inch it is %.4g x %.4g mm, the size of no sheet: programs make up the pixels an inch. If it shows the whole of a sheet of %s, give [dpi] %.0f; else measure the drawing and give its [width].",
			k.name, dpi, w, h, k.name, dpi*short/k.W)
	}
	return ""
}

// turned returns the sheet the other way round.
func (s Sheet) turned() Sheet { return Sheet{s.H, s.W} }

// like returns how far the proportion of a sheet is from w : h, as a factor of
// at least 1.
func (s Sheet) like(proportion float64) float64 {
	return math.Exp(math.Abs(math.Log(s.W / s.H / proportion)))
}

// FoundSheet is a sheet of paper found in a photo.
type FoundSheet struct {
	// Sheet is its size the way round it lies in the photo.
	Sheet Sheet
	// Corners are in pixels of the upright photo, y down, from the sheet's upper
	// left corner clockwise.
	Corners [4]paths.Point
	// ByHand reports whether the corners were given, not found.
	ByHand bool
	// BowMM is how far its edges are from straight, in mm at the worst edge, as
	// the root of the mean square; 0 when the corners were given.
	BowMM float64
	// Beyond is the share of the sheet that lies outside the photo, by corners given
	// there: it is taken for empty.
	Beyond float64
	// Bend is how much the lens bent straight lines, as the coefficient of the
	// division model for distances in half diagonals of the photo; 0 where that was
	// not seen. It was taken out, and BowMM is what is left.
	Bend float64
	// DPI are the photo's own pixels to an inch of the sheet, about its middle.
	DPI float64
	// Proportion is its width over its height as computed from the perspective.
	Proportion float64
}

// notes returns what a person may want to check.
func (f FoundSheet) notes() []string {
	var out []string
	if f.DPI < 110 {
		out = append(out, fmt.Sprintf("The photo has only %.0f pixels to the inch of the sheet: go closer, or use a finer setting, for good lines.", f.DPI))
	}
	if f.Beyond > 0 {
		out = append(out, fmt.Sprintf("%.0f %% of the sheet lies outside the photo: that part is taken for empty, and what was drawn there is missing.", max(1, 100*f.Beyond)))
	}
	if f.Bend != 0 {
		out = append(out, fmt.Sprintf("The lens bends straight lines, by %.1f %% at the corners of the photo: that was taken out, and the edges of the sheet are within %.2f mm of straight.", 100*abs(f.Bend), f.BowMM))
	}
	if f.BowMM > 0.4 {
		out = append(out, fmt.Sprintf("The edges of the sheet are up to %.1f mm from straight: press it flat, and take the photo from farther off with some zoom.", f.BowMM))
	}
	if off := f.Sheet.like(f.Proportion); off > 1.04 {
		out = append(out, fmt.Sprintf("The sheet seems to be %.3f times as wide as high, and one of %s is %.3f: check that it is the right size.", f.Proportion, f.Sheet, f.Sheet.W/f.Sheet.H))
	}
	return out
}
