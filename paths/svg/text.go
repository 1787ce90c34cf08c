package svg

import (
	"strings"

	"weftplot/paths/svg/css"
	"weftplot/paths/svg/lex"
	"weftplot/paths/svg/shape"
	"weftplot/paths/svg/text"
)

// A text is drawn as the outlines of its letters, filled or stroked like any
// other shape. This file finds in the elements which characters there are,
// where they are placed and how they look; package text lays them out.

// char is one character of a text.
type char struct {
	text.Char
	gone bool // dropped by the rules for white space
}

// textSpan is an element of the text, with the characters it holds.
type textSpan struct {
	n        *node
	c        context
	up       float64 // px that it is raised above the line
	from, to int
}

// textReader reads one text element.
type textReader struct {
	r      *reader
	chars  []char
	spans  []textSpan
	clips  bool // it is part of a clip path
	failed bool // some of it cannot be set
}

// maxChars bounds the characters of one text element.
const maxChars = 20_000

// text draws a text element.
func (r *reader) text(n *node, c context) {
	if len(r.fonts) == 0 && !(r.opt.Words && r.veil == nil) {
		r.notDrawn(n, &c.style)
		return
	}
	t := textReader{r: r}
	if l := t.read(n, c); l != nil {
		t.bySpan(l.Glyphs, t.letters)
	}
}

// read gathers the text of n and lays it out. It returns nil where there is nothing
// more to be done: it cannot be set, or it is kept as words.
func (t *textReader) read(n *node, c context) *text.Layout {
	r := t.r
	if m := c.style.WritingMode; strings.HasPrefix(m, "tb") || strings.HasPrefix(m, "vertical") || strings.HasPrefix(m, "sideways") {
		r.notes.add(n, "text-not-drawn", "Text that runs downwards is not drawn; turn it into paths in the drawing program. It reads %q.", words(n))
		return nil
	}
	t.gather(n, c, 0)
	if len(t.chars) > maxChars {
		r.halt(n, "the text has more than %d characters, the most that are read", maxChars)
	}
	if r.stop != nil {
		return nil
	}
	t.blanks()
	t.places()
	if style := &c.style; r.opt.Words && !t.clips && r.veil == nil {
		if face, _ := r.fonts.For(style.FontFamily, style.Bold, style.Italic); face == nil {
			t.keepWords()
			return nil
		}
	}
	l := t.layOut()
	t.stretch(n, l)
	return l
}

// gather lists the characters of n and of what is in it.
func (t *textReader) gather(n *node, c context, up float64) {
	up += t.raised(n, &c)
	mine := len(t.spans)
	t.spans = append(t.spans, textSpan{n: n, c: c, up: up, from: len(t.chars)})
	for _, f := range n.says().flow {
		if t.r.stop != nil || len(t.chars) > maxChars {
			return
		}
		if f.child != nil {
			t.inner(f.child, c, up)
			continue
		}
		t.r.bytes += len(f.text)
		for _, ch := range f.text {
			if len(t.chars) > maxChars {
				return
			}
			t.chars = append(t.chars, char{Char: text.Char{Rune: ch, Span: mine}})
		}
	}
	t.spans[mine].to = len(t.chars)
}

// inner gathers an element within the text.
func (t *textReader) inner(n *node, c context, up float64) {
	r := t.r
	c.depth++
	if n.name == "" || undrawn[n.name] || !r.afford(n, c.depth) || !conditionsMet(n) {
		return
	}
	if n.name != "tspan" && n.name != "a" {
		r.notes.add(n, "text-not-drawn", "This part of the text is not drawn; turn it into paths in the drawing program. It reads %q.", words(n))
		return
	}
	c.style = r.css.Style(n, &c.style)
	c.view.em = c.style.FontSize
	if r.hidden(n, &c.style) {
		return
	}
	c.sheer = c.sheer || c.style.Own.Opacity < 1
	if n.attr("textLength") != "" {
		r.notes.add(n, "text-length-not-applied", "The length that it is to be stretched to is left out of account.")
	}
	t.gather(n, c, up)
}

// raised returns by how many px an element is raised above the line of the
// element around it (SVG 2, Text, baseline-shift).
func (t *textReader) raised(n *node, c *context) float64 {
	s := &c.style
	if s.DominantBaseline != "auto" && s.DominantBaseline != "alphabetic" {
		t.r.notes.add(n, "baseline-not-applied", "It is set on the usual line of its letters, not on %q.", lex.Excerpt(s.DominantBaseline))
	}
	if s.Own.TextDecoration != "none" && !strings.HasPrefix(s.Own.TextDecoration, "none ") {
		t.r.notes.add(n, "decoration-not-drawn", "The line under, over or through its letters (%s) is not drawn.", lex.Excerpt(s.Own.TextDecoration))
	}
	switch shift := strings.ToLower(s.Own.BaselineShift); shift {
	case "baseline":
		return 0
	case "sub": // common practice where the font does not say
		return -0.2 * s.FontSize
	case "super":
		return 0.4 * s.FontSize
	default:
		l, _ := css.ParseLength(shift)
		return l.In(s.FontSize, s.FontSize)
	}
}

// blanks applies the rules for white space: it becomes one blank, and none at
// the ends of the text, unless it is to be kept (SVG 2, Text, white-space).
func (t *textReader) blanks() {
	last := -1 // the last character kept, if that is a blank
	shown := false
	for i := range t.chars {
		ch := &t.chars[i]
		if ch.Rune == '\n' || ch.Rune == '\t' || ch.Rune == '\r' {
			ch.Rune = ' '
		}
		if strings.HasPrefix(t.spans[ch.Span].c.style.WhiteSpace, "pre") {
			last, shown = -1, true
			continue
		}
		if ch.Rune != ' ' {
			last, shown = -1, true
			continue
		}
		if ch.gone = last >= 0 || !shown; !ch.gone {
			last = i
		}
	}
	if last >= 0 {
		t.chars[last].gone = true
	}
}

// places gives the characters the places that x, y, dx, dy and rotate list,
// those of an inner element over those of an outer.
func (t *textReader) places() {
	for k := range t.spans {
		s := &t.spans[k]
		view := s.c.view
		xs, ys := t.lengths(s, "x", view.x), t.lengths(s, "y", view.y)
		dxs, dys := t.lengths(s, "dx", view.x), t.lengths(s, "dy", view.y)
		turns, _ := lex.Numbers(s.n.attr("rotate"))
		if len(xs)+len(ys)+len(dxs)+len(dys)+len(turns) == 0 {
			continue
		}
		j := 0
		for i := s.from; i < s.to; i++ {
			if ch := &t.chars[i]; !ch.gone {
				ch.X, ch.HasX = pick(xs, j, ch.X, ch.HasX)
				ch.Y, ch.HasY = pick(ys, j, ch.Y, ch.HasY)
				ch.DX, ch.Moved = pick(dxs, j, ch.DX, ch.Moved)
				ch.DY, ch.Moved = pick(dys, j, ch.DY, ch.Moved)
				ch.Turn, ch.Turned = pick(turns, min(j, len(turns)-1), ch.Turn, ch.Turned)
				j++
			}
		}
	}
}

// pick returns entry i of a list, else the value from before.
func pick(list []float64, i int, before float64, given bool) (float64, bool) {
	if 0 <= i && i < len(list) {
		return list[i], true
	}
	return before, given
}

// lengths reads a list of lengths.
func (t *textReader) lengths(s *textSpan, name string, resolve func(css.Length) float64) []float64 {
	var out []float64
	for _, f := range strings.FieldsFunc(s.n.attr(name), func(c rune) bool { return strings.ContainsRune(", \t\r\n\f", c) }) {
		l, ok := css.ParseLength(f)
		if !ok {
			t.r.notes.add(s.n, "length-unreadable", "Its %s is read up to %q, which is no length.", name, lex.Excerpt(f))
			break
		}
		out = append(out, resolve(l))
	}
	return out
}

// layOut lays out the characters that show.
func (t *textReader) layOut() *text.Layout {
	shown := make([]text.Char, 0, len(t.chars))
	for _, ch := range t.chars {
		if !ch.gone {
			shown = append(shown, ch.Char)
		}
	}
	return text.LayOut(shown, t)
}

// Look returns how an element of the text is set, and notes its font.
func (t *textReader) Look(span int) text.Look {
	s := &t.spans[span]
	style, view := &s.c.style, s.c.view
	face, other := t.r.fonts.For(style.FontFamily, style.Bold, style.Italic)
	switch {
	case t.clips:
		t.failed = t.failed || face == nil
	case face == nil:
		t.r.notes.add(s.n, "text-not-drawn", "No font is given for its family %q, so it is not drawn. It reads %q.", lex.Excerpt(style.FontFamily), words(s.n))
	case other && style.FontFamily != "":
		t.r.notes.add(s.n, "text-as-outlines", "Its letters are drawn as outlines, in the font %q for want of %q. It reads %q.", face.Name(), lex.Excerpt(style.FontFamily), words(s.n))
	default:
		t.r.notes.add(s.n, "text-as-outlines", "Its letters are drawn as outlines, in the font %q. It reads %q.", face.Name(), words(s.n))
	}
	rtl := style.Direction == "rtl"
	return text.Look{
		Face: face, Size: style.FontSize, Up: s.up, Anchor: anchorOf(style.TextAnchor, rtl), RightToLeft: rtl,
		LetterSpacing: view.x(style.LetterSpacing), WordSpacing: view.x(style.WordSpacing), Spaced: style.LetterSpacing.Value != 0,
	}
}

// anchorOf returns the end of a text that text-anchor names; text that runs to the
// left starts on the right.
func anchorOf(word string, rtl bool) text.Anchor {
	switch {
	case word == "middle":
		return text.Middle
	case word == "end" && !rtl || word == "start" && rtl:
		return text.End
	}
	return text.Start
}

// Missing notes a letter that the font does not have.
func (t *textReader) Missing(span int, r rune) {
	t.r.notes.add(t.spans[span].n, "letter-missing", "The font has no letter for %q, which is not drawn.", string(r))
}

// Failed notes a part of the text that the font cannot set.
func (t *textReader) Failed(span int, err error) {
	t.failed = true
	t.r.notes.add(t.spans[span].n, "text-not-drawn", "The font cannot set it: %v.", err)
}

// stretch makes the text as long as its textLength (SVG 2, Text, textLength and
// lengthAdjust).
func (t *textReader) stretch(n *node, l *text.Layout) {
	given, ok := n.lookup("textLength")
	if !ok {
		return
	}
	want, ok := css.ParseLength(given)
	if !ok || want.IsNegative() || !l.IsOneChunk() {
		t.r.notes.add(n, "text-length-not-applied", "The length that it is to be stretched to is left out of account.")
		return
	}
	l.Stretch(t.spans[0].c.view.x(want), n.attr("lengthAdjust") == "spacingAndGlyphs")
}

// bySpan calls f with the letters of each element.
func (t *textReader) bySpan(glyphs []text.Glyph, f func(*textSpan, []text.Glyph)) {
	for len(glyphs) > 0 && t.r.stop == nil {
		n := 1
		for n < len(glyphs) && glyphs[n].Span == glyphs[0].Span {
			n++
		}
		f(&t.spans[glyphs[0].Span], glyphs[:n])
		glyphs = glyphs[n:]
	}
}

// letters draws letters of one element as one shape.
func (t *textReader) letters(s *textSpan, glyphs []text.Glyph) {
	if k, ok := t.r.visible(s.n, &s.c); ok {
		t.r.render(s.n, &s.c, k, t.outlines(s, glyphs))
	}
}

// outlines returns a pen that has drawn letters of one element.
func (t *textReader) outlines(s *textSpan, glyphs []text.Glyph) *shape.Pen {
	p := shape.Pen{Tolerance: t.r.opt.Tolerance, Budget: &t.r.left}
	for _, g := range glyphs {
		if !g.Missing() {
			p.Map = g.Map().Then(s.c.m)
			g.Outline(&p)
		}
	}
	return &p
}
