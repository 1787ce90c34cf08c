package text

import (
	"math"

	"github.com/go-text/typesetting/shaping"

	"weftplot/paths"
)

// Char is one character of a text, with what the file says of its place.
// Lengths are in user units, y down.
type Char struct {
	Rune rune // the character itself
	// Span is the part of the text that it belongs to; see [Spans].
	Span int
	// X and Y are its absolute place, where HasX and HasY are set.
	X, Y       float64
	HasX, HasY bool // X and Y count
	// DX and DY move it from where it would be, where Moved is set.
	DX, DY float64
	Moved  bool // DX and DY count
	// Turn is how far it is turned, in degrees, where Turned is set.
	Turn   float64
	Turned bool // Turn counts
}

// placed reports whether a character has a place of its own.
func (c *Char) placed() bool { return c.HasX || c.HasY || c.Moved }

// Anchor is the point of a chunk of text that is put at its place.
type Anchor int

// The left end of a chunk, its middle, and its right end.
const (
	Start Anchor = iota
	Middle
	End
)

// Look is how the characters of a span are set.
type Look struct {
	Face *Face   // nil for characters that are not drawn
	Size float64 // the font size, in user units
	Up   float64 // how far above the line they are raised, in user units
	// Anchor is that of a chunk that begins in the span.
	Anchor      Anchor
	RightToLeft bool // the characters run to the left
	// LetterSpacing is added after each letter, WordSpacing after each blank as
	// well, in user units.
	LetterSpacing, WordSpacing float64
	// Spaced says that letters are spaced out, so that none are joined into
	// ligatures.
	Spaced bool
}

// Spans supplies the looks of the spans of a text, and receives the characters
// that cannot be set.
type Spans interface {
	// Look is called once for each run of characters that are set together.
	Look(span int) Look
	// Missing reports that the font has no letter for a character.
	Missing(span int, r rune)
	// Failed reports that a run cannot be set, because its font is damaged.
	Failed(span int, err error)
}

// chunk is a part of the text with an absolute place, which its anchor moves.
type chunk struct {
	x      float64 // of its first character
	anchor Anchor
	from   int // its first letter
}

// Layout is a text with its letters in their places.
type Layout struct {
	// Glyphs are the letters in their order along the line, those of one run
	// together.
	Glyphs []Glyph
	chunks []chunk
	at     paths.Point // where the next letter goes
}

// LayOut sets the characters that show, run by run: the characters of one span up
// to the next with a place or a turn of its own are shaped together.
func LayOut(chars []Char, spans Spans) *Layout {
	l := &Layout{}
	for len(chars) > 0 {
		n := 1
		for n < len(chars) && chars[n].Span == chars[0].Span && !chars[n].placed() && !chars[n].Turned {
			n++
		}
		l.run(chars[:n], spans)
		chars = chars[n:]
	}
	l.anchor()
	return l
}

// run sets characters of one look, of which only the first may have a place of
// its own.
func (l *Layout) run(chars []Char, spans Spans) {
	first := &chars[0]
	if first.HasX {
		l.at.X = first.X
	}
	if first.HasY {
		l.at.Y = first.Y
	}
	l.at = l.at.Add(paths.Point{X: first.DX, Y: first.DY})
	look := spans.Look(first.Span)
	if first.HasX || first.HasY || len(l.chunks) == 0 {
		l.chunks = append(l.chunks, chunk{l.at.X, look.Anchor, len(l.Glyphs)})
	}
	if look.Face == nil {
		return
	}
	text := make([]rune, len(chars))
	for i, c := range chars {
		text[i] = c.Rune
	}
	outputs, err := shapeRun(look.Face.face, text, look.RightToLeft, look.Spaced)
	if err != nil {
		spans.Failed(first.Span, err)
		return
	}
	for _, o := range outputs {
		l.add(o, text, first, look, spans)
	}
}

// add puts the glyphs of one part of a run on the line.
func (l *Layout) add(o shaping.Output, text []rune, first *Char, look Look, spans Spans) {
	k := look.Size / look.Face.em()
	for i, g := range o.Glyphs {
		ch := text[g.TextIndex()]
		if g.GlyphID == 0 {
			spans.Missing(first.Span, ch)
		}
		wide := units(g.Advance) * k
		if i+1 == len(o.Glyphs) || o.Glyphs[i+1].TextIndex() != g.TextIndex() {
			wide += look.LetterSpacing
			if ch == ' ' || ch == '\u00a0' {
				wide += look.WordSpacing
			}
		}
		l.Glyphs = append(l.Glyphs, Glyph{
			id: g.GlyphID, face: look.Face, Span: first.Span, size: look.Size, at: l.at, turn: first.Turn, wide: wide, scale: 1,
			off: paths.Point{X: units(g.XOffset) * k, Y: -units(g.YOffset)*k - look.Up},
		})
		l.at.X += wide
	}
}

// anchor moves the chunks to where their anchors say.
func (l *Layout) anchor() {
	for i, c := range l.chunks {
		to := len(l.Glyphs)
		if i+1 < len(l.chunks) {
			to = l.chunks[i+1].from
		}
		mine := l.Glyphs[c.from:to]
		lo, hi := extent(mine)
		shift := 0.
		switch c.anchor {
		case Middle:
			shift = c.x - (lo+hi)/2
		case End:
			shift = c.x - hi
		}
		for k := range mine {
			mine[k].at.X += shift
		}
	}
}

// extent returns the left and the right limit of letters.
func extent(glyphs []Glyph) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, g := range glyphs {
		lo, hi = min(lo, g.at.X, g.at.X+g.wide), max(hi, g.at.X, g.at.X+g.wide)
	}
	return lo, hi
}

// IsOneChunk reports whether the text has letters, and all of them are in one
// chunk: only such a text can be stretched.
func (l *Layout) IsOneChunk() bool { return len(l.chunks) == 1 && len(l.Glyphs) > 0 }

// Stretch gives a text of one chunk the length, in user units, about its anchor
// (SVG 2, Text, textLength and lengthAdjust): by the spaces between the
// letters, or with glyphs by the letters as well. A text without width stays as
// it is.
func (l *Layout) Stretch(length float64, glyphs bool) {
	lo, hi := extent(l.Glyphs)
	fixedAt := lo
	switch l.chunks[0].anchor {
	case Middle:
		fixedAt = (lo + hi) / 2
	case End:
		fixedAt = hi
	}
	start := fixedAt - (fixedAt-lo)*length/(hi-lo)
	if !(hi > lo) || math.IsNaN(start) || math.IsInf(start, 0) {
		return
	}
	for i := range l.Glyphs {
		g := &l.Glyphs[i]
		if glyphs {
			g.scale = length / (hi - lo)
			g.at.X = start + (g.at.X-lo)*g.scale
		} else {
			g.at.X += start - lo + (length-(hi-lo))*float64(i)/float64(max(1, len(l.Glyphs)-1))
		}
	}
}
