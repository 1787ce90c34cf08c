package svg

import (
	"fmt"
	"math"
	"slices"

	"github.com/go-text/typesetting/di"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/shaping"
	"golang.org/x/image/math/fixed"

	"weftplot/paths"
)

// glyph is a letter in its place, in user units.
type glyph struct {
	id    font.GID
	face  *typeface
	span  int
	size  float64
	at    paths.Point // of its origin on the line
	off   paths.Point // where the font moves it from there
	turn  float64     // degrees
	wide  float64     // how far on the next one stands
	scale float64     // across, 1 but for text that is stretched
}

// chunk is a part of the text with an absolute place, which its anchor moves.
type chunk struct {
	x      float64 // of its first character
	anchor string
	from   int // its first letter
}

// textLayout is a text with its letters in their places.
type textLayout struct {
	*textReader
	glyphs []glyph
	chunks []chunk
	at     paths.Point // where the next letter stands
}

// layOut shapes the text run by run.
func (t *textReader) layOut() *textLayout {
	l := &textLayout{textReader: t}
	shown := make([]int, 0, len(t.chars))
	for i := range t.chars {
		if !t.chars[i].gone {
			shown = append(shown, i)
		}
	}
	for len(shown) > 0 && t.r.stop == nil {
		n := 1
		for n < len(shown) && t.chars[shown[n]].span == t.chars[shown[0]].span && !t.chars[shown[n]].placed() && !t.chars[shown[n]].turned {
			n++
		}
		l.run(shown[:n])
		shown = shown[n:]
	}
	return l
}

// placed reports whether a character has a place of its own.
func (c *char) placed() bool { return c.hasX || c.hasY || c.moved }

// run sets characters of one look, of which only the first may have a place of
// its own.
func (l *textLayout) run(shown []int) {
	first := &l.chars[shown[0]]
	s := &l.spans[first.span]
	style := &s.c.style
	if first.hasX {
		l.at.X = first.x
	}
	if first.hasY {
		l.at.Y = first.y
	}
	l.at = l.at.Add(paths.Point{X: first.dx, Y: first.dy})
	if first.hasX || first.hasY || len(l.chunks) == 0 {
		anchor := style.anchor
		if style.direction == "rtl" {
			anchor = map[string]string{"start": "end", "end": "start"}[anchor]
		}
		l.chunks = append(l.chunks, chunk{l.at.X, anchor, len(l.glyphs)})
	}
	face := l.faceOf(s)
	if face == nil {
		return
	}
	text := make([]rune, len(shown))
	for i, k := range shown {
		text[i] = l.chars[k].r
	}
	outputs, err := shape(face.face, text, style.direction == "rtl", style.letterSpacing.v != 0)
	if err != nil {
		l.r.notes.add(s.n, "text-not-drawn", "The font cannot set it: %v.", err)
		return
	}
	k := style.em / float64(face.face.Upem())
	for _, o := range outputs {
		for i, g := range o.Glyphs {
			ch := text[g.ClusterIndex]
			if g.GlyphID == 0 {
				l.r.notes.add(s.n, "letter-missing", "The font has no letter for %q, which is not drawn.", string(ch))
			}
			wide := units(g.XAdvance) * k
			if i+1 == len(o.Glyphs) || o.Glyphs[i+1].ClusterIndex != g.ClusterIndex {
				wide += s.c.view.x(style.letterSpacing)
				if ch == ' ' || ch == '\u00a0' {
					wide += s.c.view.x(style.wordSpacing)
				}
			}
			l.glyphs = append(l.glyphs, glyph{
				id: g.GlyphID, face: face, span: first.span, size: style.em, at: l.at, turn: first.turn, wide: wide, scale: 1,
				off: paths.Point{X: units(g.XOffset) * k, Y: -units(g.YOffset)*k - s.up},
			})
			l.at.X += wide
		}
	}
}

// faceOf returns the font of an element, and notes it.
func (l *textLayout) faceOf(s *textSpan) *typeface {
	style := &s.c.style
	face, other := l.r.faceFor(style)
	switch {
	case face == nil:
		l.r.notes.add(s.n, "text-not-drawn", "No font is given for its family %q, so it is not drawn. It reads %q.", excerpt(style.fontFamily), words(s.n))
	case other && style.fontFamily != "":
		l.r.notes.add(s.n, "text-as-outlines", "Its letters are drawn as outlines, in the font %q for want of %q. It reads %q.", face.name, excerpt(style.fontFamily), words(s.n))
	default:
		l.r.notes.add(s.n, "text-as-outlines", "Its letters are drawn as outlines, in the font %q. It reads %q.", face.name, words(s.n))
	}
	return face
}

func units(v fixed.Int26_6) float64 { return float64(v) / 64 }

// oneFace is the one font for all characters.
type oneFace struct{ face *font.Face }

func (f oneFace) ResolveFace(rune) *font.Face { return f.face }

// shape chooses and places the glyphs for the text, in font units, as parts of
// one script and direction in the order in which they stand on the line. A
// damaged font may make the library panic; that is an error like any other.
func shape(face *font.Face, text []rune, rtl, spaced bool) (out []shaping.Output, err error) {
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
	for i := 0; i < len(out); i++ { // parts that run to the left stand the other way round
		j := i
		for j < len(out) && out[j].Direction == di.DirectionRTL {
			j++
		}
		slices.Reverse(out[i:j])
		i = max(i, j)
	}
	return out, nil
}

// anchor moves the chunks to where their anchors say.
func (l *textLayout) anchor() {
	for i, c := range l.chunks {
		to := len(l.glyphs)
		if i+1 < len(l.chunks) {
			to = l.chunks[i+1].from
		}
		mine := l.glyphs[c.from:to]
		lo, hi := extent(mine)
		shift := 0.
		switch c.anchor {
		case "middle":
			shift = c.x - (lo+hi)/2
		case "end":
			shift = c.x - hi
		}
		for k := range mine {
			mine[k].at.X += shift
		}
	}
}

// extent returns from where to where letters go.
func extent(glyphs []glyph) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, g := range glyphs {
		lo, hi = min(lo, g.at.X, g.at.X+g.wide), max(hi, g.at.X, g.at.X+g.wide)
	}
	return lo, hi
}

// stretch makes a text of one chunk as long as textLength says (SVG 2, Text,
// textLength and lengthAdjust).
func (l *textLayout) stretch(n *node) {
	text, given := n.lookup("textLength")
	if !given {
		return
	}
	want, ok := parseLength(text)
	if !ok || want.negative() || len(l.chunks) != 1 || len(l.glyphs) == 0 {
		l.r.notes.add(n, "text-length-not-applied", "The length that it is to be stretched to is left out of account.")
		return
	}
	lo, hi := extent(l.glyphs)
	whole := l.spans[0].c.view.x(want)
	fixedAt := lo
	switch l.chunks[0].anchor {
	case "middle":
		fixedAt = (lo + hi) / 2
	case "end":
		fixedAt = hi
	}
	start := fixedAt - (fixedAt-lo)*whole/(hi-lo)
	if !(hi > lo) || !finite(start) {
		return
	}
	for i := range l.glyphs {
		g := &l.glyphs[i]
		if n.attr("lengthAdjust") == "spacingAndGlyphs" {
			g.scale = whole / (hi - lo)
			g.at.X = start + (g.at.X-lo)*g.scale
		} else {
			g.at.X += start - lo + (whole-(hi-lo))*float64(i)/float64(max(1, len(l.glyphs)-1))
		}
	}
}

// draw draws the letters, those of one element as one shape.
func (l *textLayout) draw() {
	for len(l.glyphs) > 0 && l.r.stop == nil {
		n := 1
		for n < len(l.glyphs) && l.glyphs[n].span == l.glyphs[0].span {
			n++
		}
		l.letters(&l.spans[l.glyphs[0].span], l.glyphs[:n])
		l.glyphs = l.glyphs[n:]
	}
}

func (l *textLayout) letters(s *textSpan, glyphs []glyph) {
	k, ok := l.r.visible(s.n, &s.c)
	if !ok {
		return
	}
	p := pen{tol: l.r.opt.Tolerance, budget: &l.r.left}
	for _, g := range glyphs {
		if g.id == 0 {
			continue
		}
		em := g.size / float64(g.face.face.Upem())
		sin, cos := turn(g.turn)
		p.m = paths.Affine{A: em * g.scale, D: -em, E: g.off.X, F: g.off.Y}.
			Then(paths.Affine{A: cos, B: sin, C: -sin, D: cos, E: g.at.X, F: g.at.Y}).Then(s.c.m)
		drawGlyph(g.face.face, g.id, &p)
	}
	l.r.render(s.n, &s.c, k, &p)
}

// drawGlyph draws the outline of a letter, in font units. A font without
// outlines, of pictures perhaps, draws nothing.
func drawGlyph(face *font.Face, id font.GID, p *pen) {
	defer func() { _ = recover() }() // a damaged font; what stands of the letter is drawn
	outline, _ := face.GlyphData(id).(font.GlyphOutline)
	pt := func(q opentype.SegmentPoint) paths.Point { return paths.Point{X: float64(q.X), Y: float64(q.Y)} }
	some := false
	for _, s := range outline.Segments {
		switch s.Op {
		case opentype.SegmentOpMoveTo:
			if some {
				p.close()
			}
			p.moveTo(pt(s.Args[0]))
		case opentype.SegmentOpLineTo:
			p.lineTo(pt(s.Args[0]))
		case opentype.SegmentOpQuadTo:
			p.quadTo(pt(s.Args[0]), pt(s.Args[1]))
		case opentype.SegmentOpCubeTo:
			p.cubicTo(pt(s.Args[0]), pt(s.Args[1]), pt(s.Args[2]))
		}
		some = true
	}
	if some {
		p.close()
	}
}
