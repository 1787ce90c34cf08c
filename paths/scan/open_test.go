package scan

import (
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/scan/skeleton"
)

// openPlaces are the places of areas told as open.
func openPlaces(finds []Find) []paths.Point {
	var out []paths.Point
	for _, f := range finds {
		if strings.Contains(f.Message, "leave open") {
			out = append(out, f.At)
		}
	}
	return out
}

// TestOpenAreasAreListed compares ink with lines that leave some of its areas open.
func TestOpenAreasAreListed(t *testing.T) {
	const mm = 0.1
	box := paths.Polyline(pt(50, 50), pt(250, 50), pt(250, 200), pt(50, 200), pt(50, 50))
	wall := paths.Polyline(pt(150, 50), pt(150, 200))
	edge := paths.Polyline(pt(-5, 240), pt(305, 240)) // it parts the page, and closes nothing
	for _, c := range []struct {
		name  string
		ink   []paths.Stroke
		lines []paths.Stroke
		want  []paths.Point
	}{
		{"as drawn", []paths.Stroke{box, wall, edge}, []paths.Stroke{box, wall, edge}, nil},
		{"open on paper too", []paths.Stroke{edge, paths.Polyline(pt(50, 50), pt(250, 50), pt(250, 200))}, nil, nil},
		{"a side stops short", []paths.Stroke{box}, []paths.Stroke{paths.Polyline(pt(56, 50), pt(250, 50), pt(250, 200), pt(50, 200), pt(50, 50))}, []paths.Point{pt(53, 50)}},
		{"two into one", []paths.Stroke{box, wall}, []paths.Stroke{box, paths.Polyline(pt(150, 50), pt(150, 190))}, []paths.Point{pt(150, 195)}},
		{"the tooth of paper", []paths.Stroke{paths.Polyline(pt(54, 50), pt(250, 50), pt(250, 200), pt(50, 200), pt(50, 54))}, []paths.Stroke{paths.Polyline(pt(54, 50), pt(250, 50), pt(250, 200), pt(50, 200), pt(50, 54))}, []paths.Point{pt(52, 52)}},
	} {
		for _, width := range []float64{6, 9} { // cells of two and of three pixels
			mask := skeleton.NewPlane(300, 280)
			for _, s := range c.ink {
				for _, p := range resample(s.Flatten(0.2), 0.5) {
					for y := int(p.Y - width/2); y <= int(p.Y+width/2); y++ {
						for x := int(p.X - width/2); x <= int(p.X+width/2); x++ {
							if x >= 0 && y >= 0 && x < mask.W && y < mask.H {
								mask.Pixels[y*mask.W+x] = 1
							}
						}
					}
				}
			}
			tr := tracer{mm: mm, width: width}
			tr.out.Strokes = c.lines
			tr.listOpen(tr.planOf(mask), 0)
			got := openPlaces(tr.out.Finds)
			if len(got) != len(c.want) {
				t.Errorf("%s, %v wide: listed at %v, want %v", c.name, width, got, c.want)
				continue
			}
			for i, p := range c.want {
				if got[i].Dist(p) > 1.2*width {
					t.Errorf("%s, %v wide: listed at %v, want %v", c.name, width, got[i], p)
				}
			}
		}
	}
}
