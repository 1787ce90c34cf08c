package text

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/go-text/typesetting/font"

	"weftplot/paths/fault"
)

// Font is a font to draw text with.
type Font struct {
	// File names it in messages.
	File string
	// Family is the font family that it is used for; "" for the family that the
	// font itself names, and for any that no other font is used for.
	Family string
	// Data is the content of a TrueType or OpenType file.
	Data []byte
}

// Face is a font that was read.
type Face struct {
	face         *font.Face
	name         string // of its family
	family       string // the same in lower case
	bold, italic bool
	named        bool // the family was asked for by name
}

// Name returns the name of the family that the face is used for.
func (f *Face) Name() string { return f.name }

// em returns how many font units are in the font size.
func (f *Face) em() float64 { return float64(f.face.Upem()) }

// Fonts are the faces that a text may be set in. The zero value has none.
type Fonts []*Face

// Load reads fonts. The error is a [*fault.Error] that names the file of a font
// that cannot be read.
func Load(list []Font) (Fonts, *fault.Error) {
	var out Fonts
	for _, f := range list {
		face, err := parseFont(f.Data)
		if err != nil {
			bad := fault.Bad(f.File, "choose a TrueType or OpenType font (.ttf or .otf)", "the font cannot be read: it is none, or damaged")
			bad.Err = err
			return nil, bad
		}
		d := face.Describe()
		t := &Face{
			face: face, family: d.Family, named: f.Family != "",
			bold: d.Aspect.Weight >= font.WeightSemibold, italic: d.Aspect.Style != font.StyleNormal,
		}
		if t.named {
			t.family = f.Family
		}
		t.name = strings.TrimSpace(t.family)
		t.family = strings.ToLower(t.name)
		out = append(out, t)
	}
	return out, nil
}

// parseFont reads a font with outlines. A damaged file may make the font
// library panic; that is an error like any other.
func parseFont(data []byte) (face *font.Face, err error) {
	defer func() {
		if p := recover(); p != nil {
			face, err = nil, fmt.Errorf("it is damaged (%v)", p)
		}
	}()
	if err := checkTables(data); err != nil {
		return nil, err
	}
	if face, err = font.ParseTTF(bytes.NewReader(data)); err != nil {
		return nil, err
	}
	if upem := face.Upem(); upem < 16 || upem > 16384 { // OpenType, head table
		return nil, fmt.Errorf("it has %d units to the em, outside 16 to 16384", upem)
	}
	return face, nil
}

// For returns the face for a list of families, separated by commas: of the
// first family that has a font, the face whose weight and slant fit best. Where
// no family of the list has a font, a face with no Family set is used, and
// other is true. A nil face means that there is none.
func (f Fonts) For(families string, bold, italic bool) (face *Face, other bool) {
	for _, family := range strings.Split(families, ",") {
		family = strings.ToLower(strings.Trim(strings.TrimSpace(family), `"'`))
		if t := f.best(bold, italic, func(t *Face) bool { return t.family == family }); t != nil {
			return t, false
		}
	}
	t := f.best(bold, italic, func(t *Face) bool { return !t.named })
	return t, t != nil
}

// best returns the best fit among the faces that serve, and the first of
// equals; the slant counts for more than the weight.
func (f Fonts) best(bold, italic bool, serves func(*Face) bool) *Face {
	var best *Face
	most := -1
	for _, t := range f {
		if !serves(t) {
			continue
		}
		points := 0
		if t.italic == italic {
			points += 2
		}
		if t.bold == bold {
			points++
		}
		if points > most {
			best, most = t, points
		}
	}
	return best
}
