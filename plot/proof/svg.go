package proof

import (
	"bytes"
	"cmp"
	"encoding/xml"
	"math"
	"strconv"
	"strings"

	"weftplot/paths/cores"
	"weftplot/paths/svg"
	"weftplot/plot/proof/typeface"
)

// SVG returns the picture of s as an SVG file at real size. Coordinates are
// rounded to a thousandth of a mm. A scene with a number that cannot be drawn,
// a stroke that is not connected or an invalid colour is a [fault.Input].
func SVG(s Scene) ([]byte, error) { return SVGTold(s, nil) }

// SVGTold is [SVG] for pictures of many strokes: it tells now and then how many of its
// parts are done, unless tell is nil.
func SVGTold(s Scene, tell func(done, total int)) ([]byte, error) {
	meter := cores.NewMeter(3*len(s.Ink), tell) // to check, to lay out and to write
	pic, err := drawScene(s, meter)
	if err != nil {
		return nil, err
	}
	w := &svgWriter{meter: meter}
	w.buf.Grow(s.bytes())
	w.picture(pic)
	meter.To(1)
	return w.buf.Bytes(), w.err
}

// bytes returns about how many bytes the strokes take in SVG, and no fewer as a rule: a
// list of bytes that grows from little is copied again and again, and ends twice as long.
func (s Scene) bytes() int {
	const stroke, curve, others = 40, 18, 1 << 12
	n := others + stroke*len(s.Travel)
	for _, k := range s.Ink {
		n += stroke + curve*len(k.Stroke)
	}
	return n
}

type svgWriter struct {
	meter  *cores.Meter
	buf    bytes.Buffer
	indent int
	clips  int
	err    error // the first
}

func (w *svgWriter) picture(p *picture) {
	w.line(`<?xml version="1.0" encoding="UTF-8"?>`)
	w.line(`<svg xmlns="http://www.w3.org/2000/svg" version="1.1"` +
		attr("width", num(p.w)+"mm") + attr("height", num(p.h)+"mm") +
		attr("viewBox", "0 0 "+num(p.w)+" "+num(p.h)) +
		attr("font-family", typeface.Families) + ` role="img">`)
	w.indent++
	w.line("<title>" + escape(p.title) + "</title>")
	w.line("<desc>" + escape(p.desc) + "</desc>")
	w.indent--
	w.children(p.nodes)
	w.line("</svg>")
}

func (w *svgWriter) node(n node) {
	switch n := n.(type) {
	case *group:
		w.group(n)
	case shape:
		w.shape(n)
	case *separate:
		for i := range n.strokes {
			w.shape(shape{strokes: n.strokes[i : i+1]})
		}
	case words:
		w.words(n)
	case pixels:
		w.pixels(n)
	}
}

// shape writes a path. Its data holds nothing that must be escaped.
func (w *svgWriter) shape(n shape) {
	w.spaces()
	w.buf.WriteString("<path" + n.look.attrs() + ` d="`)
	w.buf.Write(svg.AppendPathData(w.buf.AvailableBuffer(), n.strokes, 3, longestArc))
	w.buf.WriteString("\"/>\n")
	w.meter.Add(1)
}

func (w *svgWriter) group(g *group) {
	if len(g.nodes) == 0 {
		return
	}
	if g.clip != nil {
		w.clips++
		id := "clip-" + strconv.Itoa(w.clips)
		w.line("<clipPath" + attr("id", id) + "><rect" +
			attr("x", num(g.clip.Min.X)) + attr("y", num(g.clip.Min.Y)) +
			attr("width", num(g.clip.Width())) + attr("height", num(g.clip.Height())) + "/></clipPath>")
		w.line("<g" + attr("clip-path", "url(#"+id+")") + ">")
		w.indent++
		defer func() {
			w.indent--
			w.line("</g>")
		}()
	}
	open := "<g" + optional("id", g.id) + optional("class", g.class)
	if m := g.at; m != nil {
		open += attr("transform", "matrix("+strings.Join([]string{
			num(m.A), num(m.B), num(m.C), num(m.D), num(m.E), num(m.F)}, " ")+")")
	}
	w.line(open + g.look.attrs() + ">")
	if g.title != "" {
		w.indent++
		w.line("<title>" + escape(g.title) + "</title>")
		w.indent--
	}
	w.children(g.nodes)
	w.line("</g>")
}

// children writes the nodes inside an element.
func (w *svgWriter) children(nodes []node) {
	w.indent++
	for _, n := range nodes {
		w.node(n)
	}
	w.indent--
}

func (w *svgWriter) words(t words) {
	s := "<text" + attr("x", num(t.at.X)) + attr("y", num(t.at.Y)) + attr("font-size", num(t.size))
	switch t.anchor {
	case anchorMiddle:
		s += attr("text-anchor", "middle")
	case anchorEnd:
		s += attr("text-anchor", "end")
	}
	if t.bold {
		s += attr("font-weight", "bold")
	}
	s += attr("fill", t.colour)
	if t.halo {
		s += attr("stroke", paper) + attr("stroke-width", num(haloWidth*t.size)) +
			attr("stroke-linejoin", "round") + attr("paint-order", "stroke")
	}
	s += attr("textLength", num(typeface.Width(t.text, t.size, t.bold))) + attr("lengthAdjust", "spacingAndGlyphs")
	w.line(s + ">" + escape(t.text) + "</text>")
}

func (w *svgWriter) spaces() {
	for range w.indent {
		w.buf.WriteByte(' ')
	}
}

func (w *svgWriter) line(s string) {
	w.spaces()
	w.buf.WriteString(s)
	w.buf.WriteByte('\n')
}

// attrs returns l as attributes; a nil look has none, and is inherited.
func (l *look) attrs() string {
	if l == nil {
		return ""
	}
	s := attr("fill", cmp.Or(l.fill, "none"))
	if l.stroke == "" {
		return s + attr("stroke", "none")
	}
	s += attr("stroke", l.stroke) + attr("stroke-width", num(l.width)) + attr("stroke-linejoin", "round")
	if l.round {
		s += attr("stroke-linecap", "round")
	}
	if len(l.dash) > 0 {
		d := make([]string, len(l.dash))
		for i, v := range l.dash {
			d[i] = num(v)
		}
		s += attr("stroke-dasharray", strings.Join(d, " "))
	}
	return s
}

// longestArc is the greatest sweep of an arc that is written whole: half a circle.
const longestArc = math.Pi

// num writes v rounded to a thousandth.
func num(v float64) string { return svg.Number(v, 3) }

func attr(name, value string) string { return " " + name + `="` + escape(value) + `"` }

func optional(name, value string) string {
	if value == "" {
		return ""
	}
	return attr(name, value)
}

func escape(s string) string {
	var b bytes.Buffer
	// Writing to a buffer cannot fail; what XML cannot hold becomes U+FFFD.
	_ = xml.EscapeText(&b, []byte(s))
	return b.String()
}
