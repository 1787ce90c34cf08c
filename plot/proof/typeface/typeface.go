// Package typeface measures, draws and breaks the words of pictures in one font, which
// is compiled in. Its functions are pure; the cost is linear in the text.
package typeface

import (
	"strings"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"weftplot/paths"
	"weftplot/paths/label"
)

// Heights of the text above and below its base line, in em: the ascender and
// descender lines of the Go fonts.
const (
	Ascent  = 0.75
	Descent = 0.21
)

// Families is the font of the picture, and the fonts to use where it is
// missing. Each text states its length, so that another font fills the same
// space.
const Families = "Go, Helvetica, Arial, 'Liberation Sans', sans-serif"

// Spare is how much wider than the Go fonts text may become in a viewer
// that uses another font and ignores the text's length.
const Spare = 1.15

var fonts = sync.OnceValue(func() (f [2]*sfnt.Font) {
	for i, ttf := range [][]byte{goregular.TTF, gobold.TTF} {
		var err error
		if f[i], err = sfnt.Parse(ttf); err != nil {
			panic("typeface: the font that is compiled in is broken: " + err.Error())
		}
	}
	return f
})

func face(bold bool) *sfnt.Font {
	if bold {
		return fonts()[1]
	}
	return fonts()[0]
}

// emUnits is the size at which glyphs are loaded: one pixel a font unit, so
// that nothing is rounded.
func emUnits(f *sfnt.Font) fixed.Int26_6 { return fixed.I(int(f.UnitsPerEm())) }

// glyph returns the number of the glyph of r; 0, an empty box, where the font
// has none.
func glyph(f *sfnt.Font, buf *sfnt.Buffer, r rune) sfnt.GlyphIndex {
	i, err := f.GlyphIndex(buf, r)
	if err != nil {
		return 0
	}
	return i
}

// Width returns the width of text set at size, without kerning, in the unit
// of size.
func Width(text string, size float64, bold bool) float64 {
	f := face(bold)
	var buf sfnt.Buffer
	var sum fixed.Int26_6
	for _, r := range text {
		if a, err := f.GlyphAdvance(&buf, glyph(f, &buf, r), emUnits(f), font.HintingNone); err == nil {
			sum += a
		}
	}
	return float64(sum) / float64(emUnits(f)) * size
}

// Outline returns the outlines of text set at size with its base line
// starting at the origin, y down.
func Outline(text string, size float64, bold bool) []paths.Stroke {
	f := face(bold)
	var buf sfnt.Buffer
	var out []paths.Stroke
	k := size / float64(emUnits(f))
	var pen fixed.Int26_6
	for _, r := range text {
		g := glyph(f, &buf, r)
		segs, err := f.LoadGlyph(&buf, g, emUnits(f), nil)
		if err == nil {
			out = append(out, contours(segs, pen, k)...)
		}
		if a, err := f.GlyphAdvance(&buf, g, emUnits(f), font.HintingNone); err == nil {
			pen += a
		}
	}
	return out
}

// contours returns the closed outlines of a glyph, moved right by dx and then
// scaled by k.
func contours(segs sfnt.Segments, dx fixed.Int26_6, k float64) []paths.Stroke {
	at := func(p fixed.Point26_6) paths.Point {
		return paths.Point{X: float64(p.X+dx) * k, Y: float64(p.Y) * k}
	}
	var out []paths.Stroke
	var last paths.Point
	for _, s := range segs {
		n := len(out) - 1
		a, b, c := at(s.Args[0]), at(s.Args[1]), at(s.Args[2])
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			out, last = append(out, nil), a
		case sfnt.SegmentOpLineTo:
			out[n], last = append(out[n], paths.Line{A: last, B: a}), a
		case sfnt.SegmentOpQuadTo:
			out[n], last = append(out[n], paths.Quadratic(last, a, b)), b
		case sfnt.SegmentOpCubeTo:
			out[n], last = append(out[n], paths.Cubic{A: last, B: a, C: b, D: c}), c
		}
	}
	return out
}

// Clean returns s on one line, without characters that cannot be shown.
func Clean(s string) string {
	if label.IsPlain(s) {
		return s
	}
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r == '\ufeff' || (r >= 0x202a && r <= 0x202e) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "?"))
	return strings.Join(strings.Fields(s), " ")
}

// Wrap breaks text into lines no wider than width, between words where it can;
// beyond maxLines it ends in an ellipsis. Empty text gives no line.
func Wrap(text string, size float64, bold bool, width float64, maxLines int) []string {
	fits := func(s string) bool { return Width(s, size, bold) <= width }
	var lines []string
	line := ""
	for _, word := range strings.Fields(Clean(text)) {
		if joined := strings.TrimSpace(line + " " + word); fits(joined) {
			line = joined
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for !fits(word) {
			head := longestHead(word, fits)
			lines, word = append(lines, head), word[len(head):]
			if len(lines) > maxLines {
				break
			}
		}
		line = word
		if len(lines) > maxLines {
			break
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	if len(lines) <= maxLines {
		return lines
	}
	last := []rune(lines[maxLines-1])
	for len(last) > 0 && !fits(string(last)+"…") {
		last = last[:len(last)-1]
	}
	return append(lines[:maxLines-1:maxLines-1], strings.TrimRight(string(last), " ")+"…")
}

// longestHead returns the longest beginning of word that fits, one rune at
// least. It ends after a hyphen or the like if there is one in its second half,
// so that names of files break there.
func longestHead(word string, fits func(string) bool) string {
	end, soft := 0, 0
	for i, r := range word {
		next := i + len(string(r))
		if end > 0 && !fits(word[:next]) {
			break
		}
		end = next
		if strings.ContainsRune("-_./,;", r) {
			soft = next
		}
	}
	if 2*soft >= end {
		return word[:soft]
	}
	return word[:end]
}
