package text

import (
	"fmt"
	"slices"

	"github.com/go-text/typesetting/di"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/shaping"
	"golang.org/x/image/math/fixed"
)

func units(v fixed.Int26_6) float64 { return float64(v) / 64 }

// oneFace is the one font for all characters.
type oneFace struct{ face *font.Face }

// ResolveFace returns the font.
func (f oneFace) ResolveFace(rune) *font.Face { return f.face }

// shapeRun chooses and places the glyphs for the text, in font units, as parts
// of one script and direction in their order along the line. A damaged font may
// make the library panic; that is an error like any other.
func shapeRun(face *font.Face, text []rune, rtl, spaced bool) (out []shaping.Output, err error) {
	defer func() {
		if p := recover(); p != nil {
			out, err = nil, fmt.Errorf("it is damaged (%v)", p)
		}
	}()
	in := shaping.Input{
		Text: text, RunEnd: len(text), Face: face, Size: fixed.I(int(face.Upem())),
		Direction: di.DirectionLTR, Language: language.NewLanguage("en"),
	}
	if rtl {
		in.Direction = di.DirectionRTL
	}
	if spaced { // letters set apart are not joined (CSS Text 3, 8.2)
		for _, tag := range []string{"liga", "clig"} {
			in.FontFeatures = append(in.FontFeatures, shaping.FontFeature{Tag: opentype.MustNewTag(tag)})
		}
	}
	var shaper shaping.HarfbuzzShaper
	var segmenter shaping.Segmenter
	for _, part := range segmenter.Split(in, oneFace{face}) {
		out = append(out, shaper.Shape(part))
	}
	if rtl {
		slices.Reverse(out)
		return out, nil
	}
	for i := 0; i < len(out); i++ { // parts that run to the left are in reverse order
		j := i
		for j < len(out) && out[j].Direction == di.DirectionRTL {
			j++
		}
		slices.Reverse(out[i:j])
		i = max(i, j)
	}
	return out, nil
}
