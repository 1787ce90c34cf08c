package scan

import (
	"testing"

	"weftplot/paths"
	"weftplot/paths/scan/areas"
	"weftplot/paths/scan/skeleton"
)

// inkOf returns a page of w by h pixels with strokes drawn by a square pen, and its mask.
func inkOf(w, h, width int, strokes ...paths.Stroke) (flat, mask skeleton.Plane) {
	flat, mask = skeleton.NewPlane(w, h), skeleton.NewPlane(w, h)
	for i := range flat.Pixels {
		flat.Pixels[i] = skeleton.Paper
	}
	for _, s := range strokes {
		for _, p := range resample(s.Flatten(0.1), 0.5) {
			for y := int(p.Y) - width/2; y <= int(p.Y)+width/2; y++ {
				for x := int(p.X) - width/2; x <= int(p.X)+width/2; x++ {
					flat.Pixels[y*w+x], mask.Pixels[y*w+x] = 20, 1
				}
			}
		}
	}
	return flat, mask
}

// TestLeaksAreClosed closes what lines leave open in solid ink, and nothing else.
func TestLeaksAreClosed(t *testing.T) {
	const width = 9
	box := paths.Polyline(pt(50, 50), pt(250, 50), pt(250, 200), pt(50, 200), pt(50, 50))
	wall := paths.Polyline(pt(150, 50), pt(150, 200))
	vee := paths.Polyline(pt(100, 200), pt(150, 55), pt(200, 200))
	for _, c := range []struct {
		name    string
		ink     []paths.Stroke
		lines   []paths.Stroke
		strokes int
		closed  bool
	}{
		{"an end", []paths.Stroke{box, wall}, []paths.Stroke{box, paths.Polyline(pt(150, 50), pt(150, 194))}, 2, true},
		{"a corner", []paths.Stroke{box, vee}, []paths.Stroke{box, vee}, 2, true},
		{"two ends side by side", []paths.Stroke{box, paths.Polyline(pt(153, 50), pt(153, 30))}, []paths.Stroke{
			paths.Polyline(pt(150, 50), pt(50, 50), pt(50, 200), pt(250, 200), pt(250, 50), pt(156, 50)),
			paths.Polyline(pt(156, 52), pt(156, 30)), paths.Polyline(pt(150, 52), pt(150, 30))}, 3, true},
		{"bare paper", []paths.Stroke{paths.Polyline(pt(60, 50), pt(250, 50), pt(250, 200), pt(50, 200), pt(50, 60))},
			[]paths.Stroke{paths.Polyline(pt(56, 50), pt(250, 50), pt(250, 200), pt(50, 200), pt(50, 56))}, 1, false},
	} {
		flat, mask := inkOf(300, 280, width, c.ink...)
		plan := areas.PlanOf(mask, width, 8)
		tr := tracer{flat: flat, mm: 0.125, width: width, out: Tracing{Strokes: c.lines}}
		before := plan.Open(tr.out.Strokes, width)
		tr.closeLeaks(plan, ink{p: flat, width: width, level: 200}, width)
		after := plan.Open(tr.out.Strokes, width)
		if len(before) == 0 || (len(after) == 0) != c.closed || len(tr.out.Strokes) != c.strokes {
			t.Errorf("%s: open at %v, then at %v, %d strokes: %v", c.name, before, after, len(tr.out.Strokes), tr.out.Strokes)
		}
	}
}

// TestLeakFarFromEnds adds a line across a leak that no end or corner lies near.
func TestLeakFarFromEnds(t *testing.T) {
	a, b := paths.Polyline(pt(20, 100), pt(280, 100)), paths.Polyline(pt(20, 105), pt(280, 105))
	flat, _ := inkOf(300, 200, 9, a, b)
	tr := tracer{flat: flat, mm: 0.125, width: 9, out: Tracing{Strokes: []paths.Stroke{a, b}}}
	k := ink{p: flat, width: 9, level: 200}
	if !tr.closeLeak(k, areas.Open{From: pt(150, 100), To: pt(150, 105)}) || len(tr.out.Strokes) != 3 ||
		tr.out.Strokes[2].Start() != pt(150, 100) || tr.out.Strokes[2].End() != pt(150, 105) {
		t.Errorf("the lines are %v", tr.out.Strokes)
	}
	if tr.closeLeak(k, areas.Open{From: pt(150, 100), To: pt(150, 120)}) {
		t.Error("a passage wider than ink is no leak")
	}
}
