package svg

import (
	"bytes"
	"encoding/xml"
	"math"
	"strconv"

	"weftplot/paths"
)

// decimals is how many decimals of a millimetre a written design keeps.
const decimals = 4

// Write returns a design as an SVG file that [Read] gives back: its layers as
// groups of their names, a path for each stroke, in mm to a ten-thousandth. The
// page is the design's own, or where it has none the bounds of its line work; its
// lower left corner comes to the origin. The line work of a design without a
// size is written without one. Notes are not written.
func Write(d paths.Design) []byte {
	page := d.Page
	if page.IsEmpty() {
		page = d.Bounds()
	}
	if page.IsEmpty() {
		page = paths.Rect{}
	}
	// The one place where y is turned down.
	down := paths.Affine{A: 1, D: -1, E: -page.Min.X, F: page.Max.Y}
	var b bytes.Buffer
	b.WriteString(`<?xml version="1.0" encoding="UTF-8"?>` + "\n")
	w, h := Number(page.Width(), decimals), Number(page.Height(), decimals)
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" version="1.1"`)
	if d.HasSize {
		b.WriteString(` width="` + w + `mm" height="` + h + `mm"`)
	}
	b.WriteString(` viewBox="0 0 ` + w + ` ` + h + `">` + "\n")
	for _, l := range d.Layers {
		b.WriteString(` <g id="` + escape(l.Name) + `" stroke-linecap="round" stroke-linejoin="round">` + "\n")
		for _, s := range l.Strokes {
			writeStroke(&b, s, down)
		}
		b.WriteString(" </g>\n")
	}
	b.WriteString("</svg>\n")
	return b.Bytes()
}

func writeStroke(b *bytes.Buffer, s paths.DesignStroke, down paths.Affine) {
	if len(s.Stroke) == 0 {
		return
	}
	colour := s.Colour
	if colour == "" {
		colour = "#000"
	}
	if s.Filled {
		b.WriteString(`  <path fill="` + escape(colour) + `" stroke="none"`)
	} else {
		b.WriteString(`  <path fill="none" stroke="` + escape(colour) + `" stroke-width="` + Number(s.Width, decimals) + `"`)
	}
	turnedDown := make(paths.Stroke, len(s.Stroke))
	for i, c := range s.Stroke {
		turnedDown[i] = turned(c, down)
	}
	b.WriteString(` d="`)
	b.Write(AppendPathData(b.AvailableBuffer(), []paths.Stroke{turnedDown}, decimals, longestArc))
	b.WriteString(`"/>` + "\n")
}

func escape(s string) string {
	var b bytes.Buffer
	// Writing to a buffer cannot fail; what XML cannot hold becomes U+FFFD.
	_ = xml.EscapeText(&b, []byte(s))
	return b.String()
}

// longestArc is the greatest sweep of an arc that is written whole. Rounding
// its ends and radius moves an arc of sweep a by 1/cos(a/2) times as much,
// which has no bound at half a circle.
const longestArc = 2 * math.Pi / 3

// PathData returns strokes as SVG path data with absolute commands, rounded to a
// number of decimals: closed strokes closed, a dot as a line without length, and
// arcs that sweep more than longest in halves, as a whole circle must be. Empty
// strokes are left out.
func PathData(strokes []paths.Stroke, decimals int, longest float64) string {
	return string(AppendPathData(nil, strokes, decimals, longest))
}

// AppendPathData is [PathData] put after what b holds.
func AppendPathData(b []byte, strokes []paths.Stroke, decimals int, longest float64) []byte {
	w, before := dataWriter{b: b, decimals: decimals, longest: longest}, len(b)
	for _, s := range strokes {
		if len(s) == 0 {
			continue
		}
		if len(w.b) > before {
			w.b = append(w.b, ' ')
		}
		w.pair('M', s.Start())
		closed := s.IsClosed()
		for i, c := range s {
			if _, straight := c.(paths.Line); straight && closed && i == len(s)-1 {
				break // the Z draws it
			}
			w.curve(c)
		}
		if closed {
			w.b = append(w.b, 'Z')
		}
	}
	return w.b
}

// dataWriter writes path data.
type dataWriter struct {
	b        []byte
	decimals int
	longest  float64
}

func (w *dataWriter) curve(c paths.Curve) {
	switch c := c.(type) {
	case paths.Line:
		w.pair('L', c.B)
	case paths.Cubic:
		w.pair('C', c.B)
		w.pair(' ', c.C)
		w.pair(' ', c.D)
	case paths.Arc:
		if math.Abs(c.Sweep) > w.longest {
			first, second := c.Split(0.5)
			w.curve(first)
			w.curve(second)
			return
		}
		w.b = append(w.b, 'A')
		from := len(w.b)
		w.b = AppendNumber(w.b, c.Radius(), w.decimals+1) // finer, so that the arc reaches its ends
		radius := w.b[from:]
		w.b = append(append(w.b, ' '), radius...)
		if c.Sweep > 0 {
			w.b = append(w.b, " 0 0 1"...)
		} else {
			w.b = append(w.b, " 0 0 0"...)
		}
		w.pair(' ', c.To)
	}
}

// pair writes a character and the coordinates of a point.
func (w *dataWriter) pair(before byte, p paths.Point) {
	w.b = AppendNumber(append(w.b, before), p.X, w.decimals)
	w.b = AppendNumber(append(w.b, ' '), p.Y, w.decimals)
}

// Number writes v rounded to a number of decimals, without trailing zeros or a
// negative zero.
func Number(v float64, decimals int) string { return string(AppendNumber(nil, v, decimals)) }

// mostExact is the largest whole number whose quotient by a power of ten has, as a
// float64, just the digits of that number: 15 digits always come back.
const mostExact = 1e15

// AppendNumber is [Number] put after what b holds.
func AppendNumber(b []byte, v float64, decimals int) []byte {
	per := math.Pow10(decimals)
	n := math.Round(v * per)
	if n == 0 {
		return append(b, '0')
	}
	if decimals < 0 || decimals > 15 || !(math.Abs(n) < mostExact) {
		return strconv.AppendFloat(b, n/per, 'f', -1, 64)
	}
	if n < 0 {
		b, n = append(b, '-'), -n
	}
	whole, rest := uint64(n), uint64(0)
	if decimals > 0 {
		whole, rest = whole/uint64(per), whole%uint64(per)
	}
	b = strconv.AppendUint(b, whole, 10)
	if rest == 0 {
		return b
	}
	b = append(b, '.')
	for tenth := uint64(per) / 10; rest > 0; tenth /= 10 {
		b = append(b, byte('0'+rest/tenth))
		rest %= tenth
	}
	return b
}
