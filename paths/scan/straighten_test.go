package scan

import (
	"math"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/scan/truth"
)

// TestDeskew turns a sheet of upright and level lines by 1.5 degrees; after
// deskewing, all of them are exactly parallel to the axes, and lines that met
// still meet.
func TestDeskew(t *testing.T) {
	p := truth.Scan(0.8)
	for _, deg := range []float64{1.5, -4} {
		p.Turn = deg
		d := sheet(
			paths.Polyline(pt(8, 8), pt(52, 8), pt(52, 32), pt(8, 32), pt(8, 8)),
			paths.Polyline(pt(30, 8), pt(30, 32)),
			paths.Stroke{paths.Circle(pt(18, 20), 5)},
			paths.Polyline(pt(36, 12), pt(46, 28)),
		)
		page, _ := p.Of(d, 300)
		got, err := Trace(page, Options{Deskew: true})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.TurnedDeg+deg) > 0.05 {
			t.Errorf("turned by %v degrees, want %v", got.TurnedDeg, -deg)
		}
		axis := 0
		for _, s := range got.Strokes {
			if err := s.Validate(); err != nil {
				t.Error(err)
			}
			for _, c := range s {
				if l, ok := c.(paths.Line); ok && (l.A.X == l.B.X || l.A.Y == l.B.Y) {
					axis++
				}
			}
		}
		if axis != 5 {
			t.Errorf("%d lines along the axes, want 5", axis)
		}
		if s := truth.Compare(got.Strokes, d.Strokes); s.P95 > 0.06 || s.Worst > 0.25 {
			t.Errorf("turned by %v: %v", deg, s)
		}
	}
}

// TestDeskewLeavesFreeDrawings: a page without long lines that agree is not
// turned.
func TestDeskewLeavesFreeDrawings(t *testing.T) {
	page, _ := flatScan(0.8).Of(sheet(
		paths.Stroke{paths.Circle(pt(30, 20), 12)},
		paths.Stroke{paths.Cubic{A: pt(5, 5), B: pt(20, 0), C: pt(40, 10), D: pt(55, 5)}},
	), 150)
	got, err := Trace(page, Options{Deskew: true})
	if err != nil || got.TurnedDeg != 0 {
		t.Errorf("turned by %v degrees, %v", got.TurnedDeg, err)
	}
	if notes := strings.Join(got.Notes(), " "); !strings.Contains(notes, "Nothing was turned") {
		t.Errorf("the notes are %q", notes)
	}
}

// wavering is a side drawn by hand: it wavers by half a millimetre and has no straight
// piece.
func wavering(a, b paths.Point) paths.Stroke {
	side := b.Sub(a).Unit().Left()
	var pts []paths.Point
	for i := range 101 {
		u := float64(i) / 100
		pts = append(pts, a.Lerp(b, u).Add(side.Mul(0.5*math.Sin(u*3*math.Pi))))
	}
	return paths.Polyline(pts...)
}

// TestDeskewByHand turns a border whose sides waver, all of one stroke, and what must
// not turn a drawing: one side that slants, a circle, and sides that disagree.
func TestDeskewByHand(t *testing.T) {
	var border paths.Stroke
	corners := []paths.Point{pt(10, 10), pt(110, 10), pt(110, 80), pt(10, 80), pt(10, 10)}
	for i := 1; i < len(corners); i++ {
		border = append(border, wavering(corners[i-1], corners[i])...)
	}
	fan := []paths.Stroke{wavering(pt(10, 10), pt(80, 12)), wavering(pt(10, 30), pt(80, 36)), wavering(pt(10, 50), pt(80, 61))}
	for _, c := range []struct {
		name    string
		strokes []paths.Stroke
		turns   bool
	}{
		{"a border", []paths.Stroke{border}, true},
		{"two sides", []paths.Stroke{wavering(pt(10, 10), pt(80, 10)), wavering(pt(10, 60), pt(80, 60))}, true},
		{"one side", []paths.Stroke{wavering(pt(10, 10), pt(80, 10)), {paths.Circle(pt(40, 40), 20)}}, false},
		{"a circle", []paths.Stroke{{paths.Circle(pt(60, 60), 55)}}, false},
		{"a fan", fan, false},
	} {
		for _, deg := range []float64{2, -6} {
			m := paths.Rotate(deg * degree)
			got := Tracing{}
			for _, s := range c.strokes {
				got.Strokes = append(got.Strokes, s.Transform(m))
			}
			// Flattened pieces are lines, though too short to go by.
			got.deskew(pt(60, 45))
			if got.Unturned == c.turns || c.turns && math.Abs(got.TurnedDeg+deg) > 0.3 {
				t.Errorf("%s, turned by %v degrees: turned by %v, unturned %v", c.name, deg, got.TurnedDeg, got.Unturned)
			}
		}
	}
}
