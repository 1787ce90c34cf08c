package svg

import (
	"bytes"
	"fmt"
	"strings"
	"weftplot/paths/fault"

	"github.com/go-text/typesetting/font"
)

// Font is a font to draw text with.
type Font struct {
	// File names it in messages.
	File string
	// Family is the font family of a file's text that it stands for; "" for the
	// family that the font itself says, and any that no other font stands for.
	Family string
	// Data is the content of a TrueType or OpenType file.
	Data []byte
}

// typeface is a font that was read.
type typeface struct {
	face         *font.Face
	name         string // of its family
	family       string // the same in lower case
	bold, italic bool
	named        bool // the family was asked for by name
}

// loadFonts reads the fonts of the options.
func (r *reader) loadFonts() *fault.Error {
	for _, f := range r.opt.Fonts {
		face, err := parseFont(f.Data)
		if err != nil {
			bad := fault.Bad(f.File, "choose a TrueType or OpenType font (.ttf or .otf)", "the font cannot be read: it is none, or damaged")
			bad.Err = err
			return bad
		}
		d := face.Describe()
		t := typeface{
			face: face, family: d.Family, named: f.Family != "",
			bold: d.Aspect.Weight >= font.WeightSemibold, italic: d.Aspect.Style != font.StyleNormal,
		}
		if t.named {
			t.family = f.Family
		}
		t.name = strings.TrimSpace(t.family)
		t.family = strings.ToLower(t.name)
		r.faces = append(r.faces, t)
	}
	return nil
}

// parseFont reads a font with outlines. A damaged file may make the font
// library panic; that is an error like any other.
func parseFont(data []byte) (face *font.Face, err error) {
	defer func() {
		if p := recover(); p != nil {
			face, err = nil, fmt.Errorf("it is damaged (%v)", p)
		}
	}()
	if face, err = font.ParseTTF(bytes.NewReader(data)); err != nil {
		return nil, err
	}
	if upem := face.Upem(); upem < 16 || upem > 16384 { // OpenType, head table
		return nil, fmt.Errorf("it has %d units to the em, outside 16 to 16384", upem)
	}
	return face, nil
}

// faceFor returns the font for a style: of the first family in its list that a
// font stands for, the one whose weight and slant fit best. Where no font
// stands for a family of the list, any that was not asked for by name serves,
// and other is true. nil means that no font serves.
func (r *reader) faceFor(s *style) (face *typeface, other bool) {
	for _, family := range strings.Split(s.fontFamily, ",") {
		family = strings.ToLower(strings.Trim(strings.TrimSpace(family), `"'`))
		if f := r.bestFace(s, func(t *typeface) bool { return t.family == family }); f != nil {
			return f, false
		}
	}
	f := r.bestFace(s, func(t *typeface) bool { return !t.named })
	return f, f != nil
}

func (r *reader) bestFace(s *style, fits func(*typeface) bool) *typeface {
	var best *typeface
	most := -1
	for i := range r.faces {
		t := &r.faces[i]
		if !fits(t) {
			continue
		}
		points := 0
		if t.italic == s.italic {
			points += 2
		}
		if t.bold == s.bold {
			points++
		}
		if points > most {
			best, most = t, points
		}
	}
	return best
}
