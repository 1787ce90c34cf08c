package svg

import (
	"strings"
)

// Text is laid out as SVG 2, Text, has it for horizontal lines that do not
// break: characters with places of their own, chunks between them that the
// anchor moves as wholes, and runs of one look that are shaped together, so that
// kerning, ligatures and joined scripts come out as in print. What is drawn are
// the outlines of the letters, filled or stroked like any other shape.

// char is one character of a text, with what the file says of its place.
type char struct {
	r             rune
	span          int // the innermost element it stands in
	x, y, dx, dy  float64
	hasX, hasY    bool
	moved, turned bool // dx, dy or rotate are given
	turn          float64
	gone          bool // left out by the rules for blanks
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
	r     *reader
	chars []char
	spans []textSpan
}

// maxChars bounds the characters of one text element.
const maxChars = 20_000

// text draws a text element.
func (r *reader) text(n *node, c context) {
	if len(r.faces) == 0 {
		r.notDrawn(n, &c.style)
		return
	}
	if m := c.style.writingMode; strings.HasPrefix(m, "tb") || strings.HasPrefix(m, "vertical") || strings.HasPrefix(m, "sideways") {
		r.notes.add(n, "text-not-drawn", "Text that runs downwards is not drawn; turn it into paths in the drawing program. It reads %q.", words(n))
		return
	}
	t := textReader{r: r}
	t.gather(n, c, 0)
	if len(t.chars) > maxChars {
		r.halt(n, "the text has more than %d characters, the most that are read", maxChars)
	}
	if r.stop != nil {
		return
	}
	t.blanks()
	t.places()
	l := t.layOut()
	l.anchor()
	l.stretch(n)
	l.draw()
}

// gather lists the characters of n and of what is in it.
func (t *textReader) gather(n *node, c context, up float64) {
	up += t.raised(n, &c)
	mine := len(t.spans)
	t.spans = append(t.spans, textSpan{n: n, c: c, up: up, from: len(t.chars)})
	for _, f := range n.flow {
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
			t.chars = append(t.chars, char{r: ch, span: mine})
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
	c.style = r.styleOf(n, &c.style)
	c.view.em = c.style.em
	if r.hidden(n, &c.style) {
		return
	}
	c.sheer = c.sheer || c.style.own.opacity < 1
	if n.attr("textLength") != "" {
		r.notes.add(n, "text-length-not-applied", "The length that it is to be stretched to is left out of account.")
	}
	t.gather(n, c, up)
}

// raised returns by how many px an element is raised above the line of what it
// stands in (SVG 2, Text, baseline-shift).
func (t *textReader) raised(n *node, c *context) float64 {
	s := &c.style
	if s.baseline != "auto" && s.baseline != "alphabetic" {
		t.r.notes.add(n, "baseline-not-applied", "It is set on the usual line of its letters, not on %q.", excerpt(s.baseline))
	}
	if s.own.decoration != "none" && !strings.HasPrefix(s.own.decoration, "none ") {
		t.r.notes.add(n, "decoration-not-drawn", "The line under, over or through its letters (%s) is not drawn.", excerpt(s.own.decoration))
	}
	switch shift := strings.ToLower(s.own.baselineShift); shift {
	case "baseline":
		return 0
	case "sub": // what most programs take where the font does not say
		return -0.2 * s.em
	case "super":
		return 0.4 * s.em
	default:
		l, _ := parseLength(shift)
		return l.in(s.em, s.em)
	}
}

// blanks applies the rules for white space: it is one blank, and none at the
// ends of the text, unless it is to be kept (SVG 2, Text, white-space).
func (t *textReader) blanks() {
	last := -1 // the blank before, where it is the last thing that shows
	shown := false
	for i := range t.chars {
		ch := &t.chars[i]
		if ch.r == '\n' || ch.r == '\t' || ch.r == '\r' {
			ch.r = ' '
		}
		if strings.HasPrefix(t.spans[ch.span].c.style.whiteSpace, "pre") {
			last, shown = -1, true
			continue
		}
		if ch.r != ' ' {
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
		turns, _ := numbers(s.n.attr("rotate"))
		if len(xs)+len(ys)+len(dxs)+len(dys)+len(turns) == 0 {
			continue
		}
		j := 0
		for i := s.from; i < s.to; i++ {
			ch := &t.chars[i]
			if ch.gone {
				continue
			}
			if j < len(xs) {
				ch.x, ch.hasX = xs[j], true
			}
			if j < len(ys) {
				ch.y, ch.hasY = ys[j], true
			}
			if j < len(dxs) {
				ch.dx, ch.moved = dxs[j], true
			}
			if j < len(dys) {
				ch.dy, ch.moved = dys[j], true
			}
			if len(turns) > 0 {
				ch.turn, ch.turned = turns[min(j, len(turns)-1)], true
			}
			j++
		}
	}
}

// lengths reads a list of lengths.
func (t *textReader) lengths(s *textSpan, name string, resolve func(length) float64) []float64 {
	var out []float64
	for _, f := range strings.FieldsFunc(s.n.attr(name), func(c rune) bool { return strings.ContainsRune(", \t\r\n\f", c) }) {
		l, ok := parseLength(f)
		if !ok {
			t.r.notes.add(s.n, "length-unreadable", "Its %s is read up to %q, which is no length.", name, excerpt(f))
			break
		}
		out = append(out, resolve(l))
	}
	return out
}
