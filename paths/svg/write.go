package svg

import (
	"bytes"
	"encoding/xml"
	"math"
	"strconv"
	"strings"

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
	b.WriteString(` d="` + PathData([]paths.Stroke{turnedDown}, decimals, longestArc) + `"/>` + "\n")
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
	w := dataWriter{decimals: decimals, longest: longest}
	for _, s := range strokes {
		if len(s) == 0 {
			continue
		}
		if w.b.Len() > 0 {
			w.b.WriteByte(' ')
		}
		w.b.WriteString("M" + w.pair(s.Start()))
		closed := s.IsClosed()
		for i, c := range s {
			if _, straight := c.(paths.Line); straight && closed && i == len(s)-1 {
				break // the Z draws it
			}
			w.curve(c)
		}
		if closed {
			w.b.WriteString("Z")
		}
	}
	return w.b.String()
}

// dataWriter writes path data.
type dataWriter struct {
	b        strings.Builder
	decimals int
	longest  float64
}

func (w *dataWriter) curve(c paths.Curve) {
	switch c := c.(type) {
	case paths.Line:
		w.b.WriteString("L" + w.pair(c.B))
	case paths.Cubic:
		w.b.WriteString("C" + w.pair(c.B) + " " + w.pair(c.C) + " " + w.pair(c.D))
	case paths.Arc:
		if math.Abs(c.Sweep) > w.longest {
			first, second := c.Split(0.5)
			w.curve(first)
			w.curve(second)
			return
		}
		way := "0"
		if c.Sweep > 0 {
			way = "1"
		}
		r := Number(c.Radius(), w.decimals+1) // finer, so that the arc reaches its ends
		w.b.WriteString("A" + r + " " + r + " 0 0 " + way + " " + w.pair(c.To))
	}
}

func (w *dataWriter) pair(p paths.Point) string {
	return Number(p.X, w.decimals) + " " + Number(p.Y, w.decimals)
}

// Number writes v rounded to a number of decimals, without trailing zeros or a
// negative zero.
func Number(v float64, decimals int) string {
	per := math.Pow10(decimals)
	v = math.Round(v*per) / per
	if v == 0 {
		return "0"
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
