package pdf

import (
	"bytes"
	"errors"
	"fmt"

	"weftplot/paths"
)

// Bounds on a page.
const (
	maxOperators = 2_000_000
	maxCurves    = 1_000_000
	maxPictures  = 2_000
	maxForms     = 12   // one inside another
	maxSaved     = 1000 // graphics states
)

// state is the graphics state, as far as it matters for lines.
type state struct {
	m           paths.Affine // from user space to mm on the page
	width       float64      // of lines, in user space
	dashed      bool
	stroke      colour
	fill        colour
	strokeSpace int // components of the colour space, 0 where that is not known
	fillSpace   int
}

// colour is only whether it is white.
type colour struct{ white bool }

// painter runs the operators of a page.
type painter struct {
	file  *File
	page  *Page
	left  int // operators
	count counts

	state state
	saved []state
	path  outline
	args  []any
	res   dict
	curve int // that were drawn
}

// errLong is of a page with more than is read.
var errLong = errors.New("its page has more operators than are read")

// counts are of what is left out, for the notes.
type counts struct{ texts, shadings, dashes, clips, fills, whites, inline, broken, off, damaged int }

// operators draw, or change the state. Those that are not listed matter only to
// how things look.
var operators = map[keyword]func(p *painter, a []float64){
	"q": func(p *painter, _ []float64) {
		if len(p.saved) < maxSaved {
			p.saved = append(p.saved, p.state)
		}
	},
	"Q": func(p *painter, _ []float64) {
		if n := len(p.saved); n > 0 {
			p.state, p.saved = p.saved[n-1], p.saved[:n-1]
		}
	},
	"cm": func(p *painter, a []float64) {
		if len(a) == 6 {
			p.state.m = paths.Affine{A: a[0], B: a[1], C: a[2], D: a[3], E: a[4], F: a[5]}.Then(p.state.m)
		}
	},
	"w": func(p *painter, a []float64) {
		if len(a) == 1 {
			p.state.width = a[0]
		}
	},
	"m":  func(p *painter, a []float64) { p.path.move(p, a) },
	"l":  func(p *painter, a []float64) { p.path.line(p, a) },
	"c":  func(p *painter, a []float64) { p.path.bend(p, a, 6) },
	"v":  func(p *painter, a []float64) { p.path.bend(p, a, 4) },
	"y":  func(p *painter, a []float64) { p.path.bend(p, append(a, a[max(0, len(a)-2):]...), 6) },
	"re": func(p *painter, a []float64) { p.path.rectangle(p, a) },
	"h":  func(p *painter, _ []float64) { p.path.close() },
	"S":  func(p *painter, _ []float64) { p.draw(true, false, false) },
	"s":  func(p *painter, _ []float64) { p.draw(true, false, true) },
	"f":  func(p *painter, _ []float64) { p.draw(false, true, true) },
	"F":  func(p *painter, _ []float64) { p.draw(false, true, true) },
	"f*": func(p *painter, _ []float64) { p.draw(false, true, true) },
	"B":  func(p *painter, _ []float64) { p.draw(true, true, false) },
	"B*": func(p *painter, _ []float64) { p.draw(true, true, false) },
	"b":  func(p *painter, _ []float64) { p.draw(true, true, true) },
	"b*": func(p *painter, _ []float64) { p.draw(true, true, true) },
	"n":  func(p *painter, _ []float64) { p.draw(false, false, false) },
	"W":  func(p *painter, _ []float64) { p.path.clips = true },
	"W*": func(p *painter, _ []float64) { p.path.clips = true },
	"sh": func(p *painter, _ []float64) { p.count.shadings++ },
	"Tj": func(p *painter, _ []float64) { p.count.texts++ }, "TJ": func(p *painter, _ []float64) { p.count.texts++ },
	"'": func(p *painter, _ []float64) { p.count.texts++ }, "\"": func(p *painter, _ []float64) { p.count.texts++ },
	"g":  func(p *painter, a []float64) { p.state.fill = colourOf(a, 1) },
	"rg": func(p *painter, a []float64) { p.state.fill = colourOf(a, 3) },
	"k":  func(p *painter, a []float64) { p.state.fill = colourOf(a, 4) },
	"G":  func(p *painter, a []float64) { p.state.stroke = colourOf(a, 1) },
	"RG": func(p *painter, a []float64) { p.state.stroke = colourOf(a, 3) },
	"K":  func(p *painter, a []float64) { p.state.stroke = colourOf(a, 4) },
	"sc": func(p *painter, a []float64) { p.state.fill = colourOf(a, p.state.fillSpace) }, "scn": func(p *painter, a []float64) { p.state.fill = colourOf(a, p.state.fillSpace) },
	"SC": func(p *painter, a []float64) { p.state.stroke = colourOf(a, p.state.strokeSpace) }, "SCN": func(p *painter, a []float64) { p.state.stroke = colourOf(a, p.state.strokeSpace) },
	"cs": func(p *painter, _ []float64) { p.state.fill, p.state.fillSpace = colour{}, p.space() },
	"CS": func(p *painter, _ []float64) { p.state.stroke, p.state.strokeSpace = colour{}, p.space() },
	"d": func(p *painter, _ []float64) {
		a, _ := p.arg(0).(array)
		p.state.dashed = len(a) > 0
	},
}

// colourOf tells white in the spaces of 1, 3 and 4 components.
func colourOf(a []float64, n int) colour {
	if len(a) != n || n == 0 {
		return colour{}
	}
	want := 1.0
	if n == 4 {
		want = 0
	}
	for _, v := range a {
		if d := v - want; d > 0.004 || d < -0.004 {
			return colour{}
		}
	}
	return colour{white: true}
}

// space counts the components of the colour space that an operator names; spaces
// of separate inks have none that tell white.
func (p *painter) space() int {
	n, _ := p.arg(0).(name)
	return p.file.components(p.file.named(p.res, "ColorSpace", n))
}

func (p *painter) arg(i int) any {
	if i < len(p.args) {
		return p.args[i]
	}
	return nil
}

// numberArgs are the operands where all of them are numbers.
func (p *painter) numberArgs() []float64 {
	if len(p.args) == 0 {
		return nil
	}
	out := make([]float64, 0, len(p.args)+2)
	for _, v := range p.args {
		n, ok := v.(float64)
		if !ok {
			return nil
		}
		out = append(out, n)
	}
	return out
}

// paint runs the operators of a content stream.
func (p *painter) paint(content []byte, res dict, s state, depth int) error {
	saved, state, outer := p.saved, p.state, p.res
	p.saved, p.state, p.res, p.path = nil, s, res, outline{}
	tokens := maxOperators * 4
	l := &lexer{data: content, tokens: &tokens}
	for {
		v, err := l.next(0)
		if errors.Is(err, errTangled) {
			return err
		}
		if err != nil {
			break
		}
		op, ok := v.(keyword)
		if !ok {
			if len(p.args) < 64 {
				p.args = append(p.args, v)
			}
			continue
		}
		if p.left--; p.left < 0 || p.curve > maxCurves {
			return errLong
		}
		if err := p.run(op, l, depth); err != nil {
			return err
		}
		p.args = p.args[:0]
	}
	p.saved, p.state, p.res, p.path, p.args = saved, state, outer, outline{}, p.args[:0]
	return nil
}

func (p *painter) run(op keyword, l *lexer, depth int) error {
	switch op {
	case "Do":
		n, _ := p.arg(0).(name)
		return p.external(n, depth)
	case "BI":
		p.count.inline++
		l.skipInline()
	default:
		if f := operators[op]; f != nil {
			f(p, p.numberArgs())
		}
	}
	return nil
}

// skipInline passes over a picture within the content (8.9.7).
func (l *lexer) skipInline() {
	for at := l.at; ; {
		i := bytes.Index(l.data[at:], []byte("EI"))
		if i < 0 {
			l.at = len(l.data)
			return
		}
		at += i + 2
		if isSpace(l.data[at-3]) && (at == len(l.data) || isSpace(l.data[at])) {
			l.at = at
			return
		}
	}
}

// named looks a resource up.
func (f *File) named(res dict, kind, n name) any {
	if d := f.dict(res[kind]); d != nil && d[n] != nil {
		return f.get(d[n])
	}
	return n
}

// external draws a form or a picture (8.8).
func (p *painter) external(n name, depth int) error {
	s, ok := p.file.named(p.res, "XObject", n).(*stream)
	if !ok {
		return nil
	}
	switch p.file.get(s.dict["Subtype"]) {
	case name("Image"):
		if len(p.page.Pictures) < maxPictures {
			p.page.Pictures = append(p.page.Pictures, p.file.picture(s, p.res, p.state.m))
		}
	case name("Form"):
		if depth >= maxForms {
			return errors.New("its forms are nested too deeply")
		}
		inner := p.state
		if m := p.file.numbers(s.dict["Matrix"], 6); m != nil {
			inner.m = paths.Affine{A: m[0], B: m[1], C: m[2], D: m[3], E: m[4], F: m[5]}.Then(inner.m)
		}
		res := p.file.dict(s.dict["Resources"])
		if res == nil {
			res = p.res
		}
		content, err := p.content(s)
		if err != nil {
			return err
		}
		path, args := p.path, p.args
		p.args = nil
		err = p.paint(content, res, inner, depth+1)
		p.path, p.args = path, args
		return err
	}
	return nil
}

// notes says what was left out.
func (p *painter) notes() []string {
	var out []string
	for _, n := range []struct {
		n    int
		text string
	}{
		{p.count.texts, "%d pieces of text were left out: letters are not read as lines. Turn them into outlines in the drawing program."},
		{p.count.fills, "%d filled shapes without a line of their own are drawn by their outlines."},
		{p.count.whites, "%d white shapes were left out."},
		{p.count.dashes, "%d dashed lines are drawn whole."},
		{p.count.shadings, "%d shadings were left out."},
		{p.count.clips, "%d clip paths were not applied: what they hide is drawn."},
		{p.count.inline, "%d small pictures within the page's text were left out."},
		{p.count.damaged, "%d parts of the page are damaged in the file: what came before the damage was read."},
		{p.count.off, "%d lines that lie off the page, or run far beyond it, were left out."},
		{p.count.broken, "%d lines were left out: their places are beyond all bounds."},
	} {
		if n.n > 0 {
			out = append(out, fmt.Sprintf(n.text, n.n))
		}
	}
	return out
}
