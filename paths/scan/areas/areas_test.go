package areas

import (
	"testing"

	"weftplot/paths"
	"weftplot/paths/scan/skeleton"
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// TestOpenAreasAreListed compares ink with lines that leave some of its areas open.
func TestOpenAreasAreListed(t *testing.T) {
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
		{"hardly short", []paths.Stroke{box, wall}, []paths.Stroke{box, paths.Polyline(pt(150, 50), pt(150, 196))}, []paths.Point{pt(150, 198)}},
		{"not short", []paths.Stroke{box, wall}, []paths.Stroke{box, paths.Polyline(pt(150, 50), pt(150, 199.5))}, nil},
		{"the tooth of paper", []paths.Stroke{paths.Polyline(pt(54, 50), pt(250, 50), pt(250, 200), pt(50, 200), pt(50, 54))}, []paths.Stroke{paths.Polyline(pt(54, 50), pt(250, 50), pt(250, 200), pt(50, 200), pt(50, 54))}, []paths.Point{pt(52, 52)}},
	} {
		for _, width := range []float64{6, 9, 13} { // cells of one, two and three pixels
			mask := skeleton.NewPlane(300, 280)
			for _, s := range c.ink {
				for p := range along(s.Flatten(0.2), 0.5) {
					for y := int(p.Y - width/2); y <= int(p.Y+width/2); y++ {
						for x := int(p.X - width/2); x <= int(p.X+width/2); x++ {
							if x >= 0 && y >= 0 && x < mask.W && y < mask.H {
								mask.Pixels[y*mask.W+x] = 1
							}
						}
					}
				}
			}
			got := PlanOf(mask, width, 10).Open(c.lines, ShutWidths*width)
			if len(got) != len(c.want) {
				t.Errorf("%s, %v wide: listed at %v, want %v", c.name, width, got, c.want)
				continue
			}
			for i, p := range c.want {
				if got[i].At().Dist(p) > 1.2*width {
					t.Errorf("%s, %v wide: listed at %v, want %v", c.name, width, got[i].At(), p)
				}
			}
		}
	}
}

// TestGrainsCloseAnArea: a side of a box that is only grains, nearer to each other than
// its width, closes it as ink does.
func TestGrainsCloseAnArea(t *testing.T) {
	const width = 6
	side := paths.Polyline(pt(50, 160), pt(50, 50), pt(250, 50), pt(250, 200), pt(50, 200), pt(50, 190))
	mask := skeleton.NewPlane(300, 280)
	for p := range along(side.Flatten(0.2), 0.5) {
		for d := range width {
			mask.Pixels[(int(p.Y)+d-width/2)*mask.W+int(p.X)] = 1
			mask.Pixels[int(p.Y)*mask.W+int(p.X)+d-width/2] = 1
		}
	}
	plan := PlanOf(mask, width, 10)
	lines := []paths.Stroke{side}
	if got := plan.Open(lines, ShutWidths*width); len(got) != 0 {
		t.Fatalf("without the grains: listed at %v", got)
	}
	for y := int32(165); y < 190; y += 6 {
		plan.Ink(skeleton.Component{X0: 48, Y0: y, X1: 51, Y1: y + 2})
	}
	got := plan.Open(lines, ShutWidths*width)
	if len(got) != 1 || got[0].At().Dist(pt(50, 175)) > 16 {
		t.Errorf("with the grains: listed at %v", got)
	}
}
