package svg

import (
	"math"
	"strings"

	"weftplot/paths"
	"weftplot/paths/svg/lex"
	"weftplot/paths/svg/shape"
	"weftplot/paths/svg/text"
)

// A text that no font is given for is kept as words in their places: what draws
// them in single-line letters must know the weave first.

// capital is the height of a capital as a share of the font size: common practice
// for text faces.
const capital = 0.7

// kept is a line of words with what decides its layer.
type kept struct {
	inked // without a stroke
	words paths.Words
}

// keepWords keeps a text as lines of words. A line begins at each character that
// has an x of its own: where a character is that follows from the one before is not
// known until the letters are set.
func (t *textReader) keepWords() {
	var chars []text.Char
	for _, ch := range t.chars {
		if !ch.gone {
			chars = append(chars, ch.Char)
		}
	}
	at := paths.Point{}
	for len(chars) > 0 {
		n := 1
		for n < len(chars) && !chars[n].HasX {
			n++
		}
		at = t.keepLine(chars[:n], at)
		chars = chars[n:]
	}
}

// keepLine keeps the characters of one line. It begins where the line before was
// left, unless it says otherwise, and returns where it is left itself.
func (t *textReader) keepLine(chars []text.Char, at paths.Point) paths.Point {
	s := &t.spans[chars[0].Span]
	if chars[0].HasX {
		at.X = chars[0].X
	}
	if chars[0].HasY {
		at.Y = chars[0].Y
	}
	at = at.Add(paths.Point{X: chars[0].DX, Y: chars[0].DY})
	var b strings.Builder
	for _, ch := range chars {
		b.WriteRune(ch.Rune)
	}
	reads := strings.TrimSpace(b.String())
	k, shows := t.r.visible(s.n, &s.c)
	if reads == "" || !shows {
		return at
	}
	t.noteOddLetters(s, chars, reads)
	turn := 0.
	if len(chars) == 1 {
		turn = chars[0].Turn
	}
	if w, ok := t.onPage(s, at, turn); ok {
		w.Text, w.Element, w.Line, w.Width, w.Colour = reads, s.n.name, s.n.line, k.width, k.colour
		t.r.kept = append(t.r.kept, kept{inked{DesignStroke: paths.DesignStroke{Colour: k.colour}, layer: s.c.layer, group: s.c.group}, w})
	}
	return at
}

// noteOddLetters notes what single letters of a line ask for beside the others.
func (t *textReader) noteOddLetters(s *textSpan, chars []text.Char, reads string) {
	turned, moved, sizes := false, false, false
	for i, ch := range chars {
		turned = turned || ch.Turned && ch.Turn != 0 && len(chars) > 1
		moved = moved || i > 0 && (ch.HasY || ch.Moved)
		other := &t.spans[ch.Span]
		sizes = sizes || other.c.style.FontSize != s.c.style.FontSize || other.up != s.up
	}
	for _, odd := range []struct {
		is         bool
		code, says string
	}{
		{moved, "place-not-applied", "Some of its letters have a dx, dy or y of their own, which is left out of account. It reads %q."},
		{sizes, "size-not-applied", "All of its letters are drawn in the size, and on the line, of the first. It reads %q."},
		{turned, "rotate-not-applied", "That its letters are turned one by one is left out of account. It reads %q."},
	} {
		if odd.is {
			t.r.notes.add(s.n, odd.code, odd.says, lex.Excerpt(reads))
		}
	}
}

// onPage returns words at a place of the text in page mm, y down, and notes what
// its transform asks for that letters on a weave cannot do.
func (t *textReader) onPage(s *textSpan, at paths.Point, turn float64) (paths.Words, bool) {
	style, notes := &s.c.style, &t.r.notes
	sin, cos := shape.Turn(turn)
	m := paths.Affine{A: cos, B: sin, C: -sin, D: cos, E: at.X, F: at.Y}.Then(s.c.m)
	w := paths.Words{
		At: m.Apply(paths.Point{Y: -s.up}), Anchor: paths.Anchor(anchorOf(style.TextAnchor, style.Direction == "rtl")),
		Turn: math.Atan2(m.B, m.A), Spacing: s.c.view.x(style.LetterSpacing) * math.Hypot(m.A, m.B),
	}
	wide, det := math.Hypot(m.A, m.B), m.Det()
	w.Height = capital * style.FontSize * det / wide
	reads := words(s.n)
	switch {
	case det < 0:
		notes.add(s.n, "text-not-drawn", "It stands mirrored in the design. Write it so that it reads right: the job mirrors words with all else where the craft asks for it. It reads %q.", reads)
		return w, false
	case !(w.Height > 0) || !lex.Finite(w.Height) || !lex.Finite(w.At.X) || !lex.Finite(w.At.Y) || max(math.Abs(w.At.X), math.Abs(w.At.Y), w.Height) > shape.Farthest:
		notes.add(s.n, "text-not-drawn", "It has no size or place that can be drawn. It reads %q.", reads)
		return w, false
	}
	if math.Abs(m.A*m.C+m.B*m.D) > 0.01*wide*math.Hypot(m.C, m.D) || math.Abs(det/wide/wide-1) > 0.01 {
		notes.add(s.n, "stretch-not-applied", "That its letters are slanted or stretched is left out of account. It reads %q.", reads)
	}
	if s.c.clip != nil {
		notes.add(s.n, "clip-not-applied", "Its letters are drawn whole, whatever a clip path, mask or viewport hides of them. It reads %q.", reads)
	}
	if s.n.attr("textLength") != "" {
		notes.add(s.n, "text-length-not-applied", "The length that it is to be stretched to is left out of account.")
	}
	return w, true
}

// words returns the words that were kept, under the map from the page to the
// design, with their layers.
func (r *reader) words(turn paths.Affine) []paths.Words {
	namer := r.layerNamer()
	var out []paths.Words
	for _, k := range r.kept {
		w := k.words
		w.At, w.Turn = turn.Apply(w.At), 0-w.Turn // the y axis turns up; never -0
		w.Layer, _ = namer(k.inked)
		out = append(out, w)
	}
	return out
}
