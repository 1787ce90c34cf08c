package svg

import (
	"fmt"
	"strings"
	"testing"

	"weftplot/paths"
)

// read reads a file that must be good.
func read(t *testing.T, text string) paths.Design {
	t.Helper()
	d, err := Read("test.svg", []byte(text), Options{})
	if err != nil {
		t.Fatalf("Read(%s) = %v", text, err)
	}
	for _, s := range d.Strokes() {
		if err := s.Validate(); err != nil {
			t.Fatalf("Read(%s): %v", text, err)
		}
	}
	return d
}

// inPage wraps shapes in a page of 100 x 100 mm with user units of 1 mm, so
// that a point (x, y) of the file is (x, 100-y) of the design.
func inPage(body string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="100mm" height="100mm" viewBox="0 0 100 100">` + body + `</svg>`
}

// shown writes strokes in a short form, y down again: "0,0 10,0 | 5,5 C 5,6 7,8
// 9,9"; A is an arc with its centre, radius and sweep in degrees.
func shown(d paths.Design) string {
	h := d.Page.Height()
	pt := func(p paths.Point) string { return fmt.Sprintf("%.6g,%.6g", tidy(p.X), tidy(h-p.Y)) }
	var list []string
	for _, s := range d.Strokes() {
		text := pt(s.Start())
		for _, c := range s {
			switch c := c.(type) {
			case paths.Line:
				text += " " + pt(c.B)
			case paths.Cubic:
				text += " C " + pt(c.B) + " " + pt(c.C) + " " + pt(c.D)
			case paths.Arc:
				text += fmt.Sprintf(" A %s %.6g %.6g %s", pt(c.Centre), c.Radius(), tidy(-c.Sweep*180/3.141592653589793), pt(c.To))
			}
		}
		list = append(list, text)
	}
	return strings.Join(list, " | ")
}

// tidy rounds away what floating point leaves, so that zero prints as 0.
func tidy(v float64) float64 {
	if v > -1e-9 && v < 1e-9 {
		return 0
	}
	return v
}

// codes returns the codes of the notes, in order.
func codes(d paths.Design) string {
	var list []string
	for _, n := range d.Notes {
		list = append(list, n.Code)
	}
	return strings.Join(list, " ")
}
